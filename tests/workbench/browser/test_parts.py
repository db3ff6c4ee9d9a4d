"""The parts table by keyboard, and what is pasted from a spreadsheet."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.workbench.browser.conftest import Bench


@pytest.fixture
def table(page: Page, bench: Bench) -> Page:
    """The parts page, its first cell focused."""
    page.goto(f"{bench.address}/unit/tern-65/parts")
    page.locator("table[data-parts][role=grid]").wait_for()
    page.locator("[data-ref=C3] [data-column=ref]").focus()
    return page


def _paste(page: Page, text: str) -> None:
    page.evaluate(
        """text => {
            const clipboardData = new DataTransfer();
            clipboardData.setData('text/plain', text);
            const how = {clipboardData, bubbles: true, cancelable: true};
            document.activeElement.dispatchEvent(new ClipboardEvent('paste', how));
        }""",
        text,
    )


def _written(page: Page, holds: Callable[[], bool]) -> None:
    """Wait until the server has it: a cell shows what was typed at once."""
    for _ in range(100):
        if holds():
            return
        page.wait_for_timeout(50)
    assert holds()


def _cell(page: Page, ref: str, column: str):  # type: ignore[no-untyped-def]
    return page.locator(f'[data-ref="{ref}"] [data-column={column}]')


def test_arrows_move_and_typing_edits(table: Page, bench: Bench) -> None:
    table.keyboard.press("End")
    expect(_cell(table, "C3", "value")).to_be_focused()
    table.keyboard.type("33 µF")
    table.keyboard.press("Enter")
    expect(_cell(table, "C3", "value")).to_have_text("33 µF")
    expect(_cell(table, "F1", "value")).to_be_focused()
    _written(table, lambda: bench.desk.parts[0]["value"] == "33 µF")


def test_escape_gives_up_and_enter_opens_with_the_text(table: Page, bench: Bench) -> None:
    table.keyboard.press("ArrowRight")
    table.keyboard.press("Enter")
    expect(table.get_by_label("kind of C3")).to_have_value("capacitor")
    table.keyboard.type("x")
    table.keyboard.press("Escape")
    expect(_cell(table, "C3", "kind")).to_have_text("capacitor")
    expect(_cell(table, "C3", "kind")).to_be_focused()
    assert bench.desk.entry == 0


def test_a_marking_is_decoded_while_it_is_typed(table: Page) -> None:
    _cell(table, "C3", "marking").focus()
    table.keyboard.type("474K")
    expect(table.locator(".readings")).to_contain_text("read: 474K")
    table.keyboard.press("Tab")
    expect(_cell(table, "C3", "value")).to_be_focused()


def test_a_spreadsheet_with_a_head_adds_and_changes(table: Page, bench: Bench) -> None:
    _paste(table, 'Ref\tKind\tValue\nC3\tcapacitor\t68 µF\nQ1\ttransistor\t"650 V\n150 mΩ"\n\tresistor\t1 Ω')
    dialog = table.get_by_role("dialog")
    expect(dialog).to_contain_text("1 new")
    expect(dialog).to_contain_text("1 rows have no ref")
    dialog.get_by_role("button", name="Write").click()
    expect(_cell(table, "Q1", "value")).to_have_text("650 V\n150 mΩ")
    assert [row["ref"] for row in bench.desk.parts] == ["C3", "F1", "Q1"]
    assert bench.desk.parts[0]["value"] == "68 µF"


def test_cells_without_a_head_go_right_and_down(table: Page, bench: Bench) -> None:
    _cell(table, "C3", "marking").focus()
    _paste(table, "a\tb\nc\td\n")
    table.get_by_role("button", name="Write").click()
    expect(_cell(table, "F1", "value")).to_have_text("d")
    _written(table, lambda: [(r["marking"], r["value"]) for r in bench.desk.parts] == [("a", "b"), ("c", "d")])


def test_add_and_take_out_by_keyboard(table: Page, bench: Bench) -> None:
    table.get_by_role("button", name="Add a part").focus()
    table.keyboard.press("Enter")
    table.keyboard.type("T1")
    table.keyboard.press("Enter")
    _cell(table, "T1", "ref").focus()
    table.keyboard.press("Shift+Delete")
    table.get_by_role("button", name="Take it out").press("Enter")
    expect(table.locator("[data-ref=T1]")).to_have_count(0)
    assert [row["ref"] for row in bench.desk.parts] == ["C3", "F1"]


def test_a_disputed_cell_shows_both(table: Page, bench: Bench) -> None:
    _cell(table, "C3", "value").focus()
    table.keyboard.type("1 µF")
    bench.desk.parts[0]["value"] = "2 µF"
    table.keyboard.press("Enter")
    expect(table.get_by_role("dialog")).to_contain_text("2 µF")
    table.get_by_role("button", name="Keep theirs").press("Enter")
    expect(_cell(table, "C3", "value")).to_have_text("2 µF")
