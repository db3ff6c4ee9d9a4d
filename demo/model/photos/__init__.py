"""Drawn photos of the invented charger, and the marks on them."""
