"""The command line: the same verbs as everywhere, text for people and `--json` for programs."""

from partingline.cli.app import main

__all__ = ["main"]
