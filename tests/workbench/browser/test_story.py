"""The whole job in a real browser: a unit from nothing, with photos, label, log, capture, 20 parts with pins, outlines
and captions, to the published report; what is then in the folder is read by the command line's own code."""

import csv
import json
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from partingline.facts.opened import open_unit
from partingline.model import Key
from tests.workbench.browser.real import DEMO, PATIENCE_MS, name_mark, open_page, patient, served_at

FILES = (
    "photos/label.png", "photos/main-bottom.jpg", "logs/load-230V-20V.csv", "captures/c1-attach.sigmf-meta",
    "captures/c1-attach.sigmf-data",
)  # fmt: skip
LABEL = "FENNMARK\nModel FM-T65\nINPUT: 100-240V~ 50/60Hz 1.8A\nOUTPUT C1: 5V\u23933A 20V\u23933.25A\nC1: 65W Max"
CAPTIONS = "WEBVTT\n\n00:01.000 --> 00:04.000\nthe port C1 gives twenty volts at three amps\n"


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[tuple[str, Path]]:
    """Address and folder of an empty bench."""
    folder = tmp_path / "bench"
    folder.mkdir()
    with served_at(folder) as address:
        yield address, folder


def _twenty_parts() -> str:
    """The first 20 parts of the demonstration unit, as they are copied from a spreadsheet."""
    with (DEMO / "parts.csv").open(encoding="utf-8-sig", newline="") as stream:
        rows = list(csv.reader(stream, delimiter=";"))[:21]
    return "\n".join("\t".join(row) for row in rows)


def test_a_unit_is_made_from_nothing_and_published(bench: tuple[str, Path], browser: Browser) -> None:
    address, folder = bench
    context = patient(browser)
    page = context.new_page()
    unit, at = folder / "plover-65", f"{address}/unit/plover-65"
    _from_files(page, address)
    _label(page, at)
    _port(page, at)
    _log(page, at)
    _parts(page, at)
    _board(page, at)
    _words(page, at)
    _published(page, at)
    context.close()
    _found_in(unit)


def _from_files(page: Page, address: str) -> None:
    open_page(page, address)
    page.get_by_label("name of its folder").fill("plover-65")
    page.locator("#new-files").set_input_files([DEMO / name for name in FILES])
    expect(page.locator(".new .uploads li")).to_have_count(len(FILES))
    page.get_by_role("button", name="make the unit").press("Enter")
    page.wait_for_url("**/unit/plover-65/outside")


def _label(page: Page, at: str) -> None:
    open_page(page, f"{at}/outside")
    text = page.get_by_label("text of the label")
    text.fill(LABEL)
    text.press("Control+Enter")
    expect(page.locator('[data-live="label-says"]')).to_contain_text("65\u202fW", timeout=PATIENCE_MS)
    photo = page.get_by_label("photo of it")
    photo.fill("photos/label.png")
    photo.press("Enter")
    expect(page.locator(".said")).to_contain_text("Saved")


def _port(page: Page, at: str) -> None:
    open_page(page, f"{at}/ports")
    page.get_by_label("name on the case").fill("C1")
    page.get_by_label("rated power").fill("65 W")
    page.get_by_label("offers", exact=False).last.fill("5V 3A\n9V 3A\n15V 2.4A\n20V 3.25A")
    page.get_by_role("button", name="add the port").press("Enter")
    expect(page.locator(".offered")).to_contain_text("falls short", timeout=PATIENCE_MS)
    expect(page.locator("figure[data-capture] canvas").first).to_be_visible(timeout=PATIENCE_MS)


