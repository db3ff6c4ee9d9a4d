"""Rules on heat and life."""
