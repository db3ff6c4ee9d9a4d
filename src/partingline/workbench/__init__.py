"""The local web application: shows what facts, findings and publish return, and writes unit folders through one writer.

`docs/workbench.md` is its interface. Nothing is computed here, and nothing is imported before `partingline serve`.
"""
