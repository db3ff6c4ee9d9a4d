"""What the words check says of each figure."""

from dataclasses import dataclass
from enum import StrEnum

from partingline.model import Fact, Key, Statement
from partingline.readers.words import Figure, Reading, Script


class Class(StrEnum):
    """How a spoken figure stands beside the facts."""

    AGREES = "agrees"
    DIFFERS = "differs"
    WRONG_UNIT = "wrong unit or impossible"
    UNSUPPORTED = "unsupported"
    UNCLEAR = "unclear which"
    CONDITION = "condition"

    @property
    def is_slip(self) -> bool:
        """Whether the words should be corrected."""
        return self in (Class.DIFFERS, Class.WRONG_UNIT)


@dataclass(frozen=True, slots=True)
class Spoken:
    """One figure with the fact it speaks of.

    `against` is the statement it is held against, `expected` that statement's number nearest to what was said (SI),
    `off` the share by which it differs, `others` facts that it could speak of as well, `instead` the words that would
    be right, in the manner of those that were said.
    """

    figure: Figure
    class_: Class
    fact: Fact | None = None
    against: Statement | None = None
    reading: Reading | None = None
    expected: float | None = None
    off: float | None = None
    others: tuple[Key, ...] = ()
    instead: str = ""
    time_s: float | None = None
    line: int = 0
    sentence: str = ""


@dataclass(frozen=True, slots=True)
class Checked:
    """A checked script: every figure in order, and the facts that a reader would expect and nobody said."""

    script: Script
    spoken: tuple[Spoken, ...]
    never_said: tuple[Fact, ...] = ()

    @property
    def slips(self) -> tuple[Spoken, ...]:
        """What should be corrected."""
        return tuple(one for one in self.spoken if one.class_.is_slip)
