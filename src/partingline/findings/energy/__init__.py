"""Rules on efficiency, no-load power and regulation."""
