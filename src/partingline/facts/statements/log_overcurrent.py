"""Over-current ramps: the highest current that a port gave, and what it did then."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from partingline.facts.statements.log_source import LogSource
from partingline.model import Component, Key, Number, Route, Sense, Shape, Statement, Text
from partingline.readers.logs.types import Floats

HELD, COLLAPSED = 0.9, 0.5


@dataclass(frozen=True, slots=True)
class Trip:
    """Samples of the last held level, its current, the step of the ramp, whether the port let go, how in one word
    (`kind`), and in a sentence."""

    first: int
    last: int
    current: float
    step: float
    scatter: float
    tripped: bool
    kind: str
    behaviour: str


def over_current(source: LogSource) -> Iterator[Statement]:
    """`port:P/available_current` at the offer: `equals` where the port tripped or limited, `at least` where it never
    did.

    The true threshold lies within one step of the ramp above the last held level: the step is a rectangle of that
    half-width (JCGM 100:2008, 4.3.7).
    """
    log, entry = source.log, source.log.entry
    volts, amps = log.values("port_voltage"), log.values("output_current")
    if volts is None or amps is None:
        source.problem("port voltage or output current is missing", "a column of each", "Pin them in logs.toml.")
        return
    if not entry.port or entry.offer_v is None:
        source.problem("no port or no offer is named", 'port = "C1", offer = "20 V"', "Add them.")
        return
    good = np.isfinite(volts) & np.isfinite(amps)
    index = np.flatnonzero(good)
    trip = find_trip(log.time_s[good], volts[good], amps[good], entry.offer_v)
    if trip is None:
        found = f"the port voltage was never near {entry.offer_v:g} V"
        source.problem(found, "a ramp that begins inside the offer", "Check offer and columns.")
        return
    key = Key.of(f"port:{entry.ports[0]}", "available_current", offer=entry.offer_v)
    step = log.column("output_current").step
    parts = list(source.accuracy(trip.current, "output_current", "", step))
    parts += [Component(source.cause(key, "scatter"), trip.scatter)] if trip.scatter else []
    parts += (
        [Component(source.cause(key, "ramp step"), trip.step, Shape.RECTANGULAR)] if trip.tripped and trip.step else []
    )
    sense = Sense.EQUALS if trip.tripped else Sense.AT_LEAST
    evidence = source.evidence(int(index[trip.first]), int(index[trip.last]), "output_current")
    mains = "".join(f"; at {v:g} V mains" for v in source.mains().values())
    yield Statement(
        key, Number(trip.current, tuple(parts)), Route.MEASURED, sense, (evidence,), note=trip.behaviour + mains
    )
    if trip.tripped:
        key = Key.of(f"port:{entry.ports[0]}", "over_current_behaviour", offer=entry.offer_v)
        whole = source.evidence(int(index[trip.first]), len(volts) - 1, "port_voltage")
        yield Statement(key, Text(trip.kind), Route.MEASURED, Sense.EQUALS, (whole,), note=trip.behaviour + mains)


def find_trip(time: Floats, volts: Floats, amps: Floats, offer: float) -> Trip | None:
    """The last held level of a ramp at a contract voltage; None where the voltage was never near the offer.

    time in s, volts in V, amps in A, of equal length and without NaN.
    """
    held = np.flatnonzero(volts >= HELD * offer)
    if not len(held):
        return None
    low = np.flatnonzero(volts < COLLAPSED * offer)
    low = low[low > held[0]]
    end = int(low[0]) if len(low) else len(volts)
    before = held[held < end]
    top = float(amps[before].max())
    last = int(before[amps[before] >= 0.98 * top][-1])
    recent = amps[before[before <= last][-40:]]
    step = float(np.max(np.diff(recent), initial=0.0)) if len(recent) > 1 else 0.0
    first = last
    while first > before[0] and amps[first - 1] > amps[last] - step / 2:
        first -= 1
    level = amps[first : last + 1]
    scatter = float(level.std(ddof=1) / np.sqrt(len(level))) if len(level) > 3 else 0.0
    limited = _limited(volts[last:end], amps[last:end], offer, top)
    tripped = bool(len(low)) or bool(limited)
    kind, behaviour = (
        _behaviour(time, volts, end, offer, limited) if tripped else ("", f"held {top:.3g} A to the end: no trip")
    )
    return Trip(first, last, float(level.mean()), step, scatter, tripped, kind, behaviour)


def _limited(volts: Floats, amps: Floats, offer: float, top: float) -> str:
    """How the current went while the voltage sank without collapsing: '' where it did not."""
    sinking = (volts < HELD * offer) & (volts >= COLLAPSED * offer / 2)
    if sinking.sum() < 3:
        return ""
    return "folds back" if float(np.min(amps[sinking])) < 0.8 * top else "limits the current"


def _behaviour(time: Floats, volts: Floats, end: int, offer: float, limited: str) -> tuple[str, str]:
    """`hiccup`, `latch`, `one retry`, `fold-back` or `current limit`; and what happened, with times, in a sentence."""
    if end >= len(volts):
        return ("fold-back" if limited == "folds back" else "current limit"), limited
    head = f"{limited}, then trips" if limited else "trips"
    above = volts[end:] >= COLLAPSED * offer
    changes = np.diff(above.astype(int))
    rises = np.flatnonzero(changes == 1) + 1 + end
    falls = np.flatnonzero(changes == -1) + 1 + end
    off_s = float(time[-1] - time[end])
    if len(rises) >= 2:
        period = float(np.median(np.diff(time[rises])))
        on = [float(time[f] - time[r]) for r, f in zip(rises, falls, strict=False)]
        share = f", on for {np.median(on) / period * 100:.2g} % of it" if on and period else ""
        return "hiccup", f"{head}: hiccup, {len(rises)} retries in {off_s:.3g} s, one every {period:.3g} s{share}"
    if len(rises) == 1:
        return "one retry", f"{head}: back after {time[rises[0]] - time[end]:.3g} s"
    return "latch", f"{head}: stays off for the {off_s:.3g} s recorded"
