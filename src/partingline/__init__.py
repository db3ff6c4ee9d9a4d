"""Partingline: what was seen, read and measured on a charger, as checked findings and a publishable report.

observations -> statements -> facts -> findings -> publication
"""

__version__ = "0.1.0"
