"""How long a person waits for the workbench, in headless Chromium: each time beside its target.

Times run from the click or key to the frame that shows the answer, as the page's own clock tells them; the middle of
several. The server is a process of its own, as `partingline serve` starts it. Targets: ours, for work beside a
soldering iron.
"""

import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from statistics import median
from typing import Any

from playwright.sync_api import Browser, Page, sync_playwright

from _workbench_material import PHOTO, RECORDING, add_photo, add_recording, demo_bench, large_bench

RUNS = 5
READY = """
new Promise(done => {
  const look = () => document.documentElement?.dataset.ready === undefined
    ? requestAnimationFrame(look) : requestAnimationFrame(() => done(performance.now()));
  look();
})"""
PAINTED = """
new Promise((done, fail) => {
  const look = () => {
    if (performance.now() > 60000) return fail("no photo in a minute");
    for (const canvas of document.querySelectorAll(".view canvas")) {
      const pixels = canvas.width ? canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height).data : [];
      let seen = 0;
      for (let at = 3; at < pixels.length; at += 4 * 997) seen += pixels[at] > 0;
      if (seen > 0.6 * pixels.length / (4 * 997)) return requestAnimationFrame(() => done(performance.now()));
    }
    requestAnimationFrame(look);
  };
  look();
})"""
ZOOMED = """
([key, name]) => new Promise((done, fail) => {
  const plots = [...document.querySelectorAll(".plots")].find(one => one.getAttribute("aria-label").startsWith(name));
  const from = performance.now();
  const look = () => {
    const seen = performance.getEntriesByType("resource")
      .some(one => one.startTime >= from && one.responseEnd > 0 && one.name.includes("/levels"));
    if (seen) return requestAnimationFrame(() => done(performance.now() - from));
    if (performance.now() - from > 30000) return fail("no levels");
    setTimeout(look, 1);
  };
  plots.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true, cancelable: true }));
  look();
})"""
EDITED = """
([path, value, fact]) => new Promise((done, fail) => {
  const form = [...document.querySelectorAll("form[data-edit]")].find(one => one.elements.path.value === path);
  const control = form.elements.value;
  const number = () => [...document.querySelectorAll(`a[data-fact="${fact}"]`)].map(one => one.textContent).join();
  const [before, lead] = [number(), document.querySelector('[data-live="lead"]')?.textContent];
  const from = performance.now();
  const look = () => {
    const changed = number() !== before || document.querySelector('[data-live="lead"]')?.textContent !== lead;
    if (changed) return requestAnimationFrame(() => done(performance.now() - from));
    if (performance.now() - from > 30000) return fail("no new findings");
    requestAnimationFrame(look);
  };
  control.focus();
  control.value = value;
  control.dispatchEvent(new Event("input", { bubbles: true }));
  form.requestSubmit();
  look();
})"""
MEASURED = """
([value, fact]) => new Promise((done, fail) => {
  const number = () => [...document.querySelectorAll(`a[data-fact="${fact}"]`)].map(one => one.textContent).join();
  const [before, unit] = [number(), "/api/unit/tern-65/unit.toml"];
  const token = document.querySelector('meta[name="partingline-token"]').content;
  const edit = async () => {
    const { fields } = await (await fetch(unit)).json();
    const row = fields.find(one => one.value === "part:C3").path[1];
    const field = fields.find(one => one.path[0] === "reading" && one.path[1] === row && one.path[2] === "value");
    const headers = { "X-Partingline": token, "Content-Type": "application/json" };
    const body = JSON.stringify({ path: field.path, value, base: field.version });
    const from = performance.now();
    fetch(unit, { method: "PATCH", headers, body });
    const look = () => {
      if (number() !== before) return requestAnimationFrame(() => done(performance.now() - from));
      if (performance.now() - from > 30000) return fail("no new findings");
      requestAnimationFrame(look);
    };
    look();
  };
  edit();
})"""


def main() -> int:
    """Print every time with its target; 1 where one is missed."""
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    if chromium is None:
        print("Chromium is not installed: nothing measured")
        return 1
    missed = 0
    with tempfile.TemporaryDirectory() as place, sync_playwright() as play:
        browser = play.chromium.launch(executable_path=chromium, args=["--no-sandbox", "--disable-gpu"])
        for name, value, unit, target in _measured(browser, Path(place)):
            verdict = "" if value <= target else "   MISSED"
            missed += value > target
            print(f"{name:58} {value:9.3g} {unit:3} target {target:5.3g}{verdict}", flush=True)
        browser.close()
    return 1 if missed else 0


def _measured(browser: Browser, place: Path) -> Iterator[tuple[str, float, str, float]]:
    (place / "demo").mkdir()
    bench = demo_bench(place / "demo")
    with _served(bench) as address:
        yield "first page of the demonstration bench", _first(browser, address), "s", 1.0
        yield "first page of its unit", _first(browser, f"{address}unit/tern-65/outside"), "s", 1.0
        for page in ("", *(f"unit/tern-65/{name}" for name in ("outside", "ports", "boards", "parts", "findings"))):
            yield f"weight of /{page} without photos", _weight(browser, address + page), "MB", 1.0
        yield from _edits(browser, f"{address}unit/tern-65/")
        yield from _live(browser, f"{address}unit/tern-65/", bench / "tern-65")
    add_photo(bench / "tern-65")
    with _served(bench) as address:
        _first(browser, f"{address}unit/tern-65/outside", runs=1)
        shown = f"{address}unit/tern-65/source?path=photos/{PHOTO}&x=2700&y=1800&w=600&h=400"
        yield "a photo of 24 megapixels, first time", _painted(browser, shown, 1), "s", 1.0
        yield "the same, its tiles made", _painted(browser, shown, RUNS), "s", 1.0
    (bench / "tern-65" / "photos" / PHOTO).unlink()
    add_recording(bench / "tern-65")
    with _served(bench) as address:
        yield from _zooms(browser, f"{address}unit/tern-65/ports")
    shutil.rmtree(bench)
    (place / "large").mkdir()
    large = large_bench(place / "large")
    with _served(large) as address:
        yield "first page of 2,000 units, none judged yet", _first(browser, address), "s", 1.5
        _wait_judged(browser, address)
        yield "first page of 2,000 units, judged", _first(browser, address), "s", 1.5
    with _served(large) as address:
        yield "first page of 2,000 units, server started anew", _first(browser, address), "s", 1.5


