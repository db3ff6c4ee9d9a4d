"""A second invented unit, a boost stage in front of a flyback and two buck ports behind, from folder to report."""

from pathlib import Path

import numpy as np
import pytest

from partingline.facts.derivations.stage_windings import core_loss, winding_resistance
from partingline.facts.opened import Opened
from partingline.facts.operating_point import NoPointError, operating_point
from partingline.findings import Case, run
from partingline.model import Key, Verdict
from partingline.publish.compose.report import compose

from ..demo_unit import judged

GANNET = Path(__file__).parents[1] / "units" / "gannet-120"


@pytest.fixture(scope="module")
def gannet() -> Opened:
    return judged(GANNET)[0]


def value(opened: Opened, subject: str, quantity: str, **at: float) -> float:
    fact = opened.book.fact(Key.of(subject, quantity, **at))
    assert fact is not None, (subject, quantity, at)
    return fact.value


def test_it_reads_without_a_problem(gannet: Opened) -> None:
    assert [str(problem) for problem in gannet.problems] == []


def test_the_boost_stage_follows_the_published_formulas(gannet: Opened) -> None:
    """Boundary mode with constant on time, as makers' notes give it (from memory): Ipk = 2 sqrt(2) P / V; inductor RMS
    2/sqrt(3) of the line's; the frequency is lowest at the crest."""
    power = value(gannet, "stage:input", "input_power", mains=90.0)
    assert value(gannet, "stage:pfc", "inductor_peak_current", mains=90.0) == pytest.approx(
        2 * 2**0.5 * power / 90, rel=1e-6
    )
    line = value(gannet, "stage:input", "line_current", mains=90.0)
    assert line == pytest.approx(power / 90)
    inductor = value(gannet, "stage:pfc", "boost_inductor_current", mains=90.0)
    assert inductor == pytest.approx(2 / 3**0.5 * line, rel=1e-3)
    on = 2 * 240e-6 * power / 90**2
    crest = (1 - 90 * 2**0.5 / 392) / on
    assert value(gannet, "stage:pfc", "lowest_frequency", mains=90.0) == pytest.approx(crest, rel=2e-3)


def test_currents_of_the_boost_balance(gannet: Opened) -> None:
    """Switch and diode carry the inductor's current in turn; what the diode gives the capacitor keeps its charge."""
    switch, diode, inductor = (
        value(gannet, "stage:pfc", f"boost_{name}_current", mains=115.0) for name in ("switch", "diode", "inductor")
    )
    assert np.hypot(switch, diode) == pytest.approx(inductor, rel=1e-3)
    power = value(gannet, "stage:input", "input_power", mains=115.0)
    capacitor = value(gannet, "stage:pfc", "boost_capacitor_current", mains=115.0)
    assert np.hypot(capacitor, power / 392) == pytest.approx(diode, rel=1e-6)


def test_the_converter_runs_from_the_boosted_bulk(gannet: Opened) -> None:
    """The bulk swings by P / (2 pi f C V) about 392 V, whatever the mains; the line's crest is not what it holds."""
    valley, top = (
        value(gannet, "stage:input", "valley_voltage", mains=90.0),
        value(gannet, "stage:input", "peak_bulk_voltage", mains=264.0),
    )
    power = value(gannet, "stage:input", "input_power", mains=230.0)
    assert top - valley == pytest.approx(power / (2 * np.pi * 50 * 82e-6 * 392), rel=1e-3)
    assert (top + valley) / 2 == pytest.approx(392, rel=1e-3)


@pytest.mark.parametrize(("port", "volts", "micro"), [("C2", 9.0, 10.0), ("A1", 5.0, 4.7)])
def test_buck_stages_keep_volt_seconds(gannet: Opened, port: str, volts: float, micro: float) -> None:
    """(Vin - Vout) D = Vout (1 - D) but for the drops, and the ripple is Vout (1 - D) / (L f) (Erickson, 2.2)."""
    stage = f"stage:buck-{port}"
    duty, ripple = value(gannet, stage, "duty", offer=volts), value(gannet, stage, "ripple_current", offer=volts)
    assert duty == pytest.approx(volts / 20, rel=0.04)
    frequency = {"C2": 400e3, "A1": 300e3}[port]
    assert ripple == pytest.approx(volts * (1 - duty) / (micro * 1e-6 * frequency), rel=0.04)
    assert value(gannet, stage, "inductor_peak_current", offer=volts) == pytest.approx(3 + ripple / 2, rel=1e-6)


