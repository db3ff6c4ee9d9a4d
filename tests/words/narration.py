"""What a narration of the corpus is: a file's text, its unit, and the figures planted in it."""

import re
from dataclasses import dataclass

from partingline.model import Key
from tests.words.invented import InventedUnit


@dataclass(frozen=True)
class Planted:
    """A figure in the text: its characters, the facts it may speak of, how it is wrong ('' where it is right).

    `keys` are fact ids, with at least these conditions, or `#role` for a count.
    """

    start: int
    end: int
    name: str
    keys: tuple[str, ...]
    error: str
    said: str

    def fits(self, fact: str) -> bool:
        """Whether a fact's id is one of those meant."""
        key = Key.parse(fact)
        meant = [Key.parse(one) for one in self.keys if not one.startswith("#")]
        return any(
            (one.subject, one.quantity) == (key.subject, key.quantity) and set(one.at) <= set(key.at) for one in meant
        )

    @property
    def counts(self) -> bool:
        """Whether it is a count of parts or ports."""
        return self.keys[0].startswith("#")


@dataclass
class Narration:
    """A narration as a file's text, the joined text in which `planted` counts its characters, and its unit."""

    name: str
    unit: InventedUnit
    text: str
    file_name: str
    planted: list[Planted]


def captions(text: str, form: str = "vtt") -> str:
    """Cues of about eight words, broken anywhere; joined by single spaces they give the text again."""
    words = re.split(r"(?<= )(?=\S)", text)
    cues = ["".join(words[n : n + 8]) for n in range(0, len(words), 8)]
    lines = [] if form == "srt" else ["WEBVTT", ""]
    for number, cue in enumerate(cues):
        times = f"{_clock(number * 3)} --> {_clock(number * 3 + 3)}"
        lines += [str(number + 1), times.replace(".", ","), cue, ""] if form == "srt" else [times, cue, ""]
    return "\n".join(lines)


def _clock(seconds: int) -> str:
    return f"{seconds // 3600:02d}:{seconds // 60 % 60:02d}:{seconds % 60:02d}.000"
