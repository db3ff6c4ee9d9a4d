"""What is known while a label is read from left to right and top to bottom."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace

from partingline.readers.label.types import LabelProblem, LabelStatement
from partingline.readers.quantities import Quantity


@dataclass(frozen=True, slots=True)
class Line:
    """One line: as printed, and with its characters made alike (same length)."""

    number: int
    printed: str
    alike: str


@dataclass(slots=True)
class State:
    """The heading under which the next words stand, and what has been read.

    group: positions in `statements` of the offers since the last heading; total: the word 'total' came before;
    heading_line: where the last `INPUT` or `OUTPUT` stood.
    """

    section: str = ""
    ports: tuple[str, ...] = ()
    together: bool = False
    kind: str = ""
    total: bool = False
    heading_line: int = 0
    group: list[int] = field(default_factory=list)
    statements: list[LabelStatement] = field(default_factory=list)
    problems: list[LabelProblem] = field(default_factory=list)

    def heading(self, section: str, ports: tuple[str, ...] = (), together: bool = False) -> None:
        """A new heading: what comes next is about these ports."""
        self.section, self.ports, self.together = section, ports, together
        self.kind = ""
        self.group = []

    def say(self, line: Line, start: int, end: int, what: str, **fields: object) -> LabelStatement:
        """Keep a statement about characters `start` to `end`."""
        statement = LabelStatement(what, line.number, start, end, line.printed[start:end])
        statement = replace(statement, **fields)  # type: ignore[arg-type]
        self.statements.append(statement)
        return statement

    def doubt(self, line: Line, start: int, end: int, expected: str, next_step: str) -> None:
        """Keep a doubtful place."""
        found = line.printed[start:end]
        self.problems.append(LabelProblem(line.number, start, end, found, expected, next_step))


Recogniser = Callable[[Line, int, State], int | None]
"""Reads what begins at a character: keeps it in the state and gives the end, or None if it is something else."""


def keep(
    state: State, line: Line, start: int, end: int, what: str, readings: tuple[Quantity, ...], **fields: object
) -> None:
    """Keep a quantity; one with several readings is kept in words only, and doubted."""
    if len(readings) == 1:
        state.say(line, start, end, what, quantities=readings, **fields)
        return
    state.say(line, start, end, what, words=line.printed[start:end], **fields)
    said = " or ".join(f"{one.value:g} {one.unit}" for one in readings)
    state.doubt(line, start, end, f"one number, where this is {said}", "Write it without the comma.")


def printed(quantity: Quantity, line: Line, start: int, end: int) -> Quantity:
    """The quantity with its text as it is printed."""
    return replace(quantity, text=line.printed[start:end].strip())
