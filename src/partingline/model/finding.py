"""What a rule makes of the facts."""

from dataclasses import dataclass, field
from enum import StrEnum

from partingline.model.key import Key


class Verdict(StrEnum):
    """The four outcomes of a rule. There is no fifth: a computed finding is never a certificate."""

    FALLS_SHORT = "falls short"
    UNDECIDED = "undecided"
    NOT_ENOUGH_DATA = "not enough data"
    MEETS = "meets"


@dataclass(frozen=True, slots=True)
class Citation:
    """A source document by its id, the clause in it, and how the number was read.

    `mark` is S (primary text read), S2 (secondary copy), M (from memory), C (computed from a stated formula) or
    P (common practice, no source). A limit with M or P is indicative.
    """

    document: str
    where: str
    mark: str
    title: str

    @property
    def indicative(self) -> bool:
        """True where the limit may not decide 'falls short' by itself."""
        return self.mark in ("M", "P")

    def __str__(self) -> str:
        caveat = {"M": " (indicative: from memory)", "P": " (indicative: common practice)"}.get(self.mark, "")
        return f"{self.title}{', ' + self.where if self.where else ''}{caveat}"


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of a sentence; with a key it is a number that leads to its fact."""

    text: str
    key: Key | None = None


@dataclass(frozen=True, slots=True)
class Limit:
    """What the value is held against: `at least`, `at most`, or both. SI units of the quantity."""

    low: float | None
    high: float | None
    label: str


@dataclass(frozen=True, slots=True)
class Finding:
    """The outcome of one rule on one subject.

    `margin` is the distance to the nearest limit in SI units, positive inside; `probability` that of conformity
    (JCGM 106:2012, 7); `decides_at_u` the standard uncertainty that would decide an undecided one; `missing` the keys
    whose facts would let the rule speak.
    """

    rule: str
    group: str
    subject: str
    verdict: Verdict
    sentence: tuple[Span, ...]
    citation: Citation
    key: Key | None = None
    limit: Limit | None = None
    margin: float | None = None
    probability: float | None = None
    decides_at_u: float | None = None
    used: tuple[Key, ...] = ()
    missing: tuple[Key, ...] = ()
    next_step: str = ""
    indicative: bool = field(default=False)

    @property
    def text(self) -> str:
        """The sentence as plain text."""
        return "".join(span.text for span in self.sentence)
