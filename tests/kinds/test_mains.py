"""Rules and stages of what meets the mains are silent where none come in (common practice, no source)."""

from pathlib import Path

import pytest

from partingline.facts.draws import Draws
from partingline.facts.opened import open_unit
from partingline.facts.statements.topology import unit_topology
from partingline.findings import Case, rules, run
from tests.kinds.folders import write

OF_MAINS = {rule.id for rule in rules() if rule.mains}


@pytest.mark.parametrize("kind", ["dock", "power_bank", "cable"])
def test_nothing_is_said_of_mains_where_none_come_in(tmp_path: Path, kind: str) -> None:
    opened = open_unit(write(kind, tmp_path / kind), Draws(40))
    assert not opened.unit.fed_by_mains
    findings = run(Case(opened.unit, opened.book, captures=opened.captures))
    assert findings
    assert not {finding.rule for finding in findings} & OF_MAINS
    assert not opened.book.keys("input_power", "stage:input")
    assert all(stage.subject.startswith("stage:buck") for stage in unit_topology(opened.unit).stages)


def test_a_charger_is_judged_by_them(tmp_path: Path) -> None:
    opened = open_unit(write("desktop_charger", tmp_path / "desktop"), Draws(40))
    assert opened.unit.fed_by_mains
    findings = run(Case(opened.unit, opened.book, captures=opened.captures))
    assert {"parts.fuse_current", "stage.power_factor_correction_needed"} <= {finding.rule for finding in findings}


def test_a_dock_with_a_bridge_is_fed_by_mains(tmp_path: Path) -> None:
    folder = write("dock", tmp_path / "dock")
    parts = folder / "parts.csv"
    parts.write_text(parts.read_text() + "BR1,input,main,top,bridge,bridge,,,,,rated_voltage 800 V,1,,\n")
    opened = open_unit(folder, Draws(40))
    assert opened.unit.fed_by_mains
