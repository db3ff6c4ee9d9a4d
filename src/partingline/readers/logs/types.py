"""What a bench log is once it is read."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from partingline.model import Cell, Evidence, Place, Problem, Rows, Samples

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

KINDS = (
    "load sweep", "line sweep", "no load", "standby", "thermal", "over-current", "sharing", "ripple", "load step",
    "hold-up", "inrush", "discharge", "recharge",
)  # fmt: skip


@dataclass(frozen=True)
class LogEntry:
    """One `[[log]]` of `logs/logs.toml`: what a log is, and under which conditions it was taken.

    `columns` pins quantities to header texts, `instruments` quantities to instrument ids; a key may carry a channel, as
    `C1/port_voltage`. `full_load_a` is the current that counts as load 1; None: the highest plateau. `bandwidth_hz` is
    that of probe and scope; `sheet` names the sheet of a spreadsheet. `beside` names the log of the same test, by
    another instrument, whose readings this one completes.
    """

    file: str
    kind: str = ""
    port: str = ""
    partner: str = ""
    offer_v: float | None = None
    mains_v: float | None = None
    frequency_hz: float | None = None
    ambient_c: float | None = None
    ambient_u: float = 0.0
    load: float | None = None
    full_load_a: float | None = None
    bandwidth_hz: float | None = None
    columns: Mapping[str, str] = field(default_factory=dict)
    instruments: Mapping[str, str] = field(default_factory=dict)
    sheet: str = ""
    beside: str = ""
    note: str = ""
    evidence: Evidence | None = None

    @property
    def ports(self) -> tuple[str, ...]:
        """All ports in use, the one under test first."""
        return tuple(filter(None, f"{self.port}+{self.partner}".replace(",", "+").replace(" ", "").split("+")))


@dataclass(frozen=True, slots=True)
class Column:
    """A column of the file: header text, unit as written, and what it was recognised as.

    SI value = cell * factor + offset. `quantity` is a glossary id, `time`, or '' where nothing was recognised;
    `channel` tells several columns of one quantity apart (a port, a face). `how` says why: `pinned`, `name and unit`,
    `name`, `unit alone`. `step` is the smallest difference that the file can show, in SI units."""

    index: int
    name: str
    unit: str = ""
    si: str = ""
    factor: float = 1.0
    offset: float = 0.0
    quantity: str = ""
    channel: str = ""
    how: str = ""
    step: float = 0.0


@dataclass(frozen=True, slots=True)
class ClockOffset:
    """How the clock of a second log stands to the first's: at the second's time `at` (s) its clock is `seconds` behind,
    and falls behind by `rate` s every second (0 where no drift shows). Standard uncertainties `u` and `u_rate`.

    edges: how many edges of both agree, of `seen` in the log with fewer.
    """

    seconds: float
    u: float
    edges: int
    seen: int
    rate: float = 0.0
    u_rate: float = 0.0
    at: float = 0.0

    def first(self, time: Floats) -> Floats:
        """Times of the first log, from those of the second."""
        return time + self.seconds + self.rate * (time - self.at)

    def second(self, time: float) -> float:
        """A time of the second log, from one of the first."""
        return self.at + (time - self.seconds - self.at) / (1 + self.rate)

    def u_of(self, time: float) -> float:
        """Standard uncertainty of the offset at a time of the second log, s."""
        return math.hypot(self.u, self.u_rate * (time - self.at))


@dataclass(frozen=True)
class Guest:
    """A log of the same test by another instrument: which quantities it adds, and how its clock stands."""

    log: "Log"
    clock: ClockOffset
    keys: tuple[tuple[str, str], ...]

    def samples(self, start: float, end: float) -> tuple[int, int]:
        """Its first and last sample between two times of the host that surely lie between them: twice the uncertainty
        of the clocks is left out at both ends; the nearest one where none does."""
        times = self.log.time_s
        a, b = self.clock.second(start), self.clock.second(end)
        first = int(np.searchsorted(times, a + 2 * self.clock.u_of(a)))
        last = int(np.searchsorted(times, b - 2 * self.clock.u_of(b), "right")) - 1
        if first <= last:
            return first, last
        near = int(np.argmin(np.abs(times - (a + b) / 2)))
        return near, near


@dataclass(frozen=True)
class Log:
    """A log in SI units, in the order of time, without the rows that were recorded twice.

    rows: number of each sample's row in the file (the first line is row 1). time_s: seconds since the first sample.
    series: one array a recognised column, by (quantity, channel); NaN where the instrument gave no value. rate_hz: of a
    recording of evenly spaced samples; 0 for rows with stamps. guests: logs of the same test whose series stand among
    these, each at its sample nearest in time.
    """

    path: str
    sha256: str
    entry: LogEntry
    columns: tuple[Column, ...] = ()
    rows: Ints = field(default_factory=lambda: np.empty(0, np.int64))
    time_s: Floats = field(default_factory=lambda: np.empty(0))
    start: datetime | None = None
    series: Mapping[tuple[str, str], Floats] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()
    encoding: str = ""
    delimiter: str = ""
    decimal: str = "."
    header_row: int = 0
    rate_hz: float = 0.0
    guests: tuple[Guest, ...] = ()

    def values(self, quantity: str, channel: str = "") -> Floats | None:
        """The samples of one quantity, None where the log does not hold it."""
        return self.series.get((quantity, channel))

    def channels(self, quantity: str) -> tuple[str, ...]:
        """The channels of one quantity, in the order of the columns."""
        return tuple(channel for name, channel in self.series if name == quantity)

    def column(self, quantity: str, channel: str = "") -> Column:
        """The column of one quantity, of a guest where it comes from there; KeyError where neither holds it."""
        if guest := self.guest(quantity, channel):
            return guest.log.column(quantity, channel)
        for column in self.columns:
            if (column.quantity, column.channel) == (quantity, channel):
                return column
        raise KeyError(f"{self.path} has no column of {quantity} {channel}".rstrip())

    def guest(self, quantity: str, channel: str = "") -> Guest | None:
        """The guest that a series comes from; None where it is this log's own."""
        return next((guest for guest in self.guests if (quantity, channel) in guest.keys), None)

    def evidence(self, first: int, last: int, quantity: str, channel: str = "") -> Evidence:
        """A pointer to samples `first` to `last` (both included) of one quantity, in the file that holds them."""
        if guest := self.guest(quantity, channel):
            first, last = guest.samples(float(self.time_s[first]), float(self.time_s[last]))
            return guest.log.evidence(first, last, quantity, channel)
        return Evidence(self.path, self.sha256, self.place(first, last, self.column(quantity, channel).name))

    def place(self, first: int, last: int, column: str = "") -> Rows | Samples:
        """Where samples `first` to `last` stand in the file."""
        rows = self.rows[first : last + 1]
        if self.rate_hz:
            return Samples(int(rows.min()), int(rows.max()), float(self.time_s[first]))
        return Rows(int(rows.min()), int(rows.max()), column)


