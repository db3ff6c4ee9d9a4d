"""Readers: raw file in, observations out. One folder a kind of file; a reader never judges."""
