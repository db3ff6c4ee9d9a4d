"""Bench logs: from what the instruments wrote to arrays in SI units, plateaus, and what their accuracy allows.

What comes in: a CSV file of any dialect and its entry in `logs/logs.toml`. What goes out: a `Log`, its `Plateau`s, and
`Accuracy` statements that turn readings into uncertainty components. Nothing is judged here.

    catalogue.py   logs.toml -> LogEntry
    text.py        bytes -> text: encodings, binary files, the bound on size
    layout.py      text -> delimiter, decimal sign, header, units row
    tables.py      the rows below the header: at once where they are clean, else one by one
    columns.py     headers -> quantities; names.py holds the words, undirected.py settles what the header leaves open
    cells.py       texts -> numbers, over-range marks, the weight of the last digit
    stamps.py      texts -> seconds
    order.py       rows in the order of time, repeats, restarts, gaps
    reading.py     all of it: read_log
    clocks.py      how two clocks stand to each other
    joined.py      two logs of one test as one
    changes.py     change points in a noisy signal
    plateaus.py    plateaus and their settled part, the level of a stretch
    no_load.py     whether a no-load record is steady
    accuracy.py    accuracy statements
"""

from partingline.readers.logs.accuracy import Accuracy, AccuracyError, parse_accuracy
from partingline.readers.logs.catalogue import read_catalogue
from partingline.readers.logs.reading import read_log
from partingline.readers.logs.types import KINDS, Column, Log, LogEntry

__all__ = [
    "KINDS",
    "Accuracy",
    "AccuracyError",
    "Column",
    "Log",
    "LogEntry",
    "parse_accuracy",
    "read_catalogue",
    "read_log",
]
