"""The stage at work: what its figures say of the demonstration, and how they are drawn.

Outside sources: contours against matplotlib's (contourpy), lightness as CIE 1976 L* of IEC 61966-2-1 colours.
"""

import re
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest

from partingline.facts import Book
from partingline.facts.draws import Draws
from partingline.facts.opened import Opened, open_unit
from partingline.facts.operating_point import NoPointError, operating_point
from partingline.facts.stage_at_work import compared, curves_at, stage_map
from partingline.publish.compose.at_work import at_work, told
from partingline.publish.compose.ledger import Ledger
from partingline.publish.document import Drawing, Figure, FigureRow
from partingline.publish.figures.contours import areas, borders
from partingline.publish.figures.fieldmap import Field, Grid, field_map, mode_map, shares
from partingline.publish.figures.loss_matrix import LossColumn, loss_matrix
from partingline.publish.figures.svg import number
from partingline.publish.look import DARK, LIGHT

OFFER = 20.0


@pytest.fixture(scope="module")
def demo() -> Opened:
    return open_unit(Path(__file__).parents[2] / "demo" / "tern-65", Draws(200))


@pytest.fixture(scope="module")
def figures(demo: Opened) -> dict[str, Figure]:
    section = at_work(demo.unit, demo.book, Ledger(demo.book))
    assert section is not None
    rows = [block.figures if isinstance(block, FigureRow) else (block,) for block in section.blocks]
    return {one.id: one for row in rows for one in row if isinstance(one, Figure)}


def test_both_mains_four_maps_and_the_losses_are_drawn(figures: dict[str, Figure]) -> None:
    cycles = {"figure-cycle-115", "figure-cycle-230"}
    maps = {f"figure-map-{name}" for name in ("loss", "drain", "peak", "mode")}
    assert set(figures) == cycles | maps | {"figure-loss-items"}
    for figure in figures.values():
        assert isinstance(figure.content, Drawing)
        ElementTree.fromstring(figure.content.svg)
        assert not re.search(r"nan|inf", figure.content.svg)
        assert set(re.findall(r"var\(--([a-z]+)\)", figure.content.svg)) <= set(LIGHT)


def test_the_map_is_the_operating_point_at_its_places(demo: Opened) -> None:
    mains, loads = np.array([90.0, 230.0]), np.array([0.3, 1.0])
    found = stage_map(demo.unit, demo.book, offer=OFFER, mains=mains, loads=loads)
    for row, v in enumerate(mains):
        for column, load in enumerate(loads):
            one = operating_point(demo.unit, demo.book, mains=float(v), offer=OFFER, load=float(load))
            assert found.values["loss"][row, column] == pytest.approx(one.total[0], rel=1e-6)
            assert found.values["drain"][row, column] == pytest.approx(one.currents["drain voltage"][0], rel=1e-6)


def test_the_alt_text_tells_the_extremes(figures: dict[str, Figure]) -> None:
    alt = figures["figure-map-drain"].alt
    assert re.search(r"least \d+ V at 90 V and 5 % load", alt)
    assert re.search(r"most \d+ V at 264 V and 110 % load", alt)
    most = int(re.findall(r"most (\d+) V", alt)[0])
    caption = figures["figure-map-drain"].caption[0].text
    assert f"Q1 is rated 650 V: {most / 650 * 100:.0f} % of it at most" in caption


def test_the_curves_are_those_of_the_operating_point(demo: Opened) -> None:
    curves = curves_at(demo.unit, demo.book, mains=115.0, offer=OFFER, load=1.0)
    point = operating_point(demo.unit, demo.book, mains=115.0, offer=OFFER, load=1.0)
    assert curves.highest_drain == pytest.approx(point.currents["drain voltage"][0], rel=1e-4)
    assert curves.waveform.primary.max() < point.currents["peak current"][0]
    wave = curves.waveform
    assert np.trapezoid(wave.secondary, wave.time) / wave.period == pytest.approx(3.25, rel=0.01)
    assert "first valley" in told(curves)


def test_items_add_up_to_what_is_computed_and_the_residual_is_the_difference(demo: Opened) -> None:
    points = compared(demo.unit, demo.book, offer=OFFER)
    assert {one.mains for one in points} == {115.0, 230.0}
    for one in points:
        assert sum(value for value, _ in one.items.values()) == pytest.approx(one.computed.value, rel=1e-9)
        assert one.residual.value == pytest.approx(one.measured.value - one.computed.value, abs=1e-9)


