"""Stages from roles: the demonstration's parts, and lists with something missing. Common practice, no source."""

from pathlib import Path

import pytest

from partingline.facts.opened import open_unit
from partingline.facts.statements.stage_kinds import stage_statements
from partingline.facts.statements.topology import in_parallel, parallel_to, topology
from partingline.model import Evidence, Key, Number, Part, Route, Statement, Text, Unit

DEMO = Path(__file__).parents[2] / "demo" / "tern-65"


def part(ref: str, kind: str, role: str, *, count: int = 1, note: str = "", number: str = "") -> Part:
    return Part(ref, kind, role, "", "", "", "", "", number, "", note, count, Evidence("parts.csv", "0" * 64))


def test_the_demonstration_is_understood() -> None:
    unit = open_unit(DEMO).unit
    seen = topology(unit.parts, [port.id for port in unit.ports])
    assert [stage.subject for stage in seen.stages] == [
        "stage:input", "stage:primary", "stage:secondary", "stage:buck-A1",
    ]  # fmt: skip
    assert [stage.kind for stage in seen.stages] == [
        "capacitor-input rectifier with a choke between its capacitors",
        "quasi-resonant flyback",
        "synchronous rectifier",
        "buck converter of port A1",
    ]
    assert seen.missing == ()
    converter = seen.stage("stage:primary")
    assert converter is not None
    assert "primary switch Q1" in converter.reason


def test_a_half_bridge_needs_no_clamp() -> None:
    parts = [part("Q1", "transistor", "primary_switch", count=2), part("T1", "transformer", "transformer"),
             part("U1", "controller", "primary_controller")]  # fmt: skip
    seen = topology(parts)
    assert seen.stages[0].kind == "half bridge, not modelled yet"
    assert not seen.missing


def test_a_switch_inside_the_controller_is_no_missing_part() -> None:
    parts = [part("U1", "controller", "primary_controller", note="switch integrated"),
             part("T1", "transformer", "transformer"), part("D1", "diode", "clamp")]  # fmt: skip
    assert not topology(parts).missing
    bare = [part("U1", "controller", "primary_controller"), *parts[1:]]
    assert [one.role for one in topology(bare).missing] == ["primary_switch"]


def test_a_transistor_as_clamp_is_an_active_clamp() -> None:
    parts = [part("Q1", "transistor", "primary_switch"), part("Q2", "transistor", "clamp"),
             part("T1", "transformer", "transformer"), part("U1", "controller", "primary_controller")]  # fmt: skip
    assert topology(parts).stages[0].kind == "active-clamp flyback"


def test_parallel_parts_are_understood_as_such() -> None:
    twins = [
        part("C15", "capacitor", "output_capacitor", number="KP25"),
        part("C16", "capacitor", "output_capacitor", number="KP25"),
    ]
    assert in_parallel(twins[0], twins)
    series = [part("R1", "resistor", "x_discharge", number="A", note="in series with R2"),
              part("R2", "resistor", "x_discharge", number="A")]  # fmt: skip
    assert not in_parallel(series[0], series)
    assert in_parallel(part("R11", "resistor", "clamp", count=2), [])
    assert not in_parallel(part("Q1", "transistor", "primary_switch"), [])


def test_a_capacitor_of_the_controller_supply_is_no_clamp() -> None:
    """Three roles fit a capacitor at the primary; the note tells which it is."""
    roles = {one.ref: one.role for one in open_unit(DEMO).unit.parts}
    assert roles["C7"] == "supply_capacitor"
    assert roles["C10"] == "clamp"
    assert roles["C18"] == ""


def test_a_resonant_half_bridge_is_named_and_not_modelled() -> None:
    parts = [part("Q1", "transistor", "primary_switch"), part("Q2", "transistor", "primary_switch"),
             part("C5", "capacitor", "resonant_capacitor"), part("T1", "transformer", "transformer"),
             part("U1", "controller", "primary_controller")]  # fmt: skip
    stage = topology(parts).stages[0]
    assert stage.kind == "resonant half bridge, not modelled yet"
    assert not stage.modelled
    assert "resonant capacitor C5" in stage.reason


def test_a_boost_in_front_is_a_stage_of_its_own() -> None:
    parts = [part("BR1", "bridge", "bridge"), part("L5", "inductor", "pfc_inductor"),
             part("Q5", "transistor", "pfc_switch"), part("D5", "diode", "pfc_rectifier"),
             part("U5", "controller", "pfc_controller", note="critical conduction"),
             part("C3", "capacitor", "bulk_capacitor")]  # fmt: skip
    seen = topology(parts)
    assert [stage.kind for stage in seen.stages] == [
        "bridge rectifier in front of a boost stage", "boundary-mode boost for the power factor",
    ]  # fmt: skip
    assert "'critical' in the note" in seen.stages[1].reason
    lacking = topology([one for one in parts if one.ref != "D5"]).missing
    assert [one.role for one in lacking if one.stage == "stage:pfc"] == ["pfc_rectifier"]


def test_each_further_port_has_its_own_buck_stage() -> None:
    parts = [part("U6", "controller", "buck_switch", note="A1, both switches inside"),
             part("L3", "inductor", "buck_inductor", note="A1"),
             part("U7", "controller", "buck_switch", note="C2")]  # fmt: skip
    seen = topology(parts, ("C1", "C2", "A1"))
    assert [stage.subject for stage in seen.stages] == ["stage:buck-A1", "stage:buck-C2"]
    assert [(one.stage, one.role) for one in seen.missing] == [("stage:buck-C2", "buck_inductor")]


def test_the_reason_names_what_stands_in_parallel() -> None:
    parts = [part("Q1", "transistor", "primary_switch", number="X"),
             part("Q2", "transistor", "primary_switch", number="X"),
             part("D1", "diode", "clamp"), part("T1", "transformer", "transformer")]  # fmt: skip
    stage = topology(parts).stages[0]
    assert stage.kind == "flyback"
    assert "primary switch Q1 and Q2 in parallel" in stage.reason
    sides = [part("C3", "capacitor", "bulk_capacitor", number="K", note="before the choke"),
             part("C4", "capacitor", "bulk_capacitor", number="K", note="after the choke")]  # fmt: skip
    assert parallel_to(sides[0], sides) == (sides[0],)


def told(mains: float, hertz: float) -> Statement:
    key = Key.of("stage:primary", "switching_frequency", mains=mains, offer=20.0, load=1.0)
    return Statement(key, Number(hertz), Route.MEASURED, evidence=(Evidence("unit.toml", "0" * 64),))


@pytest.mark.parametrize(
    ("frequencies", "mode"),
    [((71e3, 96e3), "valley switching"), ((100e3, 101e3), "fixed frequency"), ((100e3, 106e3), "")],
)
def test_the_mode_follows_from_measured_frequencies(frequencies: tuple[float, float], mode: str) -> None:
    unit = Unit("bench", "", "", "", "", True, None, "")
    said = [told(mains, hertz) for mains, hertz in zip((115.0, 230.0), frequencies, strict=True)]
    found = [s.value for s in stage_statements(unit, said) if s.key == Key.of("stage:primary", "mode")]
    assert found == ([Text(mode)] if mode else [])


def test_the_demonstration_tells_its_mode_in_two_ways() -> None:
    fact = open_unit(DEMO).book.fact(Key.of("stage:primary", "mode"))
    assert fact is not None
    assert fact.text == "valley switching"
    assert len(fact.statements) == 2
