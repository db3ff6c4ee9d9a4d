"""A recording: sample rate, channels with their scale, and samples read a stretch at a time."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt

from partingline.readers.cc.problem import Problem

CC_NAMES = ("cc1", "cc2")
KNOWN_NAMES = (*CC_NAMES, "vbus", "current")
LEAST_RATE_HZ = 1e6
MOST_RATE_HZ = 250e6


@dataclass(frozen=True, slots=True)
class Channel:
    """One channel: value = raw * scale + offset, in `unit`; `known`: whether the recording states them."""

    name: str
    scale: float
    offset: float
    known: bool
    unit: str = "V"


@dataclass(frozen=True, slots=True)
class Options:
    """What a person says about a recording whose file does not: rate, channel names, scale and offset."""

    rate_hz: float | None = None
    channels: tuple[str, ...] = ()
    scale: float | None = None
    offset: float | None = None


@dataclass(frozen=True, slots=True)
class Recording:
    """Samples of several channels. `raw(start, stop)` gives an array (samples, channels), as stored."""

    path: Path
    kind: str
    rate_hz: float
    length: int
    channels: tuple[Channel, ...]
    raw: Callable[[int, int], npt.NDArray[np.number]]
    problems: tuple[Problem, ...] = ()

    @property
    def duration_s(self) -> float:
        """How long the recording lasts."""
        return self.length / self.rate_hz

    def channel(self, name: str) -> Channel | None:
        """The channel of that name."""
        return next((channel for channel in self.channels if channel.name == name), None)

    def read(self, channel: Channel, start: int, stop: int) -> npt.NDArray[np.number]:
        """Contiguous raw samples of one channel."""
        block = self.raw(start, stop)
        return np.ascontiguousarray(block[:, self.channels.index(channel)])

    def values(self, channel: Channel, start_s: float, stop_s: float) -> npt.NDArray[np.float64]:
        """Scaled samples between two times, held to the recording."""
        start = min(max(0, round(start_s * self.rate_hz)), self.length)
        stop = min(max(start, round(stop_s * self.rate_hz)), self.length)
        return self.read(channel, start, stop).astype(np.float64) * channel.scale + channel.offset


def name_channels(count: int, options: Options, names: tuple[str, ...] = ()) -> tuple[str, ...]:
    """Names of the channels: the person's, else the file's, else cc1, cc2, vbus, current in that order."""
    given = options.channels or names or KNOWN_NAMES
    return tuple(given[i] if i < len(given) else f"channel{i + 1}" for i in range(count))


def scaled(name: str, options: Options, *, is_float: bool) -> Channel:
    """A channel of a format that states no scale: floats are volts, whole numbers need the person's scale."""
    known = options.scale is not None or is_float
    return Channel(name, options.scale or 1.0, options.offset or 0.0, known, unit_of(name))


def unit_of(name: str) -> str:
    """A for a current channel, else V."""
    return "A" if name == "current" else "V"


def rate_problem(place: str, rate_hz: float) -> tuple[Problem, ...]:
    """A warning about a rate that is outside what can be decoded well."""
    if LEAST_RATE_HZ <= rate_hz <= MOST_RATE_HZ:
        return ()
    return (
        Problem(
            place,
            f"sample rate {rate_hz:g} Hz",
            "1 to 250 MS/s (a half bit lasts 1.5 to 1.85 µs)",
            "Record the CC wire again at 2.5 MS/s or more." if rate_hz < LEAST_RATE_HZ else "Decimate first.",
        ),
    )
