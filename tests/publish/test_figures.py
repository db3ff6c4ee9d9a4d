"""The figures: well-formed, repeatable, labelled without collisions."""

import base64
import io
import math
import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from partingline.model import Verdict
from partingline.publish.document import Callout, Measure, Outline, Photo
from partingline.publish.figures import (
    Band,
    Contract,
    Curve,
    Level,
    Margin,
    Message,
    Stage,
    StagePart,
    Trace,
    annotated_photo,
    block_diagram,
    efficiency_chart,
    line_chart,
    margin_bars,
    protocol_timeline,
    thermal_chart,
)
from partingline.publish.figures.axes import round_ticks, tick_labels
from partingline.publish.figures.svg import fitted, text_width, wrapped
from partingline.publish.look import LIGHT
from tests.publish import sample_figures
from tests.publish.nasty import NASTY

SVG = "{http://www.w3.org/2000/svg}"
DRAWN = [getattr(sample_figures, name) for name in
         ("efficiency", "regulation", "thermal", "losses", "timeline", "blocks", "margins")]  # fmt: skip


def _texts(svg: str) -> list[str]:
    return [element.text or "" for element in ET.fromstring(svg).iter(f"{SVG}text")]


@pytest.mark.parametrize("draw", DRAWN)
def test_every_figure_is_well_formed_repeats_and_uses_known_colours(draw: object) -> None:
    assert callable(draw)
    svg = draw()
    assert svg == draw()
    root = ET.fromstring(svg)
    assert root.get("viewBox")
    assert set(re.findall(r"var\(--(\w+)\)", svg)) <= LIGHT.keys()
    assert not re.search(r"nan|inf\b|#[0-9a-f]{6}| id=", svg)


@pytest.mark.parametrize("draw", DRAWN[:4])
def test_every_curve_and_limit_has_its_name_inside_the_frame(draw: object) -> None:
    assert callable(draw)
    root = ET.fromstring(draw())
    width, height = (float(v) for v in str(root.get("viewBox")).split()[2:])
    for element in root.iter(f"{SVG}text"):
        room = text_width(element.text or "", float(element.get("font-size", "12")))
        start = float(element.get("x", "0")) - {"middle": room / 2, "end": room}.get(element.get("text-anchor", ""), 0)
        assert start >= -1
        assert start + room <= width + 8
        assert 0 < float(element.get("y", "0")) < height


def test_efficiency_is_shown_in_percent_with_its_four_loads() -> None:
    texts = _texts(sample_figures.efficiency())
    assert {"0", "16.25", "32.5", "48.75", "65", "%", "W out, 20 V", "230 V mains"} <= set(texts)
    assert "Level VI average, 88.0 %" in texts


def test_a_long_warm_up_is_shown_in_minutes_and_a_short_one_in_seconds() -> None:
    assert "min" in _texts(thermal_chart([Curve("face", (0, 3600), (25, 70))]))
    assert "s" in _texts(thermal_chart([Curve("face", (0, 200), (25, 70))]))


def test_values_that_are_no_numbers_leave_a_gap() -> None:
    svg = line_chart([Curve("c", range(6), (1, 2, math.nan, 3, math.inf, 4))], x_label="A", y_label="V")
    lines = [e for e in ET.fromstring(svg).iter(f"{SVG}polyline") if e.get("fill") == "none"]
    assert [len(str(line.get("points")).split()) for line in lines] == [2, 1, 1]


def test_nothing_to_draw_is_said() -> None:
    assert _texts(efficiency_chart([])) == ["no values to draw"]
    assert _texts(line_chart([Curve("c", (1,), (math.nan,))], x_label="", y_label="")) == ["no values to draw"]
    assert _texts(protocol_timeline([])) == ["nothing was said"]
    assert _texts(block_diagram([])) == ["no stages to draw"]
    assert _texts(margin_bars([])) == ["no margins to draw"]


def test_sequences_of_different_length_are_refused() -> None:
    with pytest.raises(ValueError, match="'c': x, y and band hold 2, 3 and 3 values"):
        line_chart([Curve("c", (1, 2), (1, 2, 3))], x_label="", y_label="")


