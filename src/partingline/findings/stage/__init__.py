"""Rules on what the converter's stages do to their parts."""
