"""Ways out: one document model, rendered to HTML, PDF and Markdown, with its figures.

What comes in: facts and findings. What goes out: published files.
"""
