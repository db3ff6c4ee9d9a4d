"""Why a number is so, charts of logs and recordings, long work, and files sent."""

from pathlib import Path

from playwright.sync_api import Page, expect

from tests.workbench.browser.conftest import Bench


def test_focus_on_a_number_shows_its_routes_and_leads_to_the_evidence(page: Page, bench: Bench) -> None:
    page.goto(f"{bench.address}/unit/tern-65/outside")
    page.locator("a[data-fact]").focus()
    why = page.get_by_role("group", name="Why this number")
    for text in ("118.4 ± 0.1 g", "measured", "what the balance shows", "common practice", "contradicted", "181 g"):
        expect(why).to_contain_text(text)
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="unit.toml, line 20")).to_be_focused()
    page.keyboard.press("Escape")
    expect(why).to_have_count(0)
    page.locator("a[data-fact]").hover()
    why.get_by_role("link", name="unit.toml, line 20").click()
    page.wait_for_url("**/outside?line=20")
    assert bench.desk.asked.count("unit/mass") == 1, "asked once, though shown twice"


def test_a_recording_is_fetched_anew_for_what_is_looked_at(page: Page, bench: Bench) -> None:
    page.goto(f"{bench.address}/unit/tern-65/ports")
    chart = page.get_by_role("group", name="attach: chart")
    chart.locator("canvas").wait_for()
    chart.focus()
    page.keyboard.press("+")
    page.wait_for_timeout(200)
    page.keyboard.press("ArrowRight")
    page.wait_for_timeout(200)
    page.get_by_role("button", name="all").click()
    page.wait_for_timeout(200)
    stretches = [asked for asked in bench.desk.asked if asked.startswith("levels")]
    assert stretches == ["levels 0 3600", "levels 900 2700", "levels 1350 3150", "levels 0 3600"]
    chart.locator(".u-over").hover(position={"x": 600, "y": 80})
    expect(page.locator(".chart .measure")).to_contain_text("20 V 3.25 A")


def test_a_log_shows_its_values_in_words(page: Page, bench: Bench) -> None:
    page.goto(f"{bench.address}/unit/tern-65/measurements")
    over = page.locator(".u-over")
    expect(over).to_have_count(2)
    over.first.hover(position={"x": 10, "y": 50})
    expect(page.locator(".chart .measure")).to_contain_text("port voltage 20.")
    expect(page.locator("figcaption")).to_have_text("Load sweep")


def test_work_shows_its_progress_survives_a_reload_and_can_be_cancelled(page: Page, bench: Bench) -> None:
    page.goto(f"{bench.address}/unit/tern-65/publish")
    page.get_by_role("button", name="Make the report").click()
    expect(page.locator("progress")).to_have_attribute("value", "0.4")
    page.reload()
    expect(page.locator(".job")).to_contain_text("judging")
    page.get_by_role("button", name="cancel").press("Enter")
    expect(page.locator(".job")).to_contain_text("cancelled")
    expect(page.locator("progress")).to_have_count(0)


def test_a_file_is_sent_and_a_taken_name_is_refused_in_words(page: Page, bench: Bench, tmp_path: Path) -> None:
    file = tmp_path / "sweep.csv"
    file.write_text("Time (s),Vout (V)\n0,20\n")
    page.goto(f"{bench.address}/unit/tern-65/measurements")
    with page.expect_navigation():
        page.get_by_label("Logs").set_input_files(file)
    assert bench.desk.uploads == {"sweep.csv": file.read_bytes()}
    page.get_by_label("Logs").set_input_files(file)
    expect(page.locator(".uploads")).to_contain_text("Rename it.")