def _log(page: Page, at: str) -> None:
    open_page(page, f"{at}/measurements")
    expect(page.locator(".logs")).to_contain_text("to be confirmed")
    for label, value in (("port under test", "C1"), ("offer", "20 V"), ("mains", "230 V"), ("frequency", "50 Hz")):
        page.locator("form.confirm").get_by_label(label).fill(value)
    page.get_by_role("button", name="confirm what it is").press("Enter")
    expect(page.locator(".results")).to_contain_text("average efficiency", timeout=PATIENCE_MS)
    expect(page.locator("figure[data-log] canvas").first).to_be_visible(timeout=PATIENCE_MS)


def _parts(page: Page, at: str) -> None:
    open_page(page, f"{at}/parts")
    page.locator("#paste-rows").fill(_twenty_parts())
    page.locator("form:has(#paste-rows) button").press("Enter")
    expect(page.locator("table[data-parts] tr[data-ref]")).to_have_count(20, timeout=PATIENCE_MS)


def _board(page: Page, at: str) -> None:
    open_page(page, f"{at}/boards")
    page.get_by_role("button", name="main-bottom").press("Enter")
    view = page.locator(".view")
    expect(view).to_have_attribute("aria-label", "main-bottom.jpg, 0 marks", timeout=PATIENCE_MS)
    view.focus()
    refs = [row.split("\t")[0] for row in _twenty_parts().split("\n")[1:]]
    for number, ref in enumerate(refs):
        steps = ["ArrowRight"] * (number % 5) + ["ArrowDown"] * (number // 5)
        for key in ("p", *steps, "Enter", "ArrowRight", "ArrowDown", "Enter"):
            page.keyboard.press(key)
        name_mark(page, ref)
    for key in ("l", "Enter", *["ArrowRight"] * 10, "Enter"):
        page.keyboard.press(key)
    name_mark(page, "unit", "scale: 30 mm")
    for shift, note in ((-9, "primary pad"), (5, "secondary pad")):
        way = "ArrowLeft" if shift < 0 else "ArrowRight"
        for key in (
            "o",
            *[way] * abs(shift),
            "Enter",
            *["ArrowRight"] * 3,
            "Enter",
            *["ArrowDown"] * 3,
            "Enter",
            "Enter",
        ):
            page.keyboard.press(key)
        name_mark(page, "barrier:main", note)
    expect(page.locator(".label.creepage")).to_contain_text("along the surface", timeout=PATIENCE_MS)
    expect(view).to_have_attribute("aria-label", "main-bottom.jpg, 23 marks")


def _words(page: Page, at: str) -> None:
    open_page(page, f"{at}/words")
    text = page.get_by_label("captions (WebVTT)")
    text.fill(CAPTIONS)
    text.press("Control+Enter")
    expect(page.locator(".spoken tbody tr:not([hidden])").first).to_contain_text("three amps", timeout=PATIENCE_MS)
    with page.expect_download() as kept:
        page.get_by_role("button", name="download captions-corrected.vtt").press("Enter")
    assert "three point two five amps" in kept.value.path().read_text(encoding="utf-8")


def _published(page: Page, at: str) -> None:
    open_page(page, f"{at}/publish")
    page.locator("form[data-job=report] button").first.press("Enter")
    expect(page.locator(".job").get_by_role("link", name="report.pdf")).to_be_visible(timeout=90_000)


def _found_in(unit: Path) -> None:
    """What a person finds in the folder, and what the command line reads in it."""
    opened = open_unit(unit)
    assert len(opened.unit.parts) >= 20
    marks = json.loads((unit / "photos" / "marks.json").read_text(encoding="utf-8"))
    assert len(marks) == 23
    assert opened.book.fact(Key.of("barrier:main", "creepage")) is not None
    assert opened.book.fact(Key.of("port:C1", "average_efficiency", mains=230.0, offer=20.0)) is not None
    assert (unit / "report" / "report.pdf").read_bytes().startswith(b"%PDF")
    assert "Fennmark" not in (unit / "unit.toml").read_text(encoding="utf-8")
    for name in FILES:
        assert (unit / name).read_bytes() == (DEMO / name).read_bytes(), name
    shutil.rmtree(unit)