def test_a_long_recording_keeps_its_extremes() -> None:
    y = np.zeros(200_000)
    y[77_777], y[150_001] = 5.0, -3.0
    svg = line_chart([Curve("spikes", np.arange(y.size), y)], x_label="s", y_label="V", y_range=(-4, 6))
    path = next(ET.fromstring(svg).iter(f"{SVG}polyline"))
    heights = {pair.split(",")[1] for pair in str(path.get("points")).split()}
    level = lambda value: 210 - 186 * (value + 4) / 10  # noqa: E731 - the frame of the chart: 24 to 210
    assert {f"{level(5):.1f}", f"{level(-3):.1f}"} <= {f"{float(height):.1f}" for height in heights}
    assert len(svg) < 30_000


@given(st.floats(-1e6, 1e6), st.floats(1e-6, 1e6), st.integers(2, 9))
def test_ticks_are_round_inside_the_range_and_few(low: float, width: float, most: int) -> None:
    high = low + width
    ticks = round_ticks(low, high, most)
    slack = 1e-6 * max(abs(low), abs(high), width)
    assert len(ticks) <= most + 2
    assert all(low - slack <= tick <= high + slack for tick in ticks)


def test_tick_labels_share_their_decimals() -> None:
    assert tick_labels([-2.5, 0.0, 2.5]) == ["−2.5", "0.0", "2.5"]
    assert tick_labels([0, 10_000]) == ["0", "10\u202f000"]


@given(st.text(max_size=60), st.floats(20, 200))
def test_fitted_and_wrapped_text_keeps_to_its_room(words: str, room: float) -> None:
    assert text_width(fitted(words, 12, room), 12) <= max(room, text_width("…", 12))
    assert all(text_width(line, 12) <= room for line in wrapped(words, 12, room))


def _photo(width: int, height: int, pins: list[tuple[float, float]], measures: tuple[Measure, ...] = ()) -> Photo:
    out = io.BytesIO()
    Image.new("RGB", (8, 8)).save(out, "PNG")
    callouts = tuple(Callout(str(n + 1), x, y, "") for n, (x, y) in enumerate(pins))
    return Photo(out.getvalue(), "image/png", width, height, callouts, (), measures)


share = st.tuples(st.floats(0, 1), st.floats(0, 1))
sizes = st.sampled_from([(400, 300), (300, 400), (4000, 300), (640, 640)])


@given(st.lists(share, max_size=30), sizes, st.lists(st.lists(share, min_size=2, max_size=3), max_size=2))
def test_call_outs_never_overlap(
    pins: list[tuple[float, float]], size: tuple[int, int], paths: list[list[tuple[float, float]]]
) -> None:
    w, h = size
    measures = tuple(Measure(tuple((x * w, y * h) for x, y in path), "4.31 mm", "5.0 mm") for path in paths)
    root = ET.fromstring(annotated_photo(_photo(w, h, [(x * w, y * h) for x, y in pins], measures), 440))
    height = float(str(root.get("viewBox")).split()[3])
    discs = [
        (float(e.get("cx", "")), float(e.get("cy", "")), float(e.get("r", "")))
        for e in root.iter(f"{SVG}circle")
        if e.get("r") != "2.4"
    ]
    assert len(discs) == len(pins)
    assert len([e for e in root.iter(f"{SVG}text") if (e.text or "").isdigit()]) == len(pins)
    for index, (x, y, r) in enumerate(discs):
        assert r - 0.1 <= x <= 440 - r + 0.1
        assert r - 0.1 <= y <= height - r + 0.1
        assert all(math.dist((x, y), other[:2]) >= r + other[2] - 0.02 for other in discs[:index])
    plates = [[float(e.get(k, "")) for k in ("x", "y", "width", "height")] for e in root.iter(f"{SVG}rect")]
    for x, y, r in discs if min(height, 440) > 60 else []:
        for px, py, pw, ph in plates:
            nearest = (min(max(x, px), px + pw), min(max(y, py), py + ph))
            assert math.dist((x, y), nearest) >= r - 0.02


def test_a_pin_alone_stands_where_it_was_put() -> None:
    root = ET.fromstring(annotated_photo(_photo(880, 440, [(300, 200)])))
    (disc,) = root.iter(f"{SVG}circle")
    assert (disc.get("cx"), disc.get("cy")) == ("300", "200")


