"""Figures as SVG text of our own making: no drawing library, the same bytes in each run.

What comes in: plain numbers and names. What goes out: one `<svg>` element whose colours are `var(--token)`.
"""
