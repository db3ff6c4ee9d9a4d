"""The CC-line recording: what both ends and the cable say, as volts, as a SigMF file."""
