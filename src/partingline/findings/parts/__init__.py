"""Rules on single parts: class, rating, margin."""
