"""The terminal: one console, verdicts as a word and a shape."""

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
