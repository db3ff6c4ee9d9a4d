"""WebVTT (W3C), SubRip, plain text and Markdown as a script: one text with its cues, lines and times."""

import re

from partingline.readers.words.types import Cue, Script

_TIME = re.compile(r"(?:(\d+):)?(\d{1,2}):(\d{2})[.,](\d{1,3})")
_ARROW = re.compile(rf"\s*({_TIME.pattern})\s*-->\s*({_TIME.pattern})")
_TAG = re.compile(r"<[^>\n]*>")
_MARKS = re.compile(
    r"^\s*(?:[-*+]\s+|\d+[.)]\s+|>\s*|#{1,6}\s+)|[*_`]{1,3}(?=\S)|(?<=\S)[*_`]{1,3}|\[(?=[^\]]*\]\()|\]\([^)]*\)"
)
_FENCE = re.compile(r"^\s*(```|~~~)")


def read_script(text: str, name: str) -> Script:
    """A file's text as a script; the form is told from its content, and from the ending for plain text."""
    if text.lstrip("\ufeff").startswith("WEBVTT") or _looks_timed(text):
        return _timed(text)
    return _plain(text, markdown=name.lower().endswith((".md", ".markdown")))


def _looks_timed(text: str) -> bool:
    return any("-->" in line and _ARROW.match(line) for line in text.splitlines()[:40])


def _timed(text: str) -> Script:
    raw: list[tuple[str, int, float, float]] = []
    notes: list[tuple[int, str]] = []
    lines = text.lstrip("\ufeff").splitlines()
    at = 0
    while at < len(lines):
        if "-->" not in lines[at]:
            at += 1
            continue
        match = _ARROW.match(lines[at])
        body, after = _body(lines, at + 1)
        if match is None:
            notes.append((at + 1, f"no times in '{lines[at].strip()[:40]}'"))
        elif body:
            start, end = (_seconds(_TIME.search(match[group]).groups()) for group in (1, 6))  # type: ignore[union-attr]
            raw.append((body, at + 2, start, end))
        at = after
    return _joined([(body, line, start, end) for body, line, start, end in raw], True, tuple(notes))


def _body(lines: list[str], at: int) -> tuple[str, int]:
    """The text of a cue: up to a blank line, or the next cue where that is missing."""
    taken: list[str] = []
    while at < len(lines) and lines[at].strip() and "-->" not in lines[at]:
        taken.append(_TAG.sub("", lines[at]))
        at += 1
    if at < len(lines) and "-->" in lines[at] and taken and taken[-1].strip().isdigit():
        taken.pop()
    return " ".join(" ".join(taken).split()), at


def _seconds(groups: tuple[str | None, ...]) -> float:
    hours, minutes, seconds, millis = groups
    return (
        int(hours or 0) * 3600 + int(minutes or 0) * 60 + int(seconds or 0) + int((millis or "0").ljust(3, "0")) / 1e3
    )


def _plain(text: str, *, markdown: bool) -> Script:
    """One cue a line; Markdown without its marks, its front matter, its comments and its code."""
    if markdown:
        text = re.sub(r"<!--.*?-->", lambda m: re.sub(r"[^\n]", " ", m.group()), text, flags=re.DOTALL)
    lines = text.lstrip("\ufeff").splitlines()
    skip = _front_matter(lines) if markdown else 0
    raw: list[tuple[str, int, None, None]] = []
    fenced = False
    for number, line in enumerate(lines[skip:], skip + 1):
        if markdown and _FENCE.match(line):
            fenced = not fenced
            continue
        shown = " ".join((_MARKS.sub("", line) if markdown else line).split())
        if shown and not fenced:
            raw.append((shown, number, None, None))
    return _joined(raw, False, ())


def _front_matter(lines: list[str]) -> int:
    if not lines or lines[0].strip() != "---":
        return 0
    end = next((n for n, line in enumerate(lines[1:], 1) if line.strip() == "---"), 0)
    return end + 1 if end else 0


def _joined(
    raw: list[tuple[str, int, float, float]] | list[tuple[str, int, None, None]],
    timed: bool,
    notes: tuple[tuple[int, str], ...],
) -> Script:
    cues: list[Cue] = []
    text: list[str] = []
    start = 0
    gap = " " if timed else "\n"
    for body, line, from_s, to_s in raw:
        cues.append(Cue(body, line, start, from_s, to_s))
        text.append(body)
        start += len(body) + 1
    return Script(gap.join(text), tuple(cues), timed, notes)
