"""From samples of a CC wire to frames: activity -> slicer -> segments -> packets -> decoder.

Biphase mark code: an edge at the start of every bit, a second one in the middle of a 1. Polarity says
nothing.
"""
