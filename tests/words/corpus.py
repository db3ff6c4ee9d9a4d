"""The words corpus: 50 narrations of invented units with planted figures, a quarter of them wrong.

`corpus/tune-*.txt` were looked at while the words check was written; `corpus/held-*.txt` were never used for it: each was
measured once when it had been written, and stays as it is. Of both, `*-hand-*` are written by hand, each with its own unit
(`hand.py`); `*-drawn-*` have slots: `{F.i}` is a figure that `invented.py` draws and `speech.py` says, `{F.i:1}` the same
with its unit in the singular.
"""
# ruff: noqa: E501

import random
import re
from pathlib import Path

from tests.words.hand import hand_written
from tests.words.invented import InventedUnit, Item, invent
from tests.words.narration import Narration, Planted, captions
from tests.words.speech import WRONG_UNITS, Voice

CORPUS = Path(__file__).with_name("corpus")
_SLOT = re.compile(r"\{([\w.]+)(:1)?\}")
WRONG = 0.25


def narrations(part: str, folder: Path, variant: int = 0) -> list[Narration]:
    """All narrations of a part (`tune`, `held`, or as `held-hand`), their unit folders written below `folder`.

    variant: of those that are drawn, another drawing of values, wordings and errors over the same sentences.
    """
    files = sorted(CORPUS.glob(f"{part}-*.txt"))
    return [
        hand_written(path, folder) if "hand" in path.stem else _drawn(path, folder / f"{path.stem}-{variant}", variant)
        for path in files
    ]


def _drawn(path: Path, folder: Path, variant: int) -> Narration:
    head, *lines = path.read_text(encoding="utf-8").splitlines()
    told = dict(pair.split("=") for pair in head.split())
    seed = int(told["seed"]) + 1000 * variant
    unit = invent(folder, seed, int(told["ports"]), int(told["bulks"]))
    draw = random.Random(seed * 7 + 1)
    captioned = told["style"] != "digits"
    voice = Voice(draw, told["style"], captioned)
    if captioned and draw.random() < 0.5:
        lines = [_without_marks(line) for line in lines]
    pieces, planted = _pieces(lines, unit, voice, draw)
    text = "".join(pieces)
    if captioned:
        return Narration(path.stem, unit, captions(text), f"{path.stem}.vtt", planted)
    return Narration(path.stem, unit, text, f"{path.stem}.txt", planted)


def _pieces(lines: list[str], unit: InventedUnit, voice: Voice, draw: random.Random) -> tuple[list[str], list[Planted]]:
    pieces: list[str] = []
    planted: list[Planted] = []
    length = 0
    gap = " " if voice.captioned else "\n"
    for number, line in enumerate(lines):
        at = 0
        if number:
            pieces.append(gap)
            length += 1
        for slot in _SLOT.finditer(line):
            pieces.append(line[at : slot.start()])
            length += len(pieces[-1])
            said, parts = _said(slot[1], bool(slot[2]), unit, voice, draw)
            for start, end, keys, error in parts:
                planted.append(Planted(length + start, length + end, slot[1], keys, error, said[start:end]))
            pieces.append(said)
            length += len(said)
            at = slot.end()
        pieces.append(line[at:])
        length += len(pieces[-1])
    return pieces, planted


Parts = list[tuple[int, int, tuple[str, ...], str]]


def _said(name: str, single: bool, unit: InventedUnit, voice: Voice, draw: random.Random) -> tuple[str, Parts]:
    if name in unit.words:
        word = unit.words[name]
        return (
            word if voice.style == "digits" or not voice.captioned or name == "name" else _spoken_ref(word, draw)
        ), []
    item = unit.items[name]
    wrong = draw.random() < WRONG
    if item.kind == "dims":
        return _dims(item, wrong, voice, draw)
    if item.kind in ("range", "set"):
        said, error = _pair(item, wrong, voice, draw)
    elif item.kind == "code":
        number = str(item.value)
        said, error = voice.code(voice.misheard(number) if wrong else number), "misheard" if wrong else ""
    elif item.kind == "bare":
        value = float(item.value)  # type: ignore[arg-type]
        said, error = voice.number(round(value * 1.3, 1) if wrong else value)[0], "value" if wrong else ""
    else:
        said, error = _value(item, wrong, single, voice, draw)
    return said, [(0, len(said), item.keys, error)]


def _spoken_ref(ref: str, draw: random.Random) -> str:
    return ref if draw.random() < 0.6 else ref.lower()


def _value(item: Item, wrong: bool, single: bool, voice: Voice, draw: random.Random) -> tuple[str, str]:
    value = float(item.value)  # type: ignore[arg-type]
    if not wrong:
        return voice.quantity(value, item.unit, single), ""
    error = draw.choice(("unit", "zero", "value", "value"))
    if error == "unit":
        return voice.quantity(value, draw.choice(WRONG_UNITS[item.unit]), single), "unit"
    if error == "zero":
        return voice.quantity(float(f"{value / 10:.6g}") if value >= 20 else value * 10, item.unit, single), "zero"
    factor = draw.choice((0.55, 0.7, 1.4, 1.8, 2.0))
    other = float(f"{value * factor:.3g}") if value < 10 else float(round(value * factor))
    return voice.quantity(other, item.unit, single), "value"


def _pair(item: Item, wrong: bool, voice: Voice, draw: random.Random) -> tuple[str, str]:
    low, high = item.value  # type: ignore[misc]
    error, unit = "", item.unit
    if wrong:
        error = draw.choice(("unit", "value"))
        unit = "V" if item.unit == "Hz" and error == "unit" else ("A" if error == "unit" else unit)
        low, high = (low, high) if error == "unit" else (low, round(high * 1.4))  # type: ignore[has-type]
    joint = draw.choice((" to ", "-", " to ")) if item.kind == "range" else draw.choice((" or ", "/", " to "))
    first, in_words = voice.number(low)
    second, also = voice.number(high)
    if not (in_words or also):
        return f"{first}{joint}{voice.quantity(high, unit)}", error
    return f"{first}{joint if joint.startswith(' ') else ' to '}{second} {voice.unit(unit, False, True)}", error


def _dims(item: Item, wrong: bool, voice: Voice, draw: random.Random) -> tuple[str, Parts]:
    values = list(item.value)  # type: ignore[arg-type]
    bad = draw.randrange(3) if wrong else -1
    text, parts = "", []
    for place, value in enumerate(values):
        shown = round(value * 1.6, 1) if place == bad else value
        start = len(text)
        text += voice.number(shown)[0] if place < 2 else voice.quantity(shown, "mm")
        parts.append((start, len(text), (item.keys[place],), "value" if place == bad else ""))
        text += draw.choice((" by ", " x ")) if place < 2 and voice.style == "digits" else (" by " if place < 2 else "")
    return text, parts


def _without_marks(line: str) -> str:
    """A line as some captioners write: no capitals, no marks; slots stay."""
    plain = re.sub(r"[,;:?!](?=\s|$)|\.(?=\s|$)", "", line)
    return re.sub(r"\{[^}]*\}|[^{]+", lambda m: m.group() if m.group().startswith("{") else m.group().lower(), plain)
