"""Stages from roles: the demonstration's parts, and lists with something missing. Common practice, no source."""

from pathlib import Path

from partingline.facts.opened import open_unit
from partingline.facts.statements.topology import in_parallel, topology
from partingline.model import Evidence, Part

DEMO = Path(__file__).parents[2] / "demo" / "tern-65"


def part(ref: str, kind: str, role: str, *, count: int = 1, note: str = "", number: str = "") -> Part:
    return Part(ref, kind, role, "", "", "", "", "", number, "", note, count, Evidence("parts.csv", "0" * 64))


def test_the_demonstration_is_understood() -> None:
    seen = topology(open_unit(DEMO).unit.parts)
    assert [stage.name for stage in seen.stages] == ["input", "converter", "output", "buck"]
    assert [stage.kind for stage in seen.stages] == [
        "capacitor-input rectifier with a choke between its capacitors",
        "quasi-resonant flyback",
        "synchronous rectifier",
        "buck converter of a further port",
    ]
    assert seen.missing == ()
    converter = seen.stage("converter")
    assert converter is not None
    assert "primary switch Q1" in converter.reason


def test_a_half_bridge_needs_no_clamp() -> None:
    parts = [part("Q1", "transistor", "primary_switch", count=2), part("T1", "transformer", "transformer"),
             part("U1", "controller", "primary_controller")]  # fmt: skip
    seen = topology(parts)
    assert seen.stages[0].kind == "half bridge"
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
