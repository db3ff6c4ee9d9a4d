"""The physical truth of an invented charger, and simulated instruments that look at it."""
