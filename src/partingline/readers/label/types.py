"""What a label says, and what of it could not be read."""

from dataclasses import dataclass
from typing import Literal

from partingline.readers.quantities import Quantity

OfferKind = Literal["fixed", "PPS", "AVS"]


@dataclass(frozen=True, slots=True)
class Offer:
    """One voltage and current that an output offers; the voltage of PPS and AVS is an interval."""

    kind: OfferKind
    voltage: Quantity
    current: Quantity | None = None
    power: Quantity | None = None


@dataclass(frozen=True, slots=True)
class LabelStatement:
    """One thing that a label says.

    what: `rated_input_voltage`, `rated_input_frequency`, `rated_input_current`, `offer`, `rated_power`, `sharing`,
    `model`, `insulation_class`, `efficiency_mark`, ...
    line: from 1; start, end: characters of that line, as printed; text: what stands there.
    quantities: usually one; a set (`50/60Hz`) has each member, `sharing` the power of each port of `ports` or, as
    its only member, of all together. words: what is said in words.
    ports: as written without `USB-` and `Type-` (`C1`, `A`); empty: the whole unit. together: the ports share it
    (`C1+A1`), else each has it (`C1/C2`).
    """

    what: str
    line: int
    start: int
    end: int
    text: str
    quantities: tuple[Quantity, ...] = ()
    words: str = ""
    ports: tuple[str, ...] = ()
    together: bool = False
    offer: Offer | None = None
    notes: tuple[str, ...] = ()

    @property
    def quantity(self) -> Quantity | None:
        """The first quantity, None where it is said in words."""
        return self.quantities[0] if self.quantities else None


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of a line; line from 1, start and end as characters of that line."""

    line: int
    start: int
    end: int
    text: str


@dataclass(frozen=True, slots=True)
class LabelProblem:
    """A place that is doubtful: what stands there, what was expected, and the next step."""

    line: int
    start: int
    end: int
    found: str
    expected: str
    next_step: str

    def __str__(self) -> str:
        place = f"line {self.line}, characters {self.start + 1} to {self.end}"
        return f"{place}: {self.found!r}; expected {self.expected}. {self.next_step}"


@dataclass(frozen=True, slots=True)
class Label:
    """A label as read: nothing printed on it is lost.

    Every word is in the place of a statement, in `context` (headings, ports, and what was read into a statement that
    stands elsewhere) or in `unread`.
    """

    statements: tuple[LabelStatement, ...]
    context: tuple[Stretch, ...]
    unread: tuple[Stretch, ...]
    problems: tuple[LabelProblem, ...]

    def all(self, what: str) -> tuple[LabelStatement, ...]:
        """The statements of one kind, in the order of the label."""
        return tuple(statement for statement in self.statements if statement.what == what)
