"""Invented units of the kinds that the demonstration is not: dock, power bank, cable, desktop charger."""
