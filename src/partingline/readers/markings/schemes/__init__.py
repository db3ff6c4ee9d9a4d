"""Marking schemes, one a file. Each has `SCHEME`: id, title, source, evidence mark, a pure `read(text)`."""
