"""The stories with the real server on the demonstration unit: keyboard only, two people at once, offline, reloads in
the middle of everything, texts that are checked, and axe (axe-core, from npm) on every page."""

import json
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.workbench.browser.real import DEMO, PATIENCE_MS, name_mark, open_page, patient, served_at, tab_to
from tests.workbench.browser.test_access import faults_of

PAGES = ("outside", "ports", "measurements", "opening", "boards", "parts", "converter", "spacing", "findings", "words")
PAGES += ("publish", "history")


@pytest.fixture
def served(tmp_path: Path) -> Iterator[tuple[str, Path]]:
    """Address and folder of a bench with the demonstration unit."""
    folder = tmp_path / "bench"
    shutil.copytree(DEMO, folder / "tern-65")
    with served_at(folder) as address:
        yield address, folder


@pytest.fixture
def visitor(browser: Browser) -> Iterator[Page]:
    """A page of no server in particular."""
    context = patient(browser)
    yield context.new_page()
    context.close()


def _mass(page: Page):  # type: ignore[no-untyped-def]
    return page.locator('form[data-edit]:has(input[name="path"][value*="mass"]) [name=value]')


def test_the_keyboard_alone_makes_a_unit_and_a_pin(served: tuple[str, Path], visitor: Page) -> None:
    address, folder = served
    page = visitor
    open_page(page, address)
    tab_to(page, "#new-id")
    page.keyboard.type("plover-30")
    page.keyboard.press("Enter")
    page.wait_for_url("**/unit/plover-30/outside")
    expect(page.locator("html")).to_have_attribute("data-ready", "")
    tab_to(page, 'form[data-edit] textarea[id*="label-text"]')
    page.keyboard.type("OUTPUT C1: 5V 3A")
    page.keyboard.press("Control+Enter")
    expect(page.locator(".said")).to_contain_text("Saved")
    with page.expect_navigation():  # the page is read again when the photo is there
        page.locator('.drop input[type="file"]').set_input_files(DEMO / "photos" / "main-bottom.jpg")
    expect(page.locator("html")).to_have_attribute("data-ready", "")
    tab_to(page, "a.skip")
    page.keyboard.press("Enter")
    expect(page.locator("main")).to_be_focused()
    open_page(page, f"{address}/unit/plover-30/outside")
    tab_to(page, 'nav a[href$="/boards"]')
    page.keyboard.press("Enter")
    page.wait_for_url("**/boards")
    expect(page.locator(".view")).to_have_attribute("aria-label", "main-bottom.jpg, 0 marks", timeout=PATIENCE_MS)
    tab_to(page, ".view")
    for key in ("p", "Enter", *["ArrowRight"] * 4, "Enter"):
        page.keyboard.press(key)
    page.keyboard.type("C3")
    with page.expect_response(lambda answer: answer.request.method == "PUT" and answer.ok):
        page.keyboard.press("Enter")
    expect(page.locator(".layer .name")).to_have_text("C3")
    unit = folder / "plover-30"
    assert "5V 3A" in (unit / "unit.toml").read_text(encoding="utf-8")
    (mark,) = json.loads((unit / "photos" / "marks.json").read_text(encoding="utf-8"))
    assert mark["body"][0]["value"] == "part:C3"


def test_the_bench_shows_verdicts_as_they_are_made(served: tuple[str, Path], visitor: Page) -> None:
    page = visitor
    open_page(page, served[0])
    expect(page.locator(".units tbody")).to_contain_text("falls short", timeout=PATIENCE_MS)
    expect(page.locator(".units tbody")).to_contain_text("Fennmark Tern 65")


def test_findings_are_narrowed_and_gone_through_by_keys(served: tuple[str, Path], visitor: Page) -> None:
    page = visitor
    open_page(page, f"{served[0]}/unit/tern-65/findings")
    shown = page.locator("#findings-list article:not([hidden])")
    expect(shown.first).to_contain_text("falls short")
    expect(page.locator("#findings-list article", has_text="meets").locator("visible=true")).to_have_count(0)
    page.keyboard.press("/")
    page.keyboard.type("creepage")
    expect(shown).to_have_count(1)
    expect(shown.first).to_contain_text("5\u202fmm")
    page.reload()
    expect(shown).to_have_count(1)
    page.locator("#find-findings").fill("")
    shown.first.focus()
    page.keyboard.press("ArrowDown")
    expect(shown.nth(1)).to_be_focused()
    undecided = page.locator('article[data-verdict="undecided"] .decides')
    assert any("decides it; it is" in text for text in undecided.all_text_contents())