@contextmanager
def _served(bench: Path) -> Iterator[str]:
    """The address of a bench that is served by a process of its own."""
    command = [sys.executable, "-u", "-m", "partingline", "serve", str(bench), "--port", "0"]
    server = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    assert server.stdout is not None
    address = next(found[0] for line in server.stdout if (found := re.search(r"http://\S+/", line)))
    try:
        yield address
    finally:
        server.terminate()
        server.wait(30)


@contextmanager
def _page(browser: Browser) -> Iterator[Page]:
    """A page of a browser that has seen nothing yet."""
    context = browser.new_context(viewport={"width": 1440, "height": 900}, reduced_motion="reduce")
    context.set_default_timeout(120_000)
    yield context.new_page()
    context.close()


def _first(browser: Browser, address: str, runs: int = RUNS) -> float:
    """Seconds from the navigation to the page that can be used, nothing cached in the browser."""
    return median(_visit(browser, address, READY) for _ in range(runs))


def _painted(browser: Browser, address: str, runs: int) -> float:
    return median(_visit(browser, address, PAINTED) for _ in range(runs))


def _visit(browser: Browser, address: str, done: str) -> float:
    with _page(browser) as page:
        page.goto(address, wait_until="commit")
        return float(page.evaluate(done)) / 1e3


def _weight(browser: Browser, address: str) -> float:
    """Megabytes that a first visit fetches, photos left out."""
    with _page(browser) as page:
        sizes: list[int] = []
        page.on("response", lambda answer: sizes.append(_size(answer)))
        page.goto(address)
        page.evaluate(READY)
        page.wait_for_timeout(1500)
        return sum(sizes) / 1e6


def _size(answer: Any) -> int:
    if "/photos/" in answer.url or "/events" in answer.url or answer.status in (204, 303, 304):
        return 0
    return len(answer.body())


def _edits(browser: Browser, unit: str) -> Iterator[tuple[str, float, str, float]]:
    """A field that little hangs on, and a reading that the whole converter hangs on."""
    with _page(browser) as page:
        page.goto(f"{unit}outside")
        page.evaluate(READY)
        page.wait_for_timeout(1000)

        def edit(path: str, value: Callable[[int], str], fact: str) -> float:
            return median(float(page.evaluate(EDITED, [path, value(n), fact])) for n in range(RUNS + 2))

        told = edit('["body", "mass"]', lambda n: f"{121 + n}.0 ± 0.1 g", "unit/mass")
        yield "an edit with its new findings", told, "ms", 300.0
    with _page(browser) as page:
        page.goto(f"{unit}converter")
        page.evaluate(READY)
        page.wait_for_timeout(1000)
        times = [float(page.evaluate(MEASURED, [f"25.{n} ± 0.3 µF", "stage:input/bulk_capacitance"])) for n in range(7)]
        yield "a reading that the whole converter hangs on", median(times), "ms", 300.0


def _live(browser: Browser, unit: str, folder: Path) -> Iterator[tuple[str, float, str, float]]:
    """An edit by hand in the file, until the page shows it."""
    with _page(browser) as page:
        page.goto(f"{unit}outside")
        page.evaluate(READY)
        page.wait_for_timeout(1000)
        shown = page.locator('form[data-edit]:has(input[name="path"][value*="material"]) [name=value]')
        times = []
        for number in range(RUNS):
            file = folder / "unit.toml"
            text = re.sub(r"(?m)^material = .*$", f'material = "plastic {number}"', file.read_text(encoding="utf-8"))
            start = time.perf_counter()
            file.write_text(text, encoding="utf-8")
            while shown.input_value() != f"plastic {number}":
                page.wait_for_timeout(5)
            times.append(time.perf_counter() - start)
        yield "a file edited by hand, until it is shown", median(times) * 1e3, "ms", 500.0


def _zooms(browser: Browser, address: str) -> Iterator[tuple[str, float, str, float]]:
    """Keys on the chart of a long recording, from the whole of it down to microseconds and back."""
    with _page(browser) as page:
        page.goto(address, wait_until="commit")
        page.locator(f'.plots[aria-label^="{RECORDING}"] canvas').wait_for(timeout=300_000)
        name = f"{RECORDING}.sigmf-meta"
        page.evaluate(ZOOMED, ["-", name])
        times = [float(page.evaluate(ZOOMED, [key, name])) for key in ("+",) * 14 + ("ArrowRight",) * 4 + ("0",)]
        yield "zoom in 100,000,000 samples, middle", median(times), "ms", 100.0
        yield "zoom in 100,000,000 samples, slowest", max(times), "ms", 100.0


def _wait_judged(browser: Browser, address: str) -> None:
    with _page(browser) as page:
        for _ in range(600):
            units = page.request.get(f"{address}api/bench").json()["units"]
            if all(unit["verdict"] for unit in units):
                return
            time.sleep(1)
    raise TimeoutError("the bench was not judged in ten minutes")


if __name__ == "__main__":
    sys.exit(main())
