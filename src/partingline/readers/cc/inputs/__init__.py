"""Recordings as benches write them: SigMF, NPY, CSV, WAV, VCD, and message bytes as hex."""
