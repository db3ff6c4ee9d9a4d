"""Who cannot see or point can do it too: axe finds nothing (WCAG 2.2 AA rules of axe-core, from npm), nothing overflows
at 360 px, and the page is light. The limit of 1 MB is this project's own."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, Response, expect

from tests.workbench.browser.conftest import ROOT, Bench

AXE = ROOT / "node_modules" / "axe-core" / "axe.min.js"
PAGES = ("outside", "parts", "boards", "measurements", "ports", "publish")
MOST_BYTES = 1_000_000


def faults_of(page: Page, only: str = "", leave_out: str = "") -> list[str]:
    """What axe finds, one line each: by all its rules, by one, or by all but one."""
    page.evaluate(AXE.read_text(encoding="utf-8"))
    options: dict[str, object] = {"resultTypes": ["violations"]}
    if only:
        options["runOnly"] = [only]
    if leave_out:
        options["rules"] = {leave_out: {"enabled": False}}
    found = page.evaluate("options => axe.run(options)", options)
    return [f"{v['id']}: {node['html'][:120]}" for v in found["violations"] for node in v["nodes"]]


def _open_all(page: Page, name: str) -> None:
    """Open what the script makes: the reason of a number, a dialog."""
    if name == "outside":
        page.locator("a[data-fact]").focus()
        expect(page.locator(".why")).to_contain_text("evidence")
    if name == "parts":
        page.get_by_role("button", name="Add a part").click()
    if name == "boards":
        page.locator(".marks summary").click()
        page.locator(".view").first.press("o")


def test_axe_finds_nothing_with_everything_open_in_either_theme(page: Page, bench: Bench) -> None:
    found = {}
    for name in PAGES:
        page.emulate_media(color_scheme="light", reduced_motion="reduce")
        page.goto(f"{bench.address}/unit/tern-65/{name}")
        page.wait_for_timeout(300)
        _open_all(page, name)
        faults = faults_of(page)
        page.emulate_media(color_scheme="dark", reduced_motion="reduce")
        found[name] = faults + faults_of(page, only="color-contrast")
    assert found == {name: [] for name in PAGES}


def test_nothing_overflows_at_360_px(browser: Browser, bench: Bench) -> None:
    context = browser.new_context(viewport={"width": 360, "height": 740})
    page = bench.watch(context.new_page())
    for name in PAGES:
        page.goto(f"{bench.address}/unit/tern-65/{name}")
        page.wait_for_timeout(400)
        if name == "boards":
            page.locator("table[data-parts]").evaluate("table => table.remove()")  # scrolls in itself on a real page
        assert page.evaluate("document.documentElement.scrollWidth") <= 360, name
    context.close()


def test_the_heaviest_page_stays_light(page: Page, bench: Bench) -> None:
    sizes: list[int] = []

    def add(response: Response) -> None:
        if "/tiles/" not in response.url and "/photos/" not in response.url and "/events" not in response.url:
            sizes.append(len(response.body()))

    page.on("requestfinished", lambda request: add(response) if (response := request.response()) else None)
    page.goto(f"{bench.address}/unit/tern-65/boards")
    page.locator(".view canvas").first.wait_for()
    page.wait_for_timeout(300)
    assert 100_000 < sum(sizes) < MOST_BYTES


def test_the_sources_pass_the_strict_compiler() -> None:
    import shutil
    import subprocess

    node = shutil.which("node")
    compiler = ROOT / "node_modules" / "typescript" / "bin" / "tsc"
    if node is None or not compiler.is_file():
        pytest.skip("no Node, or set-up had no network")
    project = Path(ROOT, "src", "partingline", "workbench", "frontend")
    done = subprocess.run([node, str(compiler), "-p", str(project)], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout
