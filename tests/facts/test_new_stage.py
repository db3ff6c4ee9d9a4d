"""A stage that nobody has modelled yet is one more file: here a half bridge, with numbers of its own."""

from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace

import pytest

from partingline.facts import derivations as package
from partingline.facts.derivation import Derivation
from partingline.facts.derivations.layout import INPUT, Layout, part_keys
from partingline.facts.draws import Array, Draws
from partingline.facts.opened import open_unit
from partingline.model import Key
from partingline.sources import cite

UNIT = """
[unit]
maker = "Skarvik"
model = "Dunlin 150"
kind = "wall charger"
invented = true

[label]
text = \"\"\"
INPUT: 200-240V~ 50/60Hz 1.2A
OUTPUT C1: 20V⎓5A
OUTPUT: 100W Max
\"\"\"

[[port]]
id = "C1"
connector = "USB-C"
offers = ["20V 5A"]
"""
PARTS = """ref,stage,kind,role,value,ratings,note
C3,input,capacitor,bulk_capacitor,100 µF,rated_voltage 450 V,
Q1,primary,transistor,primary_switch,,rated_voltage 650 V; on_resistance 190 mΩ,high side
Q2,primary,transistor,primary_switch,,rated_voltage 650 V; on_resistance 190 mΩ,low side
C7,primary,capacitor,resonant_capacitor,33 nF,rated_voltage 630 V,
T1,barrier,transformer,transformer,,,
Q4,secondary,transistor,rectifier,,rated_voltage 60 V; on_resistance 4 mΩ,
"""


def half_bridge(layout: Layout) -> Iterator[Derivation]:
    """What a file of a new stage holds: `derive(layout)`. Each switch of a half bridge sees the bulk voltage."""
    if layout.parts("resonant_capacitor"):
        crest = Key.of(INPUT, "peak_bulk_voltage", mains=layout.highest_mains)
        gives = Key.of("stage:primary", "switch_voltage", mains=layout.highest_mains, offer=20.0)
        source = cite("algebra", "two switches in turn across the bulk voltage", "C")
        yield Derivation(gives, {"bulk": crest}, the_bulk_voltage, source)
        lost = Key.of("stage:primary", "conduction_loss", mains=layout.highest_mains)
        switches = {"resistances": part_keys(layout.parts("primary_switch"), "on_resistance")}
        yield Derivation(lost, switches, an_ampere_in_each, source)


def the_bulk_voltage(*, bulk: Array) -> Array:
    return bulk


def an_ampere_in_each(*, resistances: Array) -> Array:
    return resistances.sum(axis=0)


def test_one_file_and_its_name_in_the_list(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Its facts are there, its stress is held against every rule, and no flyback claims the parts."""
    (tmp_path / "unit.toml").write_text(UNIT, encoding="utf-8")
    (tmp_path / "parts.csv").write_text(PARTS, encoding="utf-8")
    monkeypatch.setattr(package, "DOMAINS", (*package.DOMAINS, SimpleNamespace(derive=half_bridge)))
    book = open_unit(tmp_path, Draws(20)).book
    fact = book.fact(Key.of("stage:primary", "switch_voltage", mains=264.0, offer=20.0))
    assert fact is not None
    assert fact.value == pytest.approx(264 * 2**0.5)
    assert len(fact.statements) == 1
    for part in ("part:Q1", "part:Q2"):
        used = book.fact(Key.of(part, "rating_used", state="voltage"))
        assert used is not None
        assert used.value == pytest.approx(264 * 2**0.5 / 650)
    assert book.find("reflected_voltage") == ()
    assert [f.value for f in book.find("conduction_loss", "stage:primary")] == [pytest.approx(0.38)]
