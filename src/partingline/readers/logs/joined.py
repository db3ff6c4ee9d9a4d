"""Two logs of one test, as of a power analyser and an electronic load, made into one by the edges that both saw."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from partingline.model import Evidence, Problem, Whole
from partingline.readers.logs.clocks import clock_offset
from partingline.readers.logs.types import ClockOffset, Floats, Guest, Log

_FAR = 1.5
"""A sample counts for a time that is no further off than this many of its log's usual intervals."""


def join_logs(logs: Sequence[Log]) -> tuple[tuple[Log, ...], tuple[Problem, ...]]:
    """The logs, each with the series of those that stand `beside` it; and what could not be joined."""
    joined = list(logs)
    problems: list[Problem] = []
    for guest in logs:
        if not guest.entry.beside or not len(guest.time_s):
            continue
        hosts = [n for n, log in enumerate(joined) if log.entry.file == guest.entry.beside and not log.entry.beside]
        if not any(len(joined[n].time_s) for n in hosts):
            place = guest.entry.evidence or Evidence(guest.path, guest.sha256, Whole())
            found = f"{guest.entry.file}: no log {guest.entry.beside!r} to stand beside"
            problems.append(Problem(place, found, "another [[log]] that can be read", "Correct `beside`."))
            continue
        made = [(n, join(joined[n], guest)) for n in hosts]
        problems += [_apart(joined[n], guest) for n, one in made[:1] if one is None]
        for n, one in made:
            joined[n] = one or joined[n]
    return tuple(joined), tuple(problems)


def join(host: Log, guest: Log) -> Log | None:
    """The host with the guest's series that it lacks, at its own times; None where their clocks cannot be brought
    together."""
    clock = clock_offset(host, guest)
    if clock is None:
        return None
    fresh = tuple(key for key in guest.series if key not in host.series)
    index, near = _nearest(host, guest, clock)
    series = {key: np.where(near, guest.series[key][index], np.nan) for key in fresh}
    return replace(host, series={**host.series, **series}, guests=(*host.guests, Guest(guest, clock, fresh)))


def _nearest(host: Log, guest: Log, clock: ClockOffset) -> tuple[np.ndarray, np.ndarray]:
    """For each time of the host the guest's nearest sample, and whether that is near enough to count."""
    times: Floats = clock.first(guest.time_s)
    after = np.clip(np.searchsorted(times, host.time_s), 1, max(len(times) - 1, 1))
    later = np.minimum(after, len(times) - 1)
    index = np.where(host.time_s - times[after - 1] <= times[later] - host.time_s, after - 1, later)
    usual = float(np.median(np.diff(times))) if len(times) > 1 else 0.0
    return index, np.abs(times[index] - host.time_s) <= _FAR * usual


def _apart(host: Log, guest: Log) -> Problem:
    place = guest.entry.evidence or Evidence(guest.path, guest.sha256, Whole())
    found = f"{guest.entry.file}: its clock cannot be brought to that of {host.entry.file}"
    expected = "three or more steps of load that both logs saw"
    return Problem(place, found, expected, "Step the load three times or more while both record.")
