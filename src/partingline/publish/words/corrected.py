"""A script with its slips put right: the words are replaced where they stand, times and all else stay."""

from dataclasses import replace

from partingline.facts.spoken import Checked
from partingline.readers.words import Script


def corrected_script(checked: Checked) -> Script:
    """The corrected script; a figure that runs over two cues is put into the first of them."""
    texts = [cue.text for cue in checked.script.cues]
    starts = [cue.start for cue in checked.script.cues]
    for one in sorted(checked.slips, key=lambda slip: -slip.figure.start):
        if not one.instead:
            continue
        first, last = _cue(starts, one.figure.start), _cue(starts, one.figure.end - 1)
        for index in range(last, first - 1, -1):
            text, start = texts[index], starts[index]
            begin, end = max(one.figure.start - start, 0), min(one.figure.end - start, len(text))
            put = one.instead if index == first else ""
            texts[index] = _joined(text[:begin], put, text[end:])
    new, at = [], 0
    for cue, text in zip(checked.script.cues, texts, strict=True):
        new.append(replace(cue, text=text, start=at))
        at += len(text) + 1
    gap = " " if checked.script.timed else "\n"
    return Script(gap.join(texts), tuple(new), checked.script.timed)


def _joined(before: str, put: str, after: str) -> str:
    if put:
        return before + put + after
    return (before.rstrip() + " " + after.lstrip()).strip() if before and after else (before + after).strip()


def _cue(starts: list[int], position: int) -> int:
    return max(index for index, start in enumerate(starts) if start <= position)
