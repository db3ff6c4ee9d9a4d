"""The terminal: one console, verdicts as a word and a shape."""

import json
import sys
from typing import Any

from rich.console import Console
from rich.text import Text

from partingline.model import Finding, Verdict

SHAPES = {
    Verdict.MEETS: ("●", "green"),
    Verdict.FALLS_SHORT: ("▼", "red"),
    Verdict.UNDECIDED: ("◐", "yellow"),
    Verdict.NOT_ENOUGH_DATA: ("○", "bright_black"),
}


def console(*, error: bool = False) -> Console:
    """A console that keeps text whole: no emoji codes, no markup in what people wrote, no number colouring."""
    return Console(stderr=error, markup=False, emoji=False, highlight=False, soft_wrap=False)


def verdict_text(verdict: Verdict) -> Text:
    """`▼ falls short`."""
    shape, colour = SHAPES[verdict]
    return Text(f"{shape} {verdict.value}", style=colour)


def sentence(finding: Finding) -> Text:
    """The finding's sentence with its numbers set off."""
    text = Text()
    for span in finding.sentence:
        text.append(span.text, style="bold" if span.key else "")
    return text


def print_json(record: Any) -> None:
    """A record as JSON in UTF-8, whatever the terminal's encoding (RFC 8259, 8.1). ValueError for NaN and infinity."""
    text = json.dumps(record, ensure_ascii=False, indent=1, allow_nan=False) + "\n"
    sys.stdout.flush()
    sys.stdout.buffer.write(text.encode("utf-8", "backslashreplace"))
    sys.stdout.buffer.flush()
