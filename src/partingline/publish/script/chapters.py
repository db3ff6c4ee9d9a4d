"""Chapters with times: from the reading time of the script, or from captions where its facts are first spoken of."""

from partingline.facts.spoken import Checked
from partingline.publish.script.draft import Draft
from partingline.publish.script.markdown import minutes

SHORTEST_S = 10.0
"""No chapter is shorter. Common practice of video sites, no source."""


def chapter_list(script: Draft, checked: Checked | None = None) -> list[tuple[float, str]]:
    """Start in seconds and title of each chapter, from 0; with captions, when its facts are first spoken of."""
    times = _spoken(script, checked) if checked is not None and checked.script.timed else _read(script)
    chapters: list[tuple[float, str]] = []
    for start, title in times:
        if not chapters:
            chapters.append((0.0, title))
        elif start - chapters[-1][0] >= SHORTEST_S:
            chapters.append((start, title))
    return chapters


def chapters_text(chapters: list[tuple[float, str]]) -> str:
    """`0:00 Outside`, one a line."""
    return "".join(f"{minutes(start)} {title}\n" for start, title in chapters)


def _read(script: Draft) -> list[tuple[float, str]]:
    start, times = 0.0, []
    for part in script.parts:
        times.append((start, part.title))
        start += part.seconds
    return times


def _spoken(script: Draft, checked: Checked) -> list[tuple[float, str]]:
    times = []
    for part in script.parts:
        facts = {(key.subject, key.quantity) for line in part.lines for key in line.facts}
        first = [
            one.time_s for one in checked.spoken
            if one.fact is not None and one.time_s is not None
            and (one.fact.key.subject, one.fact.key.quantity) in facts
        ]  # fmt: skip
        if first:
            times.append((min(first), part.title))
    return sorted(times)