def test_a_jpeg_loses_its_position_and_is_turned_as_viewers_show_it() -> None:
    picture = Image.new("RGB", (60, 30), "red")
    exif = Image.Exif()
    exif[0x0112] = 6
    exif[0x010F] = "Invented Camera Works"
    out = io.BytesIO()
    picture.save(out, "JPEG", exif=exif)
    svg = annotated_photo(Photo(out.getvalue(), "image/jpeg", 30, 60, (), (Outline(((0, 0), (5, 0), (5, 5))),)))
    found = re.search(r"base64,([^\"]+)", svg)
    assert found is not None
    data = base64.b64decode(found[1])
    assert b"Invented Camera Works" not in data
    assert Image.open(io.BytesIO(data)).size == (30, 60)


def test_a_picture_that_cannot_be_read_is_said() -> None:
    assert "this picture could not be read" in _texts(annotated_photo(Photo(b"GIF89a", "image/png", 10, 10)))
    assert "this picture could not be read" in _texts(annotated_photo(Photo(b"", "image/jpeg", 0, 0)))


def test_messages_stand_at_their_senders_and_in_order_of_time() -> None:
    said = [Message(1e-3 * n * n, ("source", "sink", "cable")[n % 3], f"m{n}") for n in range(40)]
    trace = Trace("VBUS", np.linspace(0, 1.5, 5000), np.full(5000, 5.0))
    svg = protocol_timeline(said, contracts=[Contract(0.1, 1.0, "9 V 3 A")], vbus=trace, levels=[Level("limit", 6)])
    ticks = [e for e in ET.fromstring(svg).iter(f"{SVG}line") if e.get("stroke-width") == "2"]
    places = {colour: [float(e.get("x1", "")) for e in ticks if e.get("stroke") == colour] for colour in
              ("var(--copper)", "var(--meets)", "var(--slate)")}  # fmt: skip
    assert [len(xs) for xs in places.values()] == [14, 13, 13]
    assert all(xs == sorted(xs) for xs in places.values())
    assert "9 V 3 A" in _texts(svg)


def test_the_wire_reaches_down_where_a_frame_is_sent() -> None:
    t = np.linspace(0, 1, 11)
    low = np.where(t == 0.5, 0.0, 1.7)
    said = [Message(0.0, "source", "Accept"), Message(1.0, "source", "PS_RDY")]
    svg = protocol_timeline(said, wire=Band("CC1", t, low, np.full(11, 1.7)))
    (band,) = ET.fromstring(svg).iter(f"{SVG}polygon")
    corners = [tuple(map(float, pair.split(","))) for pair in band.get("points", "").split()]
    deepest = max(y for _, y in corners)
    across = sorted({x for x, y in corners if y == deepest})
    assert len(across) == 2, "a frame is a box as wide as its bin, not a spike"
    assert "CC1 V" in _texts(svg)


def test_a_reset_is_told_without_a_sender_and_a_narrow_contract_by_what_fits() -> None:
    said = [Message(0.0, "source", "Accept"), Message(0.9, "", "Hard Reset"), Message(1.0, "source", "PS_RDY")]
    wide = protocol_timeline(said, contracts=[Contract(0.0, 1.0, "PPS 9.4 V 3 A")])
    assert "PPS 9.4 V 3 A" in _texts(wide)
    assert "Hard Reset" in _texts(wide)
    (reset,) = (e for e in ET.fromstring(wide).iter(f"{SVG}line") if e.get("stroke") == "var(--short)")
    assert reset.get("stroke-width") == "2"
    busy = [Message(n / 10, "source", "Accept") for n in range(11)]
    narrow = protocol_timeline(busy, contracts=[Contract(0.1, 0.2, "PPS 9.4 V 3 A")])
    assert "9.4 V" in _texts(narrow) or "9.4 V 3 A" in _texts(narrow)
    assert not any(text.endswith("…") for text in _texts(narrow))


def test_missing_parts_are_hollow() -> None:
    stages = [Stage("Y capacitor", "barrier", (StagePart("", "Y capacitor", missing=True),)), Stage("Input", "primary")]
    root = ET.fromstring(block_diagram([stages[0]]))
    (box,) = root.iter(f"{SVG}rect")
    assert box.get("fill") == "none"
    assert box.get("stroke-dasharray")
    assert len(list(ET.fromstring(block_diagram(stages)).iter(f"{SVG}rect"))) == 2


def test_nasty_names_stay_text() -> None:
    for words in NASTY:
        svg = block_diagram([Stage(words, "primary", (StagePart(words, words, words),))])
        svg += margin_bars([Margin(words, 0.5, words, Verdict.MEETS)])
        assert "<script" not in svg
        for part in re.findall(r"<svg.*?</svg>", svg, re.DOTALL):
            ET.fromstring(part)
