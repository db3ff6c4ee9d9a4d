"""What `partingline log --json` holds."""

from typing_extensions import TypedDict

from partingline.publish.records.shapes import FactRecord, ProblemRecord


class ColumnRecord(TypedDict):
    """A column of the file. SI value = cell * factor + offset; `step` is the smallest difference shown, in SI units."""

    name: str
    unit: str
    quantity: str
    channel: str
    recognised_by: str
    factor: float
    offset: float
    step: float


class SegmentRecord(TypedDict):
    """A plateau: rows of the file, and from which row on it counts as settled."""

    first_row: int
    last_row: int
    settled_from_row: int
    start_s: float
    end_s: float
    settled: bool
    drift: float
    why: str


class BudgetLineRecord(TypedDict):
    """One cause of uncertainty (JCGM 100:2008): contribution = sensitivity * u; share of the variance."""

    cause: str
    moves: list[str]
    shape: str
    u: float
    sensitivity: float
    contribution: float
    share: float


class BudgetRecord(TypedDict):
    """The budget of a fact; `rest` is the share of causes too small to list."""

    fact: str
    value: float
    u: float
    dominant: str
    lines: list[BudgetLineRecord]
    rest: float


class ClockRecord(TypedDict):
    """Seconds to add to the other log's time to get this one's."""

    beside: str
    seconds: float
    u: float
    edges: int
    seen: int


class LogRecord(TypedDict):
    """`partingline log --json`."""

    schema: str
    version: int
    file: str
    sha256: str
    kind: str
    encoding: str
    delimiter: str
    decimal: str
    header_row: int
    samples: int
    start: str | None
    length_s: float
    columns: list[ColumnRecord]
    segments: list[SegmentRecord]
    facts: list[FactRecord]
    budgets: list[BudgetRecord]
    clock: ClockRecord | None
    problems: list[ProblemRecord]
