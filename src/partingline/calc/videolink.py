"""What a DisplayPort link can show: VESA CVT reduced-blanking timings against lanes x rate x coding.

Sources: VESA Coordinated Video Timings 1.2 (reduced blanking version 1 and 2 constants) and VESA DisplayPort 1.4a and
2.0 (link rates, coding), all from memory; the timings are checked in the tests against published pixel clocks.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

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


def power_for_host(*, supply: float, dock: float) -> float:
    """Watts left for the host of a dock: what its supply gives less what the dock itself uses; 0 at least."""
    return max(0.0, supply - dock)


def _v_sync(width: int, height: int) -> int:
    for (across, down), lines in _V_SYNC_BY_ASPECT.items():
        if width * down == height * across:
            return lines
    return 10


def _name(width: int, height: int, refresh: float) -> str:
    return f"{width} x {height} at {refresh:g} Hz"
