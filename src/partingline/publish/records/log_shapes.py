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


class GuestRecord(TypedDict):
    """A log of the same test: what it adds, and how its clock stands. At its time `at_s`, `offset_s` is added to get
    this log's time; `drift` is in s/s, 0 where none shows."""

    file: str
    sha256: str
    columns: list[ColumnRecord]
    offset_s: float
    u_s: float
    drift: float
    u_drift: float
    at_s: float
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
    beside: list[GuestRecord]
    problems: list[ProblemRecord]
