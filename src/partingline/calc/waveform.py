"""Waveforms of an oscilloscope: bandwidth, peak to peak, spectrum, single tones."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from partingline.calc.declare import Example, Real, calculation
from partingline.sources import cite

Array = NDArray[np.float64]

_SINE = [math.sin(2 * math.pi * n / 8) for n in range(64)]


@calculation(
    source=cite("common-practice", "largest less smallest value", "P"),
    units={"samples": ""},
    gives="unit of the samples",
    example=Example({"samples": [1.0, 3.0, -1.0]}, 4.0, 0.0, "definition", outside=False),
    no_outside="a definition",
)
def peak_to_peak(*, samples: ArrayLike) -> float:
    """The largest less the smallest sample; NaN samples are left out."""
    return float(np.nanmax(samples) - np.nanmin(samples))


@calculation(
    source=cite("algebra", "first-order low pass: 1/√(1 + (f/fc)²), phase arctan(f/fc)", "C"),
    units={"samples": "", "sample_rate": "Hz", "bandwidth": "Hz"},
    gives="unit of the samples",
    example=Example(
        {"samples": [1.0] * 8, "sample_rate": 1e6, "bandwidth": 1e5}, [1.0] * 8, 1e-12, "DC passes", outside=False
    ),
    no_outside="circuit theory; a test holds the -3 dB point and the slope",
)
def bandwidth_limited(*, samples: ArrayLike, sample_rate: float, bandwidth: float) -> Array:
    """Evenly spaced samples behind a first-order low pass, as the bandwidth limit of a scope.

    The record is mirrored at both ends, so that a difference between them makes no step.
    """
    values = np.asarray(samples, dtype=float)
    mirrored = np.concatenate([values, values[::-1]])
    frequency = np.fft.rfftfreq(len(mirrored), 1 / sample_rate)
    passed = np.fft.rfft(mirrored) / (1 + 1j * frequency / bandwidth)
    return np.asarray(np.fft.irfft(passed, len(mirrored))[: len(values)])


@dataclass(frozen=True, slots=True)
class Spectrum:
    """Frequencies in Hz and the peak amplitudes of sines at them, in the unit of the samples."""

    frequency: Array
    amplitude: Array


@calculation(
    source=cite("algebra", "discrete Fourier transform with a Hann window, coherent gain 1/2", "C"),
    units={"samples": "", "sample_rate": "Hz"},
    gives="frequency Hz, amplitude in the unit of the samples",
    example=Example(
        {"samples": _SINE, "sample_rate": 8.0},
        {"amplitude": [0.0] * 7 + [0.5, 1.0, 0.5] + [0.0] * 23},
        1e-9,
        "a sine of amplitude 1 in bin 8 of 32: 1 there, 1/2 beside it",
        outside=False,
    ),
    no_outside="a definition; a test holds it against scipy.signal",
)
def amplitude_spectrum(*, samples: ArrayLike, sample_rate: float) -> Spectrum:
    """The one-sided amplitude spectrum of evenly spaced samples, their mean taken off first."""
    values = np.asarray(samples, dtype=float)
    n = len(values)
    window = 0.5 - 0.5 * np.cos(2 * math.pi * np.arange(n) / n)
    bins = np.abs(np.fft.rfft((values - values.mean()) * window)) / n * 4
    bins[np.abs(bins) < 1e-13 * max(1.0, float(bins.max()))] = 0.0
    return Spectrum(np.asarray(np.fft.rfftfreq(n, 1 / sample_rate), np.float64), bins)


@calculation(
    source=cite("algebra", "projection on a sine and a cosine under a Hann window", "C"),
    units={"samples": "", "sample_rate": "Hz", "frequency": "Hz"},
    gives="unit of the samples",
    example=Example(
        {"samples": _SINE, "sample_rate": 8.0, "frequency": 1.0}, 1.0, 1e-9, "a sine of amplitude 1", outside=False
    ),
    no_outside="a definition",
)
def tone_amplitude(*, samples: ArrayLike, sample_rate: float, frequency: float) -> Real:
    """The peak amplitude of a sine at a known frequency; the record should hold three periods or more."""
    values = np.asarray(samples, dtype=float)
    n = len(values)
    window = 0.5 - 0.5 * np.cos(2 * math.pi * np.arange(n) / n)
    turn = np.exp(-2j * math.pi * frequency / sample_rate * np.arange(n))
    return float(abs(np.sum((values - values.mean()) * window * turn)) / n * 4)
