"""A scope record on its way to statements: evenly spaced samples, keys, and readings with their components."""

from dataclasses import dataclass

import numpy as np

from partingline.facts.statements.log_source import LogSource
from partingline.model import Component, Key, Number, Route, Sense, Shape, Statement
from partingline.readers.logs.types import Floats

UNEVEN = 0.01
"""Share of the usual interval by which a stamp may be off; more, and the samples are not evenly spaced."""


@dataclass(frozen=True, slots=True)
class Trace:
    """One channel: values of the samples `first` to `last` without gaps, their rate, and the time of the first."""

    values: Floats
    rate: float
    first: int
    last: int
    start: float

    def time(self, index: int) -> float:
        """Seconds of a sample in the log."""
        return self.start + index / self.rate


def trace(source: LogSource, quantity: str, channel: str = "", *, least: int = 100) -> Trace | None:
    """A channel as evenly spaced samples, single missing ones filled in; None with a problem where it is not one."""
    log = source.log
    values = log.values(quantity, channel)
    name = quantity.replace("_", " ")
    if values is None:
        source.problem(f"no column of {name}", f"a column of {name}", 'Pin it: columns = { ... = "CH1" }.')
        return None
    good = np.flatnonzero(np.isfinite(values))
    if len(good) < least:
        source.problem(f"{len(good)} samples of {name}", f"{least} or more", "Record a longer stretch.")
        return None
    first, last = int(good[0]), int(good[-1])
    time = log.time_s[first : last + 1]
    steps = np.diff(time)
    usual = float(time[-1] - time[0]) / len(steps)
    # Stamps of few digits jitter about an even grid: the grid counts, not each interval.
    grid = np.abs(time - time[0] - usual * np.arange(len(time))).max()
    if usual <= 0 or grid > max(UNEVEN * len(time) * usual, 2 * usual):
        source.problem("samples that are not evenly spaced", "a scope record", "Export the whole record.")
        return None
    stretch = values[first : last + 1]
    if len(good) < len(stretch):
        at = np.arange(len(stretch))
        whole = np.isfinite(stretch)
        stretch = np.interp(at, at[whole], stretch[whole])
    return Trace(np.asarray(stretch), 1 / usual, first, last, float(time[0]))


def reading(
    source: LogSource, quantity: str, value: float, seen: Trace, of: str, *, subject: str = "", note: str = "",
    own: tuple[tuple[str, float, Shape], ...] = (), metered: bool = True, sense: Sense = Sense.EQUALS,
) -> Statement:  # fmt: skip
    """A measured statement with the conditions of the log: the meter's components where `metered`, and its `own`."""
    ports = source.log.entry.ports
    key = Key.of(subject or (f"port:{ports[0]}" if ports else "unit"), quantity, **source.conditions())
    step = source.log.column(of).step
    parts = list(source.accuracy(value, quantity, "", step, column=of)) if metered else []
    parts += [Component(source.cause(key, name), width, shape) for name, width, shape in own if width]
    evidence = source.evidence(seen.first, seen.last, of)
    return Statement(key, Number(value, tuple(parts)), Route.MEASURED, sense, (evidence,), note=note)
