"""The JSON side of the workbench: requests in, records out, as `docs/workbench.md` says."""
