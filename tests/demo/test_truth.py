"""The truth is consistent with itself and, the planted faults apart, a design that keeps the published limits."""

import math
from itertools import pairwise

import pytest

from model import truth
from model.bench import EU, US
from model.photos.barrier import pad_corners, route
from model.physics import Mains, idle_power, line_cycle, operate, rectifier_peak, rise, switch_peak

POINTS = [
    (mains, offer, current)
    for mains in (US, EU, Mains(90.0, 60.0))
    for offer, current in ((5.0, 0.5), (5.0, 2.0), (9.0, 3.0), (15.0, 2.4), (20.0, 0.325), (20.0, 3.25))
]


@pytest.mark.parametrize(("mains", "offer", "current"), POINTS)
def test_energy_balance(mains: Mains, offer: float, current: float) -> None:
    """What goes in comes out or is lost, item by item (conservation of energy)."""
    point = operate(mains, offer, current)
    assert all(loss >= -1e-12 for loss in point.losses.values())
    assert point.input_power == pytest.approx(point.output_power + sum(point.losses.values()), abs=1e-9)
    assert point.input_power < point.apparent_power
    assert point.port_voltage == pytest.approx(offer, rel=0.05)


def test_energy_balance_with_both_ports() -> None:
    point = operate(US, 20.0, 2.25, 2.0)
    assert point.input_power == pytest.approx(point.output_power + sum(point.losses.values()), abs=1e-9)
    alone = operate(US, 20.0, 2.25)
    a1 = (truth.OUTPUT.a1_voltage - truth.OUTPUT.a1_resistance * 2.0) * 2.0
    assert point.output_power - alone.output_power == pytest.approx(a1, abs=0.05)


def test_bridge_cycle_against_the_closed_form() -> None:
    """With little resistance the march comes near the exact ideal cycle: k, turn-off and valley by bisection.

    Source: the closed form of the constant-power bridge (energy balance of the capacitor), solved here.
    """
    power, mains = 72.0, US
    stage, capacitance = truth.INPUT_STAGE, sum(truth.INPUT_STAGE.bulk)
    peak = math.sqrt(2) * mains.voltage - 2 * stage.bridge_knee
    omega = 2 * math.pi * mains.frequency
    off = math.pi / 2 + 0.5 * math.asin(2 * power / (omega * capacitance * peak**2))
    low, high = 0.0, math.pi / 2
    for _ in range(60):
        on = (low + high) / 2
        left = (peak * math.sin(off)) ** 2 - 2 * power / (omega * capacitance) * (on + math.pi - off)
        low, high = (on, high) if left > (peak * math.sin(on)) ** 2 else (low, on)
    ideal = peak * math.sin(low)
    assert ideal * 0.96 < line_cycle(mains, power).bulk_valley < ideal


def _average(mains: Mains, offer: float, currents: tuple[float, ...]) -> float:
    points = [operate(mains, offer, current) for current in currents]
    return sum(point.output_power / point.input_power for point in points) / len(points)


@pytest.mark.parametrize("mains", [US, EU])
def test_efficiency_limits_are_kept(mains: Mains) -> None:
    """10 CFR 430.32(w) level VI 88.0 % and 78.7 %; Code of Conduct v5 tier 2: 89 %, 79.0 %, 79 % at 10 % load."""
    assert _average(mains, 20.0, (3.25, 2.4375, 1.625, 0.8125)) > 0.89 + 0.005
    assert _average(mains, 5.0, (2.0, 1.5, 1.0, 0.5)) > 0.790 + 0.005
    light = operate(mains, 20.0, 0.325)
    assert light.output_power / light.input_power > 0.79 + 0.005


def test_no_load() -> None:
    """Below 0.21 W (10 CFR 430.32(w), EU 2019/1782); at 0.150 W (Code of Conduct v5 tier 2) within the meter's 4 mW."""
    assert idle_power(US) < 0.11
    assert idle_power(EU) == pytest.approx(0.150, abs=0.004)


def test_input_current_label() -> None:
    """The label's 1.8 A covers what the unit draws at 90 V."""
    point = operate(Mains(90.0, 60.0), 20.0, 3.25)
    assert point.apparent_power / 90.0 < 1.8 * 0.9


def test_x_capacitor_discharge_and_touch_current() -> None:
    """60 V after 2 s (IEC 62368-1, 5.5.2.2), from the peak of 264 V; 0.25 mA (IEC 60950-1), 264 V 60 Hz, +20 %."""
    stage = truth.INPUT_STAGE
    after = math.sqrt(2) * 264 * math.exp(-2 / (1.1 * stage.x_capacitance * stage.x_discharge))
    assert after < 60
    assert 2 * math.pi * 60 * 1.2e-9 * 264 < 0.25e-3


def test_semiconductor_margins() -> None:
    """At 264 V: 80 % of 650 V and of 150 V (common practice)."""
    assert switch_peak(Mains(264.0, 50.0), 20.0) < 0.8 * 650
    assert rectifier_peak(Mains(264.0, 50.0), 21.0) < 0.8 * 150


def test_surface_temperature() -> None:
    """77 °C for plastic touched up to 10 s, at 25 °C ambient (IEC 62368-1, table 38); 72 to 74 °C as set out."""
    point = operate(US, 20.0, 3.25)
    hottest = truth.CASE.ambient + rise(1e6, point.input_power - point.output_power)
    assert 72 < hottest < 74
    assert hottest + 1.5 + 2 < 77


def test_offers_against_label_but_for_the_fault() -> None:
    """Fault 1 stands alone; the trip points keep what is offered."""
    short = [offer for offer in truth.C1_OFFERS if offer.current < offer.label_current]
    assert [offer.voltage for offer in short] == [15.0]
    assert all(offer.trip > offer.current for offer in truth.C1_OFFERS)
    assert max(offer.voltage * offer.current for offer in truth.C1_OFFERS) == truth.C1_RATED_POWER


def test_planted_faults() -> None:
    """Faults 2 (IEC 60664-1 table F.5: twice 2.5 mm), 3 and 4."""
    assert truth.BARRIER.creepage < 5.0
    assert truth.BARRIER.clearance > 3.0  # reinforced, 230 V, overvoltage category II: IEC 60664-1 tables F.1, F.2
    together = operate(US, 20.0, 2.25, 2.0).output_power
    assert 62.4 < together < 63.2 < truth.LISTED_TOGETHER
    best = max(
        point.output_power / point.input_power
        for mains in (US, EU)
        for offer in (5.0, 9.0, 15.0, 20.0)
        for point in (operate(mains, offer, share * 3.25) for share in (0.2, 0.4, 0.6, 0.7, 0.8, 0.9, 1.0))
    )
    assert 0.92 < best < truth.LISTED_EFFICIENCY - 0.01


def test_drawn_route_has_the_true_length() -> None:
    points = route()
    assert sum(math.dist(a, b) for a, b in pairwise(points)) == pytest.approx(4.32, abs=0.002)
    assert math.dist(*pad_corners()) == pytest.approx(truth.BARRIER.clearance)
