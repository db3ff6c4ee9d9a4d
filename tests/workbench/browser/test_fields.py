"""One field: written, followed, disputed, taken back, kept over a reload (interface: docs/workbench.md)."""

from playwright.sync_api import Page, expect

from tests.workbench.browser.conftest import Bench
from tests.workbench.browser.desk import NASTY

MASS = ["body", "mass"]


def _open(page: Page, bench: Bench) -> None:
    page.goto(f"{bench.address}/unit/tern-65/outside")
    expect(page.locator("html")).to_have_attribute("data-ready", "")


def test_enter_writes_a_field_and_the_page_follows(page: Page, bench: Bench) -> None:
    _open(page, bench)
    page.get_by_label("mass").fill("118.2 g")
    page.keyboard.press("Enter")
    expect(page.locator("[data-live=lead]")).to_contain_text("State 2: mass 118.2 g")
    expect(page.locator("a[data-fact]")).to_have_text("118.2 g")
    assert bench.desk.fields['["body","mass"]'] == "118.2 g"


def test_what_another_writes_shows_at_once(page: Page, bench: Bench) -> None:
    _open(page, bench)
    expect(page.locator("[data-live=lead]")).to_contain_text("State 1")
    bench.call(bench.desk.set_field, MASS, "119 g", "Ada")
    expect(page.get_by_label("mass")).to_have_value("119 g")


def test_two_edits_of_one_field_are_both_shown_and_a_person_decides(page: Page, bench: Bench) -> None:
    _open(page, bench)
    mass = page.get_by_label("mass")
    mass.fill("mine")
    bench.call(bench.desk.set_field, MASS, "theirs", "Ada")
    expect(page.locator(".note").first).to_contain_text("you will see both")
    mass.press("Enter")
    dialog = page.get_by_role("dialog", name="Changed by someone else meanwhile")
    expect(dialog).to_contain_text("mine")
    expect(dialog).to_contain_text("theirs")
    expect(dialog).to_contain_text("Ada")
    dialog.get_by_role("button", name="Write yours over it").click()
    expect(page.locator("[data-live=lead]")).to_contain_text("mass mine")
    assert bench.desk.fields['["body","mass"]'] == "mine"
    assert bench.desk.history[1][3] == "theirs"


def test_to_decide_later_keeps_what_was_typed_even_over_a_reload(page: Page, bench: Bench) -> None:
    _open(page, bench)
    page.get_by_label("mass").fill("mine")
    bench.call(bench.desk.set_field, MASS, "theirs", "Ada")
    page.get_by_label("mass").press("Enter")
    page.get_by_role("button", name="Decide later").click()
    page.reload()
    expect(page.get_by_label("mass")).to_have_value("mine")
    page.get_by_label("mass").press("Enter")
    page.get_by_role("button", name="Keep theirs").click()
    expect(page.get_by_label("mass")).to_have_value("theirs")
    assert bench.desk.fields['["body","mass"]'] == "theirs"


def test_typing_survives_a_reload_in_the_middle_of_it(page: Page, bench: Bench) -> None:
    _open(page, bench)
    page.get_by_label("mass").press("End")
    page.keyboard.type(" and more")
    page.reload()
    expect(page.get_by_label("mass")).to_have_value("118.4 ± 0.1 g and more")
    expect(page.locator(".note").first).to_contain_text("before the reload")
    assert bench.desk.fields['["body","mass"]'] == "118.4 ± 0.1 g"


def test_undo_and_redo_by_keyboard(page: Page, bench: Bench) -> None:
    _open(page, bench)
    page.get_by_label("mass").fill("1 g")
    page.keyboard.press("Enter")
    expect(page.locator("[data-live=lead]")).to_contain_text("mass 1 g")
    page.get_by_role("button", name="say your name").focus()
    page.keyboard.press("Control+z")
    expect(page.locator("[data-live=lead]")).to_contain_text("mass 118.4")
    page.keyboard.press("Control+y")
    expect(page.locator("[data-live=lead]")).to_contain_text("mass 1 g")


def test_offline_says_so_and_keeps_what_was_typed(page: Page, bench: Bench) -> None:
    _open(page, bench)
    page.context.set_offline(True)
    page.get_by_label("mass").fill("7 g")
    page.keyboard.press("Enter")
    expect(page.locator(".said")).to_contain_text("cannot be reached")
    expect(page.get_by_label("mass")).to_have_value("7 g")
    page.context.set_offline(False)
    page.get_by_label("mass").press("Enter")
    expect(page.locator("[data-live=lead]")).to_contain_text("mass 7 g")
    bench.faults[:] = [fault for fault in bench.faults if "ERR_INTERNET_DISCONNECTED" not in fault]


def test_texts_never_become_markup(page: Page, bench: Bench) -> None:
    _open(page, bench)
    page.get_by_label("mass").fill(NASTY)
    page.keyboard.press("Enter")
    expect(page.locator("[data-live=lead]")).to_contain_text(NASTY)
    page.locator("a[data-fact]").focus()
    expect(page.locator(".why")).to_contain_text(NASTY)
    assert page.title() == "Tern 65"
    assert page.locator("img").count() == 0
