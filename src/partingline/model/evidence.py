"""Pointers into files: what a statement rests on, and where exactly."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Whole:
    """The whole file."""

    def __str__(self) -> str:
        return "whole file"


@dataclass(frozen=True, slots=True)
class Line:
    """A line of a text file, counted from 1."""

    number: int

    def __str__(self) -> str:
        return f"line {self.number}"


@dataclass(frozen=True, slots=True)
class KeyPath:
    """A key of a structured file, as `port[0].offers`, with the line where it is written (0: unknown)."""

    path: str
    line: int = 0

    def __str__(self) -> str:
        return f"line {self.line}" if self.line else self.path


@dataclass(frozen=True, slots=True)
class Cell:
    """A cell of a table: row counted from 1 with the header as row 1, and the column's name."""

    row: int
    column: str

    def __str__(self) -> str:
        return f"row {self.row}, {self.column}"


@dataclass(frozen=True, slots=True)
class Rows:
    """Rows `first` to `last` of a table, counted from 1 with the header as row 1."""

    first: int
    last: int
    column: str = ""

    def __str__(self) -> str:
        return f"rows {self.first} to {self.last}" + (f", {self.column}" if self.column else "")


@dataclass(frozen=True, slots=True)
class Samples:
    """Samples `first` to `last` of a recording, counted from 0; `t_s` is the time of the first."""

    first: int
    last: int
    t_s: float

    def __str__(self) -> str:
        return f"samples {self.first} to {self.last}, at {self.t_s * 1e3:.3f} ms"


@dataclass(frozen=True, slots=True)
class Region:
    """A rectangle of a picture in pixels of the untouched original."""

    x: float
    y: float
    w: float
    h: float

    def __str__(self) -> str:
        return f"region {self.x:.0f},{self.y:.0f} {self.w:.0f}×{self.h:.0f} px"


Place = Whole | Line | KeyPath | Cell | Rows | Samples | Region


@dataclass(frozen=True, slots=True)
class Evidence:
    """A place in a file of the unit folder.

    `path` is relative to the unit folder, with `/`; `sha256` is the hex digest of the file's content.
    """

    path: str
    sha256: str
    place: Place = Whole()

    def __str__(self) -> str:
        return self.path if isinstance(self.place, Whole) else f"{self.path}, {self.place}"
