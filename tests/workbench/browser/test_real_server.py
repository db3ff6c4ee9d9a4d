"""The stories with the real server on a bench in a temporary folder: a unit from nothing by keyboard, a report, two
people at once, and axe on every page of the demonstration unit (axe-core, from npm)."""

import json
import shutil
import socket
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
import uvicorn
from playwright.sync_api import Browser, Page, expect

from partingline.workbench.app import make_app
from tests.workbench.browser.conftest import ROOT
from tests.workbench.browser.test_access import faults_of

DEMO = ROOT / "demo" / "tern-65"
PAGES = ("outside", "ports", "measurements", "opening", "boards", "parts", "converter", "spacing", "findings", "words")
PAGES += ("publish", "history")

SAME_NAME = "landmark-unique"
"""Best practice, no rule of WCAG: a table that is named as its section makes two regions of one name."""


@pytest.fixture
def served(tmp_path: Path) -> Iterator[tuple[str, Path]]:
    """Address and folder of a bench with the demonstration unit."""
    folder = tmp_path / "bench"
    shutil.copytree(DEMO, folder / "tern-65")
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    app = make_app(folder, port=port)
    server = uvicorn.Server(uvicorn.Config(app, port=port, log_level="critical", timeout_graceful_shutdown=0))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    yield f"http://127.0.0.1:{port}", folder
    server.should_exit = True
    thread.join(10)


@pytest.fixture
def visitor(browser: Browser) -> Iterator[Page]:
    """A page of no server in particular."""
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    context.set_default_timeout(15_000)
    yield context.new_page()
    context.close()


def _name_mark(page: Page, subject: str) -> None:
    page.get_by_label("Of what?").fill(subject)
    page.keyboard.press("Enter")
    expect(page.locator("dialog")).to_have_count(0)


def test_a_unit_from_nothing_by_keyboard(served: tuple[str, Path], visitor: Page) -> None:
    address, folder = served
    page = visitor
    page.goto(address)
    page.get_by_label("name of its folder").fill("plover-30")
    page.keyboard.press("Enter")
    page.wait_for_url("**/unit/plover-30/**")
    page.goto(f"{address}/unit/plover-30/outside")
    page.get_by_label("text", exact=False).first.wait_for()
    label = page.locator("textarea").first
    label.fill("OUTPUT C1: 5V\u23933A 20V\u23931.5A")
    label.press("Control+Enter")
    expect(page.locator(".said")).to_contain_text("Saved")

    page.goto(f"{address}/unit/plover-30/opening")
    with page.expect_navigation():
        page.locator('form[data-drop=photos] input[type="file"]').set_input_files(DEMO / "photos" / "main-bottom.jpg")

    page.goto(f"{address}/unit/plover-30/parts")
    page.get_by_role("button", name="Add a part").press("Enter")
    page.keyboard.type("C3")
    page.keyboard.press("Enter")
    cell = page.locator('[data-ref=C3] [data-column="marking"]')
    cell.focus()
    page.keyboard.type("474K X2")
    expect(page.locator(".readings")).to_contain_text("0.47")
    page.keyboard.press("Enter")
    expect(page.locator('[data-ref=C3] [data-column="marking"]')).to_have_text("474K X2")

    page.goto(f"{address}/unit/plover-30/boards")
    page.locator(".view[aria-label*=main-bottom]").focus()
    for key in ("p", "Enter", *["ArrowRight"] * 4, "Enter"):
        page.keyboard.press(key)
    _name_mark(page, "C3")
    expect(page.locator(".layer .name")).to_have_text("C3")

    unit = folder / "plover-30"
    assert "20V\u23931.5A" in (unit / "unit.toml").read_text(encoding="utf-8")
    assert "474K X2" in (unit / "parts.csv").read_text(encoding="utf-8")
    (mark,) = json.loads((unit / "photos" / "marks.json").read_text(encoding="utf-8"))
    assert mark["body"][0]["value"] == "part:C3"


def test_the_report_is_written_with_its_progress_shown(served: tuple[str, Path], visitor: Page) -> None:
    address, folder = served
    visitor.goto(f"{address}/unit/tern-65/publish")
    visitor.locator("form[data-job=report] button").first.press("Enter")
    expect(visitor.locator(".job")).to_contain_text("report")
    expect(visitor.locator(".job").get_by_role("link", name="report.pdf")).to_be_visible(timeout=30_000)
    assert (folder / "tern-65" / "report" / "report.pdf").read_bytes().startswith(b"%PDF")


def test_two_people_see_each_other_and_lose_nothing(served: tuple[str, Path], visitor: Page, browser: Browser) -> None:
    address, folder = served
    other = browser.new_context().new_page()
    for page in (visitor, other):
        page.goto(f"{address}/unit/tern-65/outside")
    expect(visitor.locator('[data-live="people"]')).to_contain_text("2")
    mass = [
        page.locator('form[data-edit]:has(input[name="path"][value*="mass"]) [name=value]') for page in (visitor, other)
    ]
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
    expect(mass[0]).to_have_value("119 g", timeout=15_000)
    other.context.close()


def test_axe_finds_nothing_on_any_page_in_either_theme(served: tuple[str, Path], visitor: Page) -> None:
    complaints: list[str] = []
    visitor.on("pageerror", lambda error: complaints.append(str(error)))
    visitor.on("console", lambda said: complaints.append(said.text) if "Content Security" in said.text else None)
    found = {}
    for name in ("/", *(f"/unit/tern-65/{page}" for page in PAGES)):
        visitor.emulate_media(color_scheme="light", reduced_motion="reduce")
        visitor.goto(served[0] + name)
        expect(visitor.locator("html")).to_have_attribute("data-ready", "")
        faults = faults_of(visitor, leave_out=SAME_NAME)
        visitor.emulate_media(color_scheme="dark", reduced_motion="reduce")
        found[name] = faults + faults_of(visitor, only="color-contrast")
    assert found == {name: [] for name in found}
    assert complaints == []
