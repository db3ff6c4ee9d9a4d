"""What a DisplayPort link can show: VESA CVT reduced-blanking timings against lanes x rate x coding.

The constants of the timings, the link rates and the coding are from memory; the timings are checked in the tests
against published pixel clocks.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from partingline.calc.declare import Example, Real, calculation
from partingline.calc.numbers import plain
from partingline.sources import cite

_CVT = cite("vesa-cvt", "reduced blanking, versions 1 and 2", "M")
_LINK = cite("vesa-displayport", "link rates and coding", "M")
_MOST_REFRESH = 1000

LANE_RATE: Final[dict[str, float]] = {
    "RBR": 1.62e9, "HBR": 2.7e9, "HBR2": 5.4e9, "HBR3": 8.1e9,
    "UHBR10": 10e9, "UHBR13.5": 13.5e9, "UHBR20": 20e9,
}  # fmt: skip
"""Bits a second on one lane, coding included (DisplayPort 1.4a and 2.0)."""

_CODING_8B10B: Final = 0.8
_CODING_128B132B: Final = 77.37 / 80
"""128b/132b with its error correction and link overhead: the published 77.37 Gbit/s of four UHBR20 lanes."""

_MIN_BLANK_S: Final = 460e-6
_V_SYNC_BY_ASPECT: Final = {(4, 3): 4, (16, 9): 5, (16, 10): 6, (5, 4): 7, (15, 9): 7}


@dataclass(frozen=True, slots=True)
class VideoTiming:
    """A CVT reduced-blanking timing: active and total pixels and lines, pixel clock and true refresh in Hz."""

    width: int
    height: int
    total_width: int
    total_height: int
    pixel_clock: float
    refresh: float


@dataclass(frozen=True, slots=True)
class ModeFit:
    """One video mode on a link: bits a second that it needs and that the link carries, and whether it fits."""

    name: str
    timing: VideoTiming
    needed: float
    available: float

    @property
    def fits(self) -> bool:
        """Whether the link carries the mode uncompressed."""
        return self.needed <= self.available


STANDARD_MODES: Final[dict[str, tuple[int, int, float]]] = {
    "1080p at 60 Hz": (1920, 1080, 60.0),
    "1440p at 60 Hz": (2560, 1440, 60.0),
    "1440p at 120 Hz": (2560, 1440, 120.0),
    "4K at 30 Hz": (3840, 2160, 30.0),
    "4K at 60 Hz": (3840, 2160, 60.0),
    "4K at 120 Hz": (3840, 2160, 120.0),
    "4K at 144 Hz": (3840, 2160, 144.0),
    "5K at 60 Hz": (5120, 2880, 60.0),
    "8K at 30 Hz": (7680, 4320, 30.0),
    "8K at 60 Hz": (7680, 4320, 60.0),
}
"""The modes that docks are sold with: width, height, refresh."""


@calculation(
    source=_CVT,
    units={"width": "", "height": "", "refresh": "Hz", "version": ""},
    gives="width, height, total_width, total_height, pixel_clock Hz, refresh Hz",
    example=Example(
        {"width": 3840, "height": 2160, "refresh": 60.0, "version": 1},
        {"pixel_clock": 533.25e6, "total_width": 4000, "total_height": 2222},
        1e-9,
        "3840 x 2160 at 60 Hz, reduced blanking: mode lines as CVT generators print them, from memory",
    ),
)
def cvt_reduced_blanking(*, width: int, height: int, refresh: float, version: int = 2) -> VideoTiming:
    """The CVT reduced-blanking timing of a mode, progressive, no margins.

    Version 1: 160 blank pixels, clock in 0.25 MHz steps, sync width by aspect ratio. Version 2: 80 blank pixels, clock
    in 1 kHz steps. Raises ValueError for values that are not positive or another version.
    """
    if width <= 0 or height <= 0 or not 0 < refresh < 1 / _MIN_BLANK_S:
        raise ValueError(f"mode {width} x {height} at {refresh:g} Hz: expected positive numbers")
    if version not in (1, 2):
        raise ValueError(f"reduced blanking version {version}: expected 1 or 2")
    line_s = (1 / refresh - _MIN_BLANK_S) / height
    blank_lines = math.floor(_MIN_BLANK_S / line_s) + 1
    front, sync, back = (1, 8, 6) if version == 2 else (3, _v_sync(width, height), 6)
    total_height = height + max(blank_lines, front + sync + back)
    total_width = width + (80 if version == 2 else 160)
    step = 1e3 if version == 2 else 0.25e6
    clock = step * math.floor(refresh * total_height * total_width / step)
    return VideoTiming(width, height, total_width, total_height, clock, clock / total_width / total_height)


@calculation(
    source=_LINK,
    units={"lanes": "", "rate": ""},
    gives="bit/s",
    example=Example({"lanes": 4, "rate": "HBR2"}, 17.28e9, 1e-9, "17.28 Gbit/s of four HBR2 lanes, from memory"),
)
def link_payload(*, lanes: int, rate: str) -> float:
    """Bits a second that are left for pixels: lanes x lane rate x coding.

    Raises ValueError for a rate that is not in LANE_RATE or lanes other than 0, 1, 2, 4.
    """
    if rate not in LANE_RATE:
        raise ValueError(f"link rate {rate!r}: expected one of {', '.join(LANE_RATE)}")
    if lanes not in (0, 1, 2, 4):
        raise ValueError(f"{lanes} lanes: expected 0, 1, 2 or 4")
    coding = _CODING_128B132B if rate.startswith("UHBR") else _CODING_8B10B
    return lanes * LANE_RATE[rate] * coding


def mode_fit(
    *,
    name: str = "",
    width: int,
    height: int,
    refresh: float,
    lanes: int,
    rate: str,
    bits_per_pixel: float = 24.0,
    version: int = 2,
) -> ModeFit:
    """One mode on a link. `bits_per_pixel`: 24 for 8 bit RGB, 30 for 10 bit, the target where it is compressed."""
    if not bits_per_pixel > 0:
        raise ValueError(f"{bits_per_pixel:g} bits per pixel: expected a positive number")
    timing = cvt_reduced_blanking(width=width, height=height, refresh=refresh, version=version)
    available = link_payload(lanes=lanes, rate=rate)
    return ModeFit(name or _name(width, height, refresh), timing, timing.pixel_clock * bits_per_pixel, available)


def standard_fits(*, lanes: int, rate: str, bits_per_pixel: float = 24.0) -> tuple[ModeFit, ...]:
    """All STANDARD_MODES on a link."""
    return tuple(
        mode_fit(name=name, width=w, height=h, refresh=hz, lanes=lanes, rate=rate, bits_per_pixel=bits_per_pixel)
        for name, (w, h, hz) in STANDARD_MODES.items()
    )


@calculation(
    source=_CVT,
    units={"width": "", "height": "", "lanes": "", "lane_rate": "bit/s", "displays": "", "bits_per_pixel": ""},
    gives="Hz",
    example=Example(
        {"width": 3840, "height": 2160, "lanes": 2, "lane_rate": 5.4e9, "displays": 1, "bits_per_pixel": 24.0},
        41.0,
        0,
        "8.64 Gbit/s and 80 blank pixels: 41 Hz need 8.51 Gbit/s, 42 Hz 8.72, worked out here",
        outside=False,
    ),
    no_outside="no published table of the highest rates in whole hertz is at hand",
)
def highest_refresh(
    *, width: int, height: int, lanes: Real, lane_rate: ArrayLike, displays: int = 1, bits_per_pixel: float = 24.0
) -> Real:
    """The highest whole refresh rate that a link carries uncompressed to each of several equal displays, in Hz.

    Reduced blanking version 2; 8 bit RGB where nothing else is given. 0 where not even 1 Hz fits. The lane rate is one
    of LANE_RATE; ValueError for another.
    """
    pairs, at = np.unique(np.stack(np.broadcast_arrays(lanes, lane_rate), axis=-1).reshape(-1, 2), axis=0,
                          return_inverse=True)  # fmt: skip
    each = [_highest(width, height, int(n), _rate_name(rate), displays * bits_per_pixel) for n, rate in pairs]
    return plain(np.array(each, dtype=float)[at].reshape(np.broadcast_shapes(np.shape(lanes), np.shape(lane_rate))))


def _highest(width: int, height: int, lanes: int, rate: str, bits: float) -> float:
    """Pixel clocks rise with the refresh rate, so that halving finds the last that fits."""
    available, low, high = link_payload(lanes=lanes, rate=rate), 0, _MOST_REFRESH
    while low < high:
        middle = (low + high + 1) // 2
        clock = cvt_reduced_blanking(width=width, height=height, refresh=float(middle)).pixel_clock
        low, high = (middle, high) if clock * bits <= available else (low, middle - 1)
    return float(low)


def _rate_name(lane_rate: float) -> str:
    for name, rate in LANE_RATE.items():
        if math.isclose(rate, lane_rate, rel_tol=1e-6):
            return name
    raise ValueError(f"lane rate {lane_rate:g} bit/s: expected one of {', '.join(LANE_RATE)}")


@calculation(
    source=cite("algebra", "what a supply gives less what the dock uses", "C"),
    units={"supply": "W", "dock": "W"},
    gives="W",
    example=Example({"supply": 100.0, "dock": 15.0}, 85.0, 1e-9, "100 W less 15 W", outside=False),
    no_outside="a subtraction",
)
def power_for_host(*, supply: Real, dock: Real) -> Real:
    """Watts left for the host of a dock: what its supply gives less what the dock itself uses; 0 at least."""
    return plain(np.maximum(0.0, np.subtract(supply, dock)))


def _v_sync(width: int, height: int) -> int:
    for (across, down), lines in _V_SYNC_BY_ASPECT.items():
        if width * down == height * across:
            return lines
    return 10


def _name(width: int, height: int, refresh: float) -> str:
    return f"{width} x {height} at {refresh:g} Hz"