def test_the_inductor_that_is_too_small_is_found(gannet: Opened) -> None:
    """Planted: 4.7 µH rated 3 A carries 3 A and half of its ripple."""
    findings = judged(GANNET)[1]
    short = [f.subject for f in findings if f.rule == "stage.further_stages" and f.verdict is Verdict.FALLS_SHORT]
    assert short == ["part:L4"]


def test_windings_and_core_of_the_part_list_stand_in_place_of_the_trade(gannet: Opened) -> None:
    for quantity in ("primary_winding_resistance", "secondary_winding_resistance"):
        fact = gannet.book.fact(Key.of("part:T1", quantity))
        assert fact is not None
        assert fact.preferred.basis is not None
        assert "Dowell" in fact.preferred.basis.source
    assert value(gannet, "part:T1", "core_loss", mains=90.0, offer=20.0, load=1.0) > 0


def test_a_thin_wire_has_its_direct_current_resistance() -> None:
    """30 turns of 48 mm on 20 wires of 0.02 mm: rho l / A at 80 °C with 0.393 % a kelvin (IEC 60028)."""
    one = np.ones(2)
    found = winding_resistance(
        turns=30 * one, mean_turn=0.048 * one, diameter=0.02e-3 * one, wires=20 * one, layers=one
    )
    hot = 1.724e-8 * (1 + 0.00393 * 60)
    assert found[0] == pytest.approx(hot * 30 * 0.048 / (20 * np.pi / 4 * 0.02e-3**2), rel=1e-3)


def test_the_core_loses_what_its_maker_says_at_that_flux() -> None:
    """Loss per volume at the maker's point, within what a triangle differs from a sine (0.9 to 1.1 by iGSE)."""
    one = np.ones(2)
    given = {
        "bulk_voltage": 120.0 * one, "turns_ratio": 6.0 * one, "magnetising_inductance": 310e-6 * one,
        "drain_capacitance": 1e-12 * one, "rectifier_drop": 0.0 * one, "turns": 30 * one, "area": 120e-6 * one,
        "volume": 5e-6 * one, "density": 3e5 * one, "output_voltage": 20.0,
    }  # fmt: skip
    from partingline.calc.flyback import quasi_resonant_cycle

    cycle = quasi_resonant_cycle(
        bulk_voltage=120.0, turns_ratio=6.0, magnetising_inductance=310e-6, drain_capacitance=1e-12,
        rectifier_drop=0.0, output_voltage=20.0, output_current=3.0,
    )  # fmt: skip
    half = 310e-6 * float(cycle.peak_current) / (30 * 120e-6) / 2
    steinmetz = 3e5 * (float(cycle.frequency) / 1e5) ** 1.4 * (half / 0.2) ** 2.5 * 5e-6
    assert 0.9 * steinmetz < core_loss(output_current=3.0, **given)[0] < 1.15 * steinmetz


def test_the_report_tells_of_every_stage(gannet: Opened) -> None:
    findings = run(Case(gannet.unit, gannet.book))
    document = compose(gannet, findings)
    assert {"further", "margins"} <= {section.id for section in document.sections}
    further = next(section for section in document.sections if section.id == "further")
    names = [group.title for group in further.blocks[0].groups]  # type: ignore[union-attr]
    assert [name for name in names if "buck" in name] != []
    assert len(names) == 3


def test_no_point_is_computed_as_if_the_boost_stage_were_not_there(gannet: Opened) -> None:
    with pytest.raises(NoPointError, match="boost stage"):
        operating_point(gannet.unit, gannet.book, mains=230.0, offer=20.0, load=1.0)