def test_nothing_is_drawn_without_a_converter(demo: Opened) -> None:
    empty = Book([])
    assert at_work(demo.unit, empty, Ledger(empty)) is None
    with pytest.raises(NoPointError):
        stage_map(demo.unit, empty, offer=OFFER, mains=np.array([90.0, 264.0]), loads=np.array([0.1, 1.0]))


def _bowl() -> np.ndarray:
    y, x = np.mgrid[0:20, 0:30]
    return np.asarray(np.hypot((x - 14.3) / 1.7, y - 9.1))


@pytest.mark.parametrize("level", [1.5, 3.0, 5.0, 7.5])
def test_contours_are_those_of_another_library(level: float) -> None:
    contourpy = pytest.importorskip("contourpy")
    field = _bowl()
    theirs = contourpy.contour_generator(z=field).lines(level)
    ours = borders(field, level)
    assert sum(map(_length, ours)) == pytest.approx(sum(_length(line) for line in theirs), rel=0.02)
    x, y = (np.array([node[k] for line in ours for node in line]) for k in (0, 1))
    assert np.hypot((x - 14.3) / 1.7, y - 9.1) == pytest.approx(level, abs=0.15)


def _length(line: object) -> float:
    return float(np.hypot(*np.diff(np.asarray(line, dtype=float), axis=0).T).sum())


def test_the_area_above_a_level_is_that_of_the_ellipse_left_out() -> None:
    pieces = areas(_bowl(), 4.0)
    left = 29 * 19 - np.pi * 4.0 * 4.0 * 1.7
    assert sum(_area(piece) for piece in pieces) == pytest.approx(left, rel=0.01)


def _area(piece: list[tuple[float, float]]) -> float:
    x, y = np.array(piece).T
    return 0.5 * abs(float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))))


def test_where_there_is_no_number_the_paper_stays_blank() -> None:
    field = _bowl()
    field[:, 10:] = np.nan
    assert max(node[0] for piece in areas(field, -np.inf) for node in piece) == 9
    assert "no values" in field_map(Grid([90, 264], [0.1, 1]), Field(np.full((2, 2), np.nan), "W"))


@pytest.mark.parametrize("tokens", [LIGHT, DARK], ids=["light", "dark"])
def test_the_steps_are_even_to_the_eye_and_run_one_way(tokens: dict[str, str]) -> None:
    seen = [_lightness(tokens["paper"], tokens["copper"], share) for share in shares(9)]
    steps = np.diff(seen)
    assert np.all(steps < 0) or np.all(steps > 0)
    assert np.abs(steps).max() / np.abs(steps).min() < 1.35
    assert np.abs(steps).min() > 2.3  # one just noticeable difference of CIE 1976, Mahy and others (1994)


def _lightness(under: str, over: str, share: float) -> float:
    """L* of a colour laid over another in sRGB, as browsers blend."""
    low, high = (np.array([int(one[k : k + 2], 16) for k in (1, 3, 5)]) / 255 for one in (under, over))
    mixed = low + share * (high - low)
    linear = np.where(mixed <= 0.04045, mixed / 12.92, ((mixed + 0.055) / 1.055) ** 2.4)
    y = float(linear @ [0.2126, 0.7152, 0.0722])
    return 116 * y ** (1 / 3) - 16 if y > 0.008856 else 903.3 * y


def test_each_region_of_modes_has_its_name_and_each_measured_point_its_ring() -> None:
    grid = Grid([90.0, 150.0, 264.0], [0.1, 0.4, 0.7, 1.0], [(115.0, 0.5), (300.0, 0.5)])
    modes = [["clock", "clock", "first valley", ""]] * 3
    svg = mode_map(grid, modes, Field(np.full((3, 4), 130.0), "kHz"))
    assert "clock" in svg
    assert "first valley" in svg
    assert svg.count("<circle") == 1


def test_a_bar_is_as_long_as_its_loss_and_hollow_below_nothing() -> None:
    column = LossColumn("115 V mains", "100 % load", [(2.0, 0.0), (1.0, 0.0)], (3.0, 0.1), (2.5, 0.1), (-0.5, 0.1))
    svg = loss_matrix(["core", "clamp"], [column])
    widths = [float(one) for one in re.findall(r'<rect [^>]*width="([\d.]+)"', svg)]
    assert widths[0] == pytest.approx(2 * widths[1], rel=1e-3)
    assert svg.count('fill="none"') == 1
    assert number(-0.5).replace("-", "−") in svg
