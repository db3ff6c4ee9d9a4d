"""What is read in spoken or written text: cues with their time, and the figures in them."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Cue:
    """A stretch of text with its time in seconds, or None where the file has no times.

    `line` is where its text begins in the file, from 1; `start` its place in the joined text of the script.
    """

    text: str
    line: int
    start: int
    from_s: float | None = None
    to_s: float | None = None


@dataclass(frozen=True, slots=True)
class Script:
    """Spoken or written text: the joined text of all cues, one space between two of them.

    `timed` tells captions from plain text. `notes` say what of the file could not be read, as (line, what was found).
    """

    text: str
    cues: tuple[Cue, ...]
    timed: bool
    notes: tuple[tuple[int, str], ...] = ()

    def cue_at(self, position: int) -> Cue:
        """The cue that holds a character of the joined text."""
        low, high = 0, len(self.cues) - 1
        while low < high:
            middle = (low + high + 1) // 2
            low, high = (middle, high) if self.cues[middle].start <= position else (low, middle - 1)
        return self.cues[low]


@dataclass(frozen=True, slots=True)
class Token:
    """A word, number or sign at characters `start` to `end`; `low` is the word in lower case."""

    text: str
    low: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Reading:
    """One way to read a number: its value, and the value of half its last place (the resolution of the words)."""

    value: float
    half: float
    high: float | None = None


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure at tokens `first` to `last` (exclusive) and characters `start` to `end`.

    kind: quantity, count, dimension, code or standard. readings: SI values, the likeliest first; ranges have a `high`.
    unit: SI unit, '' for a plain number. shown: the factor of the unit as said, for the corrected words.
    about: 'about', 'nearly', 'up to' stood before it. slip: the unit was a captioner's word. spelled: number words.
    text: of a code or standard, what was said without spaces. place: of a dimension, 0 to 2.
    unit_words: the unit as said; of a class, its quantity.
    """

    kind: str
    first: int
    last: int
    start: int
    end: int
    words: str
    readings: tuple[Reading, ...] = ()
    unit: str = ""
    shown: float = 1.0
    offset: float = 0.0
    about: bool = False
    slip: bool = False
    spelled: bool = False
    text: str = ""
    place: int = 0
    unit_words: str = ""
