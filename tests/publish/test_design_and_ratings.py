"""The sections on the design read backwards and on margins: what they say of the demonstration, and nothing of less."""

from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest

from partingline.facts.draws import Draws
from partingline.facts.opened import Opened, open_unit
from partingline.publish.compose.design import design
from partingline.publish.compose.ledger import Ledger
from partingline.publish.compose.mains import mains_input
from partingline.publish.compose.ratings import ratings
from partingline.publish.document import Figure, Items, Section, Table
from partingline.publish.figures.ridges import Ridge, ridges


@pytest.fixture(scope="module")
def demo() -> Opened:
    return open_unit(Path(__file__).parents[2] / "demo" / "tern-65", Draws(200))


def words(section: Section) -> list[list[str]]:
    tables = [block for block in section.blocks if isinstance(block, Table)]
    rows = (row for table in tables for group in table.groups for row in group.rows)
    return [["".join(span.text for span in cell.spans) for cell in row.cells] for row in rows]


def test_each_unknown_has_its_interval_and_what_was_read_of_it(demo: Opened) -> None:
    section = design(demo.unit, demo.book, Ledger(demo.book))
    assert section is not None
    rows = {row[0]: row for row in words(section)}
    assert "5.34" in rows["turns ratio"][3]
    assert rows["capacitance of the drain node"][3] == "not read"
    assert any(isinstance(block, Figure) for block in section.blocks)
    steps = [block for block in section.blocks if isinstance(block, Items)]
    assert "ring" in steps[0].items[0][0].text


def test_every_stress_has_one_cell_for_each_rule_set(demo: Opened) -> None:
    section = ratings(demo.unit, demo.book, Ledger(demo.book))
    assert section is not None
    rows = words(section)
    bulk = next(row for row in rows if row[0] == "C3")
    assert bulk[2:] == ["70 %", "80 %", "", "", "", "90 %"]
    lives = [row for row in rows if row[0] == "C4" and "load" in row[1]]
    assert len(lives) == 1
    assert all(cell.endswith("h") for cell in lives[0][-2:])


def test_a_unit_without_parts_has_neither(tmp_path: Path) -> None:
    (tmp_path / "unit.toml").write_text('[unit]\nmaker = "Nobody"\nmodel = "None"\nkind = "wall charger"\n')
    empty = open_unit(tmp_path, Draws(10))
    assert design(empty.unit, empty.book, Ledger(empty.book)) is None
    assert ratings(empty.unit, empty.book, Ledger(empty.book)) is None


def test_ridges_stand_at_their_values() -> None:
    """A reading at twice the median after stands where the scale says × 2."""
    draws = np.exp(np.random.default_rng(1).normal(0, 0.1, 400))
    svg = ElementTree.fromstring(ridges([Ridge("ratio", draws * 1.5, draws / np.median(draws), "1", 2.0)]))
    ring = next(one for one in svg.iter() if one.tag.endswith("circle"))
    label = next(one for one in svg.iter() if one.text == "× 2")
    assert ring.get("cx") == label.get("x")


def test_the_input_has_a_column_for_each_mains_voltage(demo: Opened) -> None:
    section = mains_input(demo.unit, demo.book, Ledger(demo.book))
    assert section is not None
    table = section.blocks[0]
    assert isinstance(table, Table)
    assert [column.head for column in table.columns[1:]] == ["90 V", "115 V", "230 V", "264 V"]
    rows = {row[0]: row[1:] for row in words(section)}
    assert all(rows["power factor"][:3])
    assert rows["inrush I²t, plugged in again while warm"][3]