def test_the_operating_point_moves_with_a_slider_and_a_number(served: tuple[str, Path], visitor: Page) -> None:
    page = visitor
    open_page(page, f"{served[0]}/unit/tern-65/converter")
    point = page.locator("#point")
    expect(point).to_contain_text("measured at 230\u202fV, 100\u202f% load")
    page.get_by_label("load, by sliding").focus()
    page.keyboard.press("Home")
    expect(point).to_contain_text("Below 20 % load")
    page.get_by_label("load, % of the offer").fill("50")
    expect(point).to_contain_text("32.5\u202fW")
    expect(point).to_contain_text("measured at 230\u202fV, 50\u202f% load")
    page.reload()
    expect(point).to_contain_text("32.5\u202fW")


def test_a_dropped_script_is_checked_and_not_kept(served: tuple[str, Path], visitor: Page, tmp_path: Path) -> None:
    address, folder = served
    page = visitor
    script = tmp_path / "talk.srt"
    script.write_text("1\n00:00:01,000 --> 00:00:04,000\nC3 has twenty seven millifarads\n", encoding="utf-8")
    open_page(page, f"{address}/unit/tern-65/words")
    page.locator("details summary", has_text="another text").press("Enter")
    page.locator("#script-file").set_input_files(script)
    row = page.locator(".spoken tbody tr").first
    expect(row).to_contain_text("twenty seven millifarads")
    expect(row).to_contain_text("0:01.0")
    expect(row).to_contain_text("wrong unit or impossible")
    with page.expect_download() as kept:
        page.get_by_role("button", name="download talk-corrected.srt").press("Enter")
    assert "twenty seven microfarads" in kept.value.path().read_text(encoding="utf-8")
    assert not (folder / "tern-65" / "words" / "talk.srt").exists()


def test_an_outline_that_is_moved_shows_its_creepage_at_once(served: tuple[str, Path], visitor: Page) -> None:
    page = visitor
    open_page(page, f"{served[0]}/unit/tern-65/spacing")
    label = page.locator(".label.creepage")
    expect(label).to_contain_text("5\u202fmm required", timeout=PATIENCE_MS)
    before = label.text_content() or ""
    page.locator(".marks summary").press("Enter")
    page.get_by_role("button", name="primary pad").press("Enter")
    page.locator(".view").focus()
    for _ in range(3):
        page.keyboard.press("ArrowLeft")
    expect(label).not_to_have_text(before)
    page.locator(".view").press("z")
    expect(label).to_have_text(before)


def test_two_people_see_each_other_and_lose_nothing(served: tuple[str, Path], visitor: Page, browser: Browser) -> None:
    address, folder = served
    context = patient(browser)
    other = context.new_page()
    for page in (visitor, other):
        open_page(page, f"{address}/unit/tern-65/outside")
    expect(visitor.locator('[data-live="people"]')).to_contain_text("2")
    mass = [_mass(page) for page in (visitor, other)]
    mass[0].fill("120 g")
    mass[0].press("Enter")
    expect(mass[1]).to_have_value("120 g")
    mass[1].fill("121 g")
    mass[0].fill("122 g")
    with visitor.expect_response(lambda answer: answer.request.method == "PATCH" and answer.ok):
        mass[0].press("Enter")
    mass[1].press("Enter")
    dialog = other.get_by_role("dialog")
    expect(dialog).to_contain_text("121 g")
    expect(dialog).to_contain_text("122 g")
    dialog.get_by_role("button", name="Write yours over it").press("Enter")
    expect(mass[0]).to_have_value("121 g")
    history = (folder / "tern-65" / "history.jsonl").read_text(encoding="utf-8")
    assert [json.loads(line)["after"] for line in history.splitlines()] == ["120 g", "122 g", "121 g"]
    (folder / "tern-65" / "unit.toml").write_text(
        (folder / "tern-65" / "unit.toml").read_text(encoding="utf-8").replace('"121 g"', '"119 g"'), encoding="utf-8"
    )
    expect(mass[0]).to_have_value("119 g", timeout=PATIENCE_MS)
    context.close()


