"""The photo board: marks by keyboard and by mouse, millimetres, points moved, undone, redone, and followed."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.workbench.browser.conftest import Bench


@pytest.fixture
def board(page: Page, bench: Bench) -> Page:
    """The board of the first face, focused."""
    page.goto(f"{bench.address}/unit/tern-65/boards")
    page.locator(".view canvas").first.wait_for()
    expect(page.locator(".view").first).to_have_attribute("aria-label", re.compile(r"bottom\.png"))
    page.locator(".view").first.focus()
    page.wait_for_timeout(100)
    return page


def _name(page: Page, subject: str, note: str = "") -> None:
    page.get_by_label("Of what?").fill(subject)
    page.get_by_label("Note").fill(note)
    page.keyboard.press("Enter")
    expect(page.locator("dialog")).to_have_count(0)


def _until(page: Page, holds: Callable[[], bool]) -> None:
    """Wait until the server has it; the assertion fails after five seconds."""
    for _ in range(100):
        if holds():
            return
        page.wait_for_timeout(50)
    assert holds()


def _points(bench: Bench, subject: str) -> list[tuple[float, float]]:
    mark = next((m for m in bench.desk.marks.values() if m["body"][0]["value"] == subject), None)
    if mark is None:
        return []
    numbers = [float(n) for n in re.findall(r"-?\d+\.\d+", mark["target"]["selector"]["value"])]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def _press(page: Page, *keys: str) -> None:
    for key in keys:
        page.keyboard.press(key)


def _outline(page: Page, subject: str, side: int = 3) -> None:
    _press(page, "o", "Enter", *["ArrowRight"] * side, "Enter", *["ArrowDown"] * side, "Enter", "Enter")
    _name(page, subject)


def test_a_pin_a_scale_and_a_length_by_keyboard_alone(board: Page, bench: Bench) -> None:
    _press(board, "p", "Enter", *["ArrowRight"] * 4, "ArrowDown", "Enter")
    _name(board, "C3")
    expect(board.locator(".layer .name")).to_have_text("C3")
    _press(board, "l", "Enter", *["ArrowRight"] * 10, "Enter")
    _name(board, "", "scale: 30 mm")
    expect(board.locator(".readout")).to_contain_text("px/mm")
    _press(board, "l", "Enter", *["ArrowRight"] * 5)
    expect(board.locator(".layer .length")).to_contain_text(re.compile(r"15\.0\d? ± 0\.\d+ mm"))
    _press(board, "Escape")
    _until(board, lambda: len(bench.desk.marks) == 2)
    selectors = [m["target"]["selector"] for m in bench.desk.marks.values()]
    assert [s["type"] for s in selectors] == ["FragmentSelector", "SvgSelector"]
    (x1, _), (x2, _) = _points(bench, "unit")
    ratio = float((board.locator(".readout").text_content() or "").split()[0])
    assert ratio == pytest.approx((x2 - x1) / 30, rel=0.02)


def test_outline_points_move_come_and_go_and_every_step_can_be_undone(board: Page, bench: Bench) -> None:
    _outline(board, "barrier:main")
    _until(board, lambda: len(_points(bench, "barrier:main")) == 3)
    before = _points(bench, "barrier:main")
    _press(board, "v", "ArrowLeft")
    expect(board.locator(".measure")).to_contain_text("area")
    _until(board, lambda: _points(bench, "barrier:main") != before)
    moved = _points(bench, "barrier:main")
    assert moved[0][0] < before[0][0]
    assert moved[1:] == before[1:]
    _press(board, "i")
    expect(board.locator(".layer .vertex")).to_have_count(4)
    _press(board, "Delete")
    expect(board.locator(".layer .vertex")).to_have_count(3)
    _press(board, "z", "z", "z")
    _until(board, lambda: _points(bench, "barrier:main") == before)
    _press(board, "Shift+Z")
    _until(board, lambda: _points(bench, "barrier:main") == moved)


def test_drawing_dragging_and_choosing_by_mouse(board: Page, bench: Bench) -> None:
    frame = board.locator(".view").first.bounding_box()
    assert frame is not None
    x, y = frame["x"] + 400, frame["y"] + 200
    board.keyboard.press("o")
    for dx, dy in ((0, 0), (90, 0), (90, 70), (0, 70), (0, 0)):
        board.mouse.click(x + dx, y + dy)
    _name(board, "U2")
    _until(board, lambda: len(_points(bench, "part:U2")) == 4)
    corner = _points(bench, "part:U2")[2]
    board.mouse.move(x + 90, y + 70)
    board.mouse.down()
    board.mouse.move(x + 120, y + 100, steps=3)
    board.mouse.up()
    _until(board, lambda: _points(bench, "part:U2")[2][0] > corner[0] + 10)
    assert _points(bench, "part:U2")[2][1] > corner[1] + 10


def test_the_way_between_outlines_goes_around_a_slot(board: Page, bench: Bench) -> None:
    def put(points: str, note: str) -> None:
        texts = (("identifying", "barrier:main"), ("describing", note))
        body = [{"type": "TextualBody", "purpose": purpose, "value": value} for purpose, value in texts]
        selector = {"type": "SvgSelector", "value": f'<svg><polygon points="{points}"/></svg>'}
        target = {"source": "bottom.png", "selector": selector}
        bench.desk.marks[note] = {"id": note, "type": "Annotation", "body": body, "target": target}

    put("100,100 200,100 200,200 100,200", "primary pad")
    put("600,100 700,100 700,200 600,200", "secondary pad")
    put("390,0 410,0 410,300 390,300", "slot")
    put("0,0 1600,0 1600,1000 0,1000", "board")
    bench.call(
        bench.desk.tell,
        "change",
        {"file": "photos/marks.json", "path": None, "outside": True, "state": 2, "entry": None, "who": ""},
    )
    expect(board.locator(".layer .mark")).to_have_count(4)
    _press(board, "]")
    # by hand: (200, 200) to (390, 300), along the slot to (410, 300), to (600, 200)
    by_hand = 2 * (190**2 + 100**2) ** 0.5 + 20
    expect(board.locator(".layer .label.way")).to_contain_text(f"{by_hand:.0f} px in the picture's plane, around slots")


def test_a_wrong_pin_can_be_taken_out_and_put_back(board: Page, bench: Bench) -> None:
    _press(board, "p", "Enter", *["ArrowRight"] * 4, "Enter")
    _name(board, "C3")
    _press(board, "Shift+Delete")
    expect(board.locator(".layer .mark")).to_have_count(0)
    _until(board, lambda: bench.desk.marks == {})
    _press(board, "z")
    expect(board.locator(".layer .mark")).to_have_count(1)
    _until(board, lambda: len(bench.desk.marks) == 1)


def test_table_and_board_follow_each_other(board: Page) -> None:
    _press(board, "p", "Enter", *["ArrowRight"] * 4, "Enter")
    _name(board, "C3")
    expect(board.locator("tr.chosen")).to_have_attribute("data-ref", "C3")
    _press(board, "Escape")
    expect(board.locator(".layer .chosen")).to_have_count(0)
    board.locator("[data-ref=F1] [data-column=ref]").focus()
    board.locator("[data-ref=C3] [data-column=ref]").focus()
    expect(board.locator(".layer .mark.chosen .name")).to_have_text("C3")


def test_faces_side_by_side_and_one_through_the_other(board: Page) -> None:
    _press(board, "s")
    expect(board.locator(".view")).to_have_count(2)
    expect(board.locator(".view").nth(1)).to_have_attribute("aria-label", "top.png, 0 marks")
    board.locator(".view").first.focus()
    _press(board, "s", "b")
    expect(board.locator(".view")).to_have_count(1)
    expect(board.locator(".measure")).to_contain_text("main board, top through it, mirrored")
    expect(board.get_by_label("How much of the other face shows")).to_be_visible()
    _press(board, "b")
    expect(board.get_by_label("How much of the other face shows")).to_be_hidden()
