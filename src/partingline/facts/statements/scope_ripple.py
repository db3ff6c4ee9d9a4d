"""Ripple of a port from a scope record: peak to peak, its parts by frequency, and bursts."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from partingline.calc import waveform
from partingline.facts.statements.log_source import LogSource
from partingline.facts.statements.scope_source import Trace, reading, trace
from partingline.model import Shape, Statement
from partingline.readers.logs.types import Floats

BANDWIDTH = 20e6
"""Bandwidth at which ripple is told in the trade (common practice, no source)."""
SWITCHING = (15e3, 5e6)
"""Where a switching frequency is looked for, in Hz (common practice, no source)."""
CLEAR = 8.0
"""A line of the spectrum stands out where it is this many times the median of its band."""
LONGEST = 1 << 21


@dataclass(frozen=True, slots=True)
class Tone:
    """A line of the spectrum: frequency in Hz, its half resolution, and peak amplitude in V."""

    frequency: float
    half_width: float
    amplitude: float


@dataclass(frozen=True, slots=True)
class Bursts:
    """How often switching starts again, in Hz, and the share of time in which it runs."""

    frequency: float
    share: float
    count: int


def ripple(source: LogSource) -> Iterator[Statement]:
    """`port:P` at mains, offer and load: ripple, its switching and line parts (peak to peak), switching frequency,
    bursts."""
    if not source.log.entry.port:
        source.problem("no port is named", 'port = "C1"', "Add it; until then the record gives no facts.")
        return
    seen = trace(source, "port_voltage", least=1000)
    if seen is None:
        return
    values, told = limited(seen, source.log.entry.bandwidth_hz)
    lasting = f"{len(values) / seen.rate * 1e3:.3g} ms at {seen.rate / 1e6:.3g} MS/s"
    height = waveform.peak_to_peak(samples=values)
    yield reading(source, "ripple_voltage", height, seen, "port_voltage", note=f"peak to peak over {lasting}; {told}")
    tone = switching(values, seen.rate)
    if tone is not None:
        own = (("resolution of the spectrum", tone.half_width, Shape.RECTANGULAR),)
        note = f"strongest line above {SWITCHING[0] / 1e3:g} kHz"
        yield reading(
            source, "switching_frequency", tone.frequency, seen, "port_voltage", own=own, metered=False, note=note
        )
        note = "peak to peak of the fundamental"
        yield reading(source, "ripple_switching", 2 * tone.amplitude, seen, "port_voltage", note=note)
        found = bursts(values, seen.rate, tone.frequency)
        if found is not None:
            note = f"{found.count} bursts in {lasting}"
            yield reading(
                source, "burst_frequency", found.frequency, seen, "port_voltage", metered=False, note=note,
                own=(("one burst more or less", found.frequency / found.count, Shape.RECTANGULAR),),
            )  # fmt: skip
            yield reading(source, "burst_share", found.share, seen, "port_voltage", metered=False, note=note)
    mains = source.log.entry.frequency_hz
    if mains and len(values) / seen.rate * 2 * mains >= 3:
        height = 2 * float(waveform.tone_amplitude(samples=values, sample_rate=seen.rate, frequency=2 * mains))
        note = f"peak to peak at {2 * mains:g} Hz"
        yield reading(source, "ripple_line", height, seen, "port_voltage", note=note)


def limited(seen: Trace, told: float | None) -> tuple[Floats, str]:
    """The samples at 20 MHz or the bandwidth of the scope, whichever is lower, and which in words."""
    if told is not None and told <= BANDWIDTH:
        return seen.values, f"bandwidth of the scope {told / 1e6:.3g} MHz"
    if seen.rate / 2 <= BANDWIDTH:
        return seen.values, f"bandwidth at most {seen.rate / 2e6:.3g} MHz by the sample rate"
    held = waveform.bandwidth_limited(samples=seen.values, sample_rate=seen.rate, bandwidth=BANDWIDTH)
    return held, "bandwidth limited to 20 MHz here, first order"


def switching(values: Floats, rate: float) -> Tone | None:
    """The strongest line in the band of switching converters; None where none stands out."""
    values = values[:LONGEST]
    spectrum = waveform.amplitude_spectrum(samples=values, sample_rate=rate)
    band = (spectrum.frequency >= SWITCHING[0]) & (spectrum.frequency <= min(SWITCHING[1], 0.45 * rate))
    index = np.flatnonzero(band)
    if len(index) < 10:
        return None
    best = int(index[np.argmax(spectrum.amplitude[index])])
    if spectrum.amplitude[best] < CLEAR * float(np.median(spectrum.amplitude[index])):
        return None
    # Between two bins the ratio of the neighbours tells the place (Hann window: (2r - 1)/(r + 1)).
    bin_hz = rate / len(values)
    left, right = spectrum.amplitude[best - 1], spectrum.amplitude[min(best + 1, len(spectrum.amplitude) - 1)]
    ratio = max(left, right) / spectrum.amplitude[best]
    shift = (2 * ratio - 1) / (ratio + 1) * (1 if right > left else -1)
    frequency = float(spectrum.frequency[best] + shift * bin_hz)
    tone = waveform.tone_amplitude(samples=values, sample_rate=rate, frequency=frequency)
    return Tone(frequency, bin_hz / 4, float(tone))


def bursts(values: Floats, rate: float, frequency: float) -> Bursts | None:
    """Whether switching comes in bursts: the envelope over four periods falls to a third and rises again, thrice or
    more; None where it runs on."""
    block = max(4, round(4 * rate / frequency))
    whole = len(values) // block * block
    if whole < 12 * block:
        return None
    parts = values[:whole].reshape(-1, block)
    envelope = np.sqrt(((parts - parts.mean(axis=1, keepdims=True)) ** 2).mean(axis=1))
    high, low = (float(np.quantile(envelope, q)) for q in (0.98, 0.02))
    if high < 3 * low:
        return None
    on = envelope > math.sqrt(high * max(low, high / 100))
    starts = np.flatnonzero(np.diff(on.astype(int)) == 1)
    if len(starts) < 3:
        return None
    period = float(starts[-1] - starts[0]) * block / rate / (len(starts) - 1)
    return Bursts(1 / period, float(on[starts[0] + 1 : starts[-1] + 1].mean()), len(starts))
