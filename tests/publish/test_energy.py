"""What the energy section draws and tables beside efficiency, from facts of a made unit. Dates of the programmes: those
of their documents (`eps_efficiency.toml`)."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from partingline.facts import Book
from partingline.facts.opened import Opened
from partingline.model import Component, Key, Number, Route, Statement, Text, Unit
from partingline.publish.compose.limit_sets import limit_sets
from partingline.publish.compose.sweeps import switching_over_load
from partingline.publish.document import Drawing, Figure
from partingline.readers.folder import Folder


def said(key: Key, value: float) -> Statement:
    return Statement(key, Number(value, (Component(key.id, 0.001 * value),)), Route.MEASURED)


def _svg(figure: Figure) -> str:
    assert isinstance(figure.content, Drawing)
    return figure.content.svg


def switching(*, bursts: tuple[float, ...]) -> Figure | None:
    statements = []
    for load, kilohertz in ((0.02, 38.0), (0.1, 52.0), (0.5, 103.0), (1.0, 88.0)):
        at = {"mains": 115.0, "offer": 20.0, "load": load}
        statements.append(said(Key.of("port:C1", "switching_frequency", **at), 1e3 * kilohertz))
        if load in bursts:
            statements.append(said(Key.of("port:C1", "burst_frequency", **at), 1200.0))
    return switching_over_load(Book(statements))


def test_bursts_are_marked_over_the_load() -> None:
    figure = switching(bursts=(0.02, 0.1))
    assert figure is not None
    assert "bursts up to 10 %" in _svg(figure)
    assert "kHz" in _svg(figure)
    assert "10 % load: 1200" in figure.alt


def test_bursts_among_other_loads_are_marked_each() -> None:
    figure = switching(bursts=(0.1,))
    assert figure is not None
    assert "bursts" in _svg(figure)
    assert "bursts up to" not in _svg(figure)
    none = switching(bursts=())
    assert none is not None
    assert "No bursts were seen" in none.alt


def test_one_load_makes_no_curve() -> None:
    key = Key.of("port:C1", "switching_frequency", mains=115.0, offer=20.0, load=1.0)
    assert switching_over_load(Book([said(key, 88e3)])) is None


@pytest.mark.parametrize(
    ("examined", "made", "holds"),
    [
        (date(2026, 10, 2), "", {"US Level VI", "EU 2019/1782", "CoC tier 2"}),
        (date(2026, 10, 2), "2019-05", {"US Level VI", "EC 278/2009", "CoC tier 2"}),
        (date(2015, 6, 1), "", {"EC 278/2009", "CoC tier 1"}),
        (date(2029, 1, 1), "", {"US Level VI", "CoC tier 2"}),
        (None, "", set()),
    ],
)
def test_sets_in_force_by_date(examined: date | None, made: str, holds: set[str], tmp_path: Path) -> None:
    unit = replace(Unit("u", "", "", "", "wall charger", True, None, ""), examined=examined)
    statements = [Statement(Key.of("unit", "output_power"), Number(65.0), Route.LABEL)]
    statements += [Statement(Key.of("unit", "manufacture_date"), Text(made), Route.PHOTOGRAPHED)] if made else []
    table = limit_sets(Opened(Folder(tmp_path), unit, Book(statements)))
    assert table is not None
    texts = [["".join(span.text for span in cell.spans) for cell in row.cells] for row in table.groups[0].rows]
    assert {row[0] for row in texts if row[-1] == "in force"} == holds
    assert {row[-1] for row in texts} <= ({"in force", "not in force"} if examined else {"undecided"})
