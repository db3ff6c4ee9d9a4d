"""The block diagram of the demonstration, against what its part list says. Own definition."""

from pathlib import Path

from partingline.facts import Book
from partingline.facts.opened import open_unit
from partingline.model import Evidence, Part, Unit
from partingline.publish.compose.stages import diagram

DEMO = Path(__file__).parents[2] / "demo" / "tern-65"


def test_stages_say_what_they_are_and_ports_hold_their_parts() -> None:
    opened = open_unit(DEMO)
    told = {box.partition(":")[0]: box for box in diagram(opened.unit, opened.book).alt.split("; ")}
    assert "quasi-resonant flyback" in told["Primary (quasi-resonant flyback)"]
    assert "C15 ∥ C16 output capacitor" in told["Rectifier and output (synchronous rectifier)"]
    assert "L3 buck inductor" in told["Port A1 (buck converter of port A1)"]
    assert "Q6 output switch" in told["Port C1"]


def test_a_switch_inside_the_controller_is_not_looked_for() -> None:
    where = Evidence("parts.csv", "0" * 64)
    parts = tuple(
        Part(ref, kind, role, stage, "", "", "", "", "", "", note, 1, where)
        for ref, kind, role, stage, note in (
            ("U1", "controller", "primary_controller", "primary", "switch inside"),
            ("T1", "transformer", "transformer", "barrier", ""),
        )
    )
    alt = diagram(Unit("bench", "", "", "", "", True, None, "", parts=parts), Book([])).alt
    assert "primary switch" not in alt
    assert "clamp" in alt
    assert "feedback isolator" in alt
