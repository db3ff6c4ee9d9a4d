"""What a marking can say, and what a scheme of marking is."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date

EVIDENCE = {
    "S": "read in the primary text",
    "S2": "read in a secondary copy",
    "C": "computed from the stated formula",
    "P": "common practice, no source",
    "M": "from memory",
}
WEAKEST_LAST = tuple(EVIDENCE)


@dataclass(frozen=True, slots=True)
class Said:
    """One thing that a marking says.

    quantity: `capacitance`, `rated_voltage`, `tolerance`, `date`, ... ; value, low, high: in `unit`, SI;
    words: what is said in words; evidence: a mark where it differs from the scheme's;
    day: the first day of a date; condition: what it holds for, such as the safety class of a voltage.
    """

    quantity: str
    value: float | None = None
    unit: str = ""
    low: float | None = None
    high: float | None = None
    words: str = ""
    evidence: str = ""
    day: date | None = None
    condition: str = ""


@dataclass(frozen=True, slots=True)
class Found:
    """What a scheme makes of a text. `plausibility` (0 to 1) orders readings; it is not a probability."""

    kind: str
    said: tuple[Said, ...]
    plausibility: float
    variety: str = ""
    unread: str = ""
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Scheme:
    """One way of marking. `source` is shown beside every reading, `evidence` is a mark of `EVIDENCE`."""

    id: str
    title: str
    source: str
    evidence: str
    read: Callable[[str], Iterable[Found]]


@dataclass(frozen=True, slots=True)
class Reading:
    """One plausible reading of a marking.

    kind: `capacitor`, `resistor`, `fuse`, `date code`, ...; variety: `X capacitor`, `film`, ... or ''.
    says: the reading in one line; evidence: how well the scheme is known, the weakest of what was used;
    fits: whether the kind is the one that was asked for; unread: what of the text the scheme leaves over.
    """

    text: str
    kind: str
    variety: str
    says: str
    said: tuple[Said, ...]
    scheme: str
    source: str
    evidence: str
    plausibility: float
    fits: bool
    unread: str = ""
    notes: tuple[str, ...] = ()

    def get(self, quantity: str) -> Said | None:
        """What it says of a quantity, None if nothing."""
        return next((said for said in self.said if said.quantity == quantity), None)