def test_offline_keeps_what_is_typed_until_the_server_is_back(served: tuple[str, Path], visitor: Page) -> None:
    address, folder = served
    page = visitor
    open_page(page, f"{address}/unit/tern-65/outside")
    page.context.set_offline(True)
    _mass(page).fill("7 g")
    page.keyboard.press("Enter")
    expect(page.locator(".said")).to_contain_text("cannot be reached")
    expect(_mass(page)).to_have_value("7 g")
    page.context.set_offline(False)
    page.reload()
    expect(_mass(page)).to_have_value("7 g")
    expect(page.locator(".note", has_text="before the reload").first).to_be_visible()
    _mass(page).press("Enter")
    expect(page.locator(".said")).to_contain_text("Saved")
    assert '"7 g"' in (folder / "tern-65" / "unit.toml").read_text(encoding="utf-8")


def test_a_reload_in_the_middle_of_everything_loses_nothing(served: tuple[str, Path], visitor: Page) -> None:
    page, at, folder = visitor, f"{served[0]}/unit/tern-65", served[1]
    open_page(page, f"{at}/ports")
    page.get_by_label("name on the case").last.fill("C2")
    page.reload()
    expect(page.get_by_label("name on the case").last).to_have_value("C2")
    open_page(page, f"{at}/parts")
    page.locator("#paste-rows").fill("X9\tmain")
    page.reload()
    expect(page.locator("#paste-rows")).to_have_value("X9\tmain")
    open_page(page, f"{at}/boards")
    expect(page.locator(".view")).to_have_attribute("aria-label", "main-bottom.jpg, 18 marks", timeout=PATIENCE_MS)
    page.locator(".view").focus()
    for key in ("o", "Enter", *["ArrowRight"] * 4, "Enter"):
        page.keyboard.press(key)
    page.reload()
    expect(page.locator(".measure")).to_contain_text("2 points from before the reload", timeout=PATIENCE_MS)
    for key in (*["ArrowDown"] * 4, "Enter", "Enter"):
        page.keyboard.press(key)
    name_mark(page, "U2")
    expect(page.locator(".view")).to_have_attribute("aria-label", "main-bottom.jpg, 19 marks")
    open_page(page, f"{at}/publish")
    page.locator("form[data-job=report] button").first.press("Enter")
    expect(page.locator(".job")).to_contain_text("report")
    page.reload()
    expect(page.locator(".job").get_by_role("link", name="report.pdf")).to_be_visible(timeout=90_000)
    assert (folder / "tern-65" / "report" / "report.pdf").read_bytes().startswith(b"%PDF")


def test_axe_finds_nothing_on_any_page_in_either_theme(served: tuple[str, Path], visitor: Page) -> None:
    complaints: list[str] = []
    visitor.on("pageerror", lambda error: complaints.append(str(error)))
    visitor.on("console", lambda said: complaints.append(said.text) if "Content Security" in said.text else None)
    found = {}
    (served[1] / "plover-30").mkdir()
    (served[1] / "plover-30" / "unit.toml").write_text("[unit]\n", encoding="utf-8")
    fact = "/unit/tern-65/fact?key=part:C3/capacitance"
    bare = tuple(f"/unit/plover-30/{page}" for page in ("outside", "ports", "boards", "spacing", "words"))
    for name in ("/", fact, *(f"/unit/tern-65/{page}" for page in PAGES), "/unit/tern-65/boards#part:C3", *bare):
        visitor.emulate_media(color_scheme="light", reduced_motion="reduce")
        open_page(visitor, served[0] + name)
        visitor.wait_for_load_state("load")
        faults = faults_of(visitor)
        visitor.emulate_media(color_scheme="dark", reduced_motion="reduce")
        found[name] = faults + faults_of(visitor, only="color-contrast")
    assert found == {name: [] for name in found}
    assert complaints == []


def test_a_proposed_marking_is_corrected_and_accepted(served: tuple[str, Path], visitor: Page) -> None:
    pytest.importorskip("rapidocr", reason="the extra 'ocr' is not installed")
    page = visitor
    open_page(page, f"{served[0]}/unit/tern-65/boards#part:Q1")
    expect(page.locator("tr.chosen")).to_have_attribute("data-ref", "Q1", timeout=PATIENCE_MS)
    page.get_by_role("button", name="Read what is printed").press("Enter")
    field = page.get_by_label("what is read on Q1")
    expect(field).to_be_visible(timeout=90_000)
    field.fill("QN650R15 X")
    page.get_by_role("button", name="Accept for Q1").press("Enter")
    expect(page.locator(".said")).to_contain_text("accepted", timeout=PATIENCE_MS)
    marks = json.loads((served[1] / "tern-65" / "photos" / "marks.json").read_text(encoding="utf-8"))
    assert "reads: QN650R15 X" in [body["value"] for mark in marks for body in mark["body"]]
