"""Single events in scope records: a load step, mains that fail (hold-up), mains that come (inrush)."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from partingline.facts.statements.log_source import LogSource
from partingline.facts.statements.scope_source import reading, trace
from partingline.model import Sense, Shape, Statement
from partingline.readers.logs.changes import running_median, scatter
from partingline.readers.logs.types import Floats

BAND = 0.01
"""Within this share of the offer the voltage counts as recovered (common practice, no source)."""
FAILED = 0.95
"""A port holds as long as its voltage is above this share: vSrcNew of a fixed supply, USB PD."""
OFF_SINE = 0.02
"""Share of the peak by which the mains must leave their sine; six times the scatter about it where that is more."""


@dataclass(frozen=True, slots=True)
class StepResponse:
    """What the voltage did after one step of the current: V above and below its end, and s until it stays in the band.

    at: index of the step; before and after: current in A.
    """

    at: int
    before: float
    after: float
    overshoot: float
    undershoot: float
    recovery: float


def load_step(source: LogSource) -> Iterator[Statement]:
    """Overshoot, undershoot and recovery time of a port, each the largest of all steps in the record."""
    entry = source.log.entry
    volts, amps = trace(source, "port_voltage"), trace(source, "output_current")
    if volts is None or amps is None or not _port(source):
        return
    offer = entry.offer_v or float(np.median(volts.values))
    steps = step_responses(volts.values, amps.values, volts.rate, offer)
    if not steps:
        source.problem("no step of the current", "a step of a tenth of the largest current or more", "Trigger on it.")
        return
    for quantity, name in (
        ("overshoot_voltage", "overshoot"), ("undershoot_voltage", "undershoot"), ("recovery_time", "recovery"),
    ):  # fmt: skip
        worst = max(steps, key=lambda step: float(getattr(step, name)))
        note = f"step from {worst.before:.3g} A to {worst.after:.3g} A"
        timed = quantity == "recovery_time"
        note += f"; back within {BAND * 100:g} % of {offer:g} V" if timed else ""
        own = (("sample interval", 1 / volts.rate, Shape.RECTANGULAR),) if timed else ()
        value = float(getattr(worst, name))
        yield reading(source, quantity, value, volts, "port_voltage", note=note, own=own, metered=not timed)


def step_responses(volts: Floats, amps: Floats, rate: float, offer: float) -> list[StepResponse]:
    """The response to every step of a tenth of the largest current; volts and amps of one length, in V and A."""
    smooth = running_median(amps, 5)
    largest = float(np.max(np.abs(smooth)))
    width = max(2, len(smooth) // 2000)
    change = smooth[width:] - smooth[:-width]
    large = np.flatnonzero(np.abs(change) > 0.1 * largest) + width
    if not len(large):
        return []
    groups = np.split(large, np.flatnonzero(np.diff(large) > 2 * width) + 1)
    begins = [int(group[0]) - width for group in groups]
    ends = [*begins[1:], len(volts)]
    found = []
    for start, end in zip(begins, ends, strict=True):
        after = volts[start:end]
        if len(after) < 20 or start < 10:
            continue
        final = float(np.median(after[-max(5, len(after) // 4) :]))
        noise = 3 * scatter(after)
        band = max(BAND * offer, noise)
        outside = np.flatnonzero(np.abs(after - final) > band)
        recovery = (int(outside[-1]) + 1) / rate if len(outside) else 0.0
        levels = (float(np.median(smooth[max(0, start - 50) : start])), float(np.median(smooth[end - 5 : end])))
        over, under = float(after.max()) - final, final - float(after.min())
        found.append(StepResponse(start, *levels, max(0.0, over), max(0.0, under), recovery))
    return found


def hold_up(source: LogSource) -> Iterator[Statement]:
    """`unit/hold_up_time` from the instant at which the mains leave their sine to that at which the port falls below
    95 % of its voltage; `at least` where it never does."""
    mains, volts = trace(source, "input_voltage"), trace(source, "port_voltage")
    if mains is None or volts is None:
        return
    failure = mains_failure(mains.values, mains.rate)
    if failure is None:
        source.problem("the mains never fail in the record", "two periods of mains, then none", "Record again.")
        return
    at, late = failure
    before = float(np.median(volts.values[: max(10, at)]))
    level = FAILED * (source.log.entry.offer_v or before)
    low = np.flatnonzero(volts.values[at:] < level)
    held = (int(low[0]) if len(low) else len(volts.values) - at) / volts.rate
    own = (("instant at which the mains fail", late / 2, Shape.RECTANGULAR),
           ("sample interval", 0.5 / volts.rate, Shape.RECTANGULAR))  # fmt: skip
    note = f"until the port is below {level:.3g} V" if len(low) else "the port held to the end of the record"
    sense = Sense.EQUALS if len(low) else Sense.AT_LEAST
    yield reading(
        source, "hold_up_time", held + late / 2, volts, "port_voltage", subject="unit", note=note, own=own,
        metered=False, sense=sense,
    )  # fmt: skip


def mains_failure(values: Floats, rate: float) -> tuple[int, float] | None:
    """The first sample of a mains voltage that stays off the sine of its first periods, and how late in s that shows at
    worst; None where it never leaves it, or where there are fewer than two periods."""
    from scipy.optimize import curve_fit

    peak = float(np.quantile(np.abs(values), 0.98))
    rises = np.flatnonzero((values[:-1] < 0) & (values[1:] >= 0))
    if len(rises) < 3 or peak == 0:
        return None
    period = float(np.median(np.diff(rises[:4])))
    first = int(2 * period)
    time = np.arange(len(values), dtype=np.float64)

    def sine(t: Floats, a: float, b: float, omega: float) -> Floats:
        return np.asarray(a * np.sin(omega * t) + b * np.cos(omega * t))

    start = (peak, 0.0, 2 * math.pi / period)
    fitted, _ = curve_fit(sine, time[:first], values[:first], p0=start)
    expected = sine(time, float(fitted[0]), float(fitted[1]), float(fitted[2]))
    rest = values - expected
    least = max(OFF_SINE * peak, 6 * float(rest[:first].std()))
    length = max(3, int(period / 20))
    runs = np.convolve(np.abs(rest) > least, np.ones(length), "valid") > length - 0.5
    away = np.flatnonzero(runs[first:])
    if not len(away):
        return None
    at = first + int(away[0])
    # What the X capacitor holds may lie on the sine for a while, about the crest longest: it may have failed since.
    near = np.abs(float(values[at]) - expected[:at]) <= least
    apart = np.flatnonzero(~near)
    return at, (at - int(apart[-1])) / rate if len(apart) else 0.0


def inrush(source: LogSource) -> Iterator[Statement]:
    """`unit/inrush_current` (largest amount) and `unit/inrush_i2t` of the first half cycle after switching on."""
    seen = trace(source, "input_current")
    if seen is None:
        return
    amounts = np.abs(seen.values)
    top = int(np.argmax(amounts))
    peak = float(amounts[top])
    if peak < 6 * scatter(seen.values):
        source.problem("no inrush stands out of the noise", "the first half cycle", "Trigger on the current.")
        return
    first, last = _pulse(amounts, top, 0.05 * peak)
    note = "largest amount; the phase at which the mains came counts"
    yield reading(source, "inrush_current", peak, seen, "input_current", subject="unit", note=note)
    energy = float(np.trapezoid(amounts[first : last + 1] ** 2, dx=1 / seen.rate))
    gain = source.accuracy(peak, "inrush_current", column="input_current")
    own = tuple((f"current ({n})", 2 * energy * c.width / peak, c.shape) for n, c in enumerate(gain))
    yield reading(
        source, "inrush_i2t", energy, seen, "input_current", subject="unit", own=own, metered=False,
        note=f"over {(last - first) / seen.rate * 1e3:.3g} ms, above 5 % of the peak",
    )  # fmt: skip


def _pulse(amounts: Floats, top: int, least: float) -> tuple[int, int]:
    low = np.flatnonzero(amounts < least)
    before, after = low[low < top], low[low > top]
    return int(before[-1]) if len(before) else 0, int(after[0]) if len(after) else len(amounts) - 1


def _port(source: LogSource) -> bool:
    if not source.log.entry.port:
        source.problem("no port is named", 'port = "C1"', "Add it; until then the record gives no facts.")
    return bool(source.log.entry.port)