@dataclass
class Notes:
    """Problems as they are met, with the file's path and hash."""

    path: str
    sha256: str
    problems: list[Problem] = field(default_factory=list)

    def add(self, place: Place, found: str, expected: str, next_step: str, *, loses: bool = True) -> None:
        """Keep a problem at a place."""
        self.problems.append(Problem(Evidence(self.path, self.sha256, place), found, expected, next_step, loses))

    def cells(
        self, rows: list[int], column: str, found: str, expected: str, next_step: str, *, loses: bool = True
    ) -> None:
        """Keep one problem for several cells of a column: the place is the first, the sentence counts and names the
        rows."""
        many = f"{found} in {len(rows)} cells (rows {row_list(rows)})" if len(rows) > 1 else found
        self.add(Cell(rows[0], column), many, expected, next_step, loses=loses)


def row_list(rows: list[int]) -> str:
    """`3, 7–9, 12`: runs drawn together, at most eight of them."""
    runs: list[list[int]] = []
    for row in sorted(rows):
        if runs and row == runs[-1][1] + 1:
            runs[-1][1] = row
        else:
            runs.append([row, row])
    told = ", ".join(str(a) if a == b else f"{a}–{b}" for a, b in runs[:8])
    return told + (f" and {len(runs) - 8} more places" if len(runs) > 8 else "")
