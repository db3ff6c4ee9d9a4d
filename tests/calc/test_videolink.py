"""Reduced-blanking timings against published pixel clocks; link payloads against published data rates.

Sources: pixel clocks of the VESA DMT list (1920 x 1200 and 2560 x 1600 reduced blanking) and of the CVT generator's
output for common panels; DisplayPort data rates as the standard's public summaries print them. All from memory.
"""

from __future__ import annotations

import pytest

from partingline.calc.videolink import (
    cvt_reduced_blanking,
    link_payload,
    mode_fit,
    power_for_host,
    standard_fits,
)


@pytest.mark.parametrize(
    ("width", "height", "version", "clock", "total"),
    [
        (1920, 1200, 1, 154.0e6, (2080, 1235)),
        (2560, 1600, 1, 268.5e6, (2720, 1646)),
        (1920, 1080, 1, 138.5e6, (2080, 1111)),
        (2560, 1440, 1, 241.5e6, (2720, 1481)),
        (3840, 2160, 1, 533.25e6, (4000, 2222)),
        (3840, 2160, 2, 522.614e6, (3920, 2222)),
    ],
)
def test_published_pixel_clocks(width: int, height: int, version: int, clock: float, total: tuple[int, int]) -> None:
    timing = cvt_reduced_blanking(width=width, height=height, refresh=60.0, version=version)
    assert timing.pixel_clock == pytest.approx(clock, abs=1)
    assert (timing.total_width, timing.total_height) == total
    assert timing.refresh == pytest.approx(60.0, rel=2e-3)


@pytest.mark.parametrize(
    ("lanes", "rate", "gbit"),
    [
        (4, "RBR", 5.184),
        (4, "HBR", 8.64),
        (2, "HBR2", 8.64),
        (4, "HBR2", 17.28),
        (4, "HBR3", 25.92),
        (4, "UHBR10", 38.69),
        (4, "UHBR20", 77.37),
    ],
)
def test_published_data_rates(lanes: int, rate: str, gbit: float) -> None:
    assert link_payload(lanes=lanes, rate=rate) / 1e9 == pytest.approx(gbit, rel=5e-4)


def test_what_two_lanes_show() -> None:
    """A dock that keeps two lanes for USB 3: 4K at 30 Hz on HBR2, 4K at 60 Hz only on HBR3 (common knowledge)."""
    hbr2 = {fit.name: fit.fits for fit in standard_fits(lanes=2, rate="HBR2")}
    hbr3 = {fit.name: fit.fits for fit in standard_fits(lanes=2, rate="HBR3")}
    assert (hbr2["4K at 30 Hz"], hbr2["4K at 60 Hz"]) == (True, False)
    assert (hbr3["4K at 60 Hz"], hbr3["4K at 120 Hz"]) == (True, False)


def test_ten_bits_need_more() -> None:
    mode = {"width": 3840, "height": 2160, "refresh": 60.0, "lanes": 2, "rate": "HBR3"}
    assert mode_fit(**mode, bits_per_pixel=24.0).fits
    assert not mode_fit(**mode, bits_per_pixel=30.0).fits


def test_limits_on_each_side() -> None:
    fit = mode_fit(width=3840, height=2160, refresh=60.0, lanes=4, rate="HBR2")
    edge = fit.available / fit.timing.pixel_clock
    just = {"width": 3840, "height": 2160, "refresh": 60.0, "lanes": 4, "rate": "HBR2"}
    assert mode_fit(**just, bits_per_pixel=edge * 0.9999).fits
    assert not mode_fit(**just, bits_per_pixel=edge * 1.0001).fits


def test_power_left_for_the_host() -> None:
    assert power_for_host(supply=100.0, dock=15.0) == 85.0
    assert power_for_host(supply=10.0, dock=15.0) == 0.0


@pytest.mark.parametrize(
    ("call", "tells"),
    [
        (lambda: link_payload(lanes=3, rate="HBR2"), "expected 0, 1, 2 or 4"),
        (lambda: link_payload(lanes=2, rate="HBR9"), "expected one of"),
        (lambda: cvt_reduced_blanking(width=0, height=1, refresh=60.0), "positive"),
        (lambda: cvt_reduced_blanking(width=1, height=1, refresh=60.0, version=3), "expected 1 or 2"),
    ],
)
def test_impossible_values(call, tells: str) -> None:
    with pytest.raises(ValueError, match=tells):
        call()
