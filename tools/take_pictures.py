"""Take the pictures of the docs in headless Chromium: of the demonstration report, and of every page of the workbench.

`python tools/take_pictures.py` writes `docs/pictures/`. `--look FOLDER` writes every page in light and dark, at 360 px,
1280 px and 4K and as it is printed into another folder instead, to be looked at.
"""

import argparse
import shutil
import socket
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from PIL import Image

ROOT = Path(__file__).parents[1]
PICTURES = ROOT / "docs" / "pictures"
FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--hide-scrollbars",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip
COLOURS = 256


CUTS = {
    "report": ("", 1080),
    "evidence": ("header, nav, .lead, .key-figures, main section:not([aria-labelledby=energy])", 760),
    "boards": ("header, nav, .lead, .key-figures, main section:not([aria-labelledby=photos])", 1450),
}
"""By picture of the report: what of the page is hidden, and how much of the rest is shown."""

UNIT = "unit/tern-65"
PAGES = {
    "bench": "", "outside": f"{UNIT}/outside", "ports": f"{UNIT}/ports",
    "measurements": f"{UNIT}/measurements?log=load-115V-20V.csv#log",
    "opening": f"{UNIT}/opening", "boards": f"{UNIT}/boards#part:C3", "parts": f"{UNIT}/parts",
    "converter": f"{UNIT}/converter", "spacing": f"{UNIT}/spacing", "findings": f"{UNIT}/findings",
    "words": f"{UNIT}/words", "publish": f"{UNIT}/publish", "history": f"{UNIT}/history",
    "fact": f"{UNIT}/fact?key=part:C3/capacitance",
    "source": f"{UNIT}/source?path=photos/main-bottom.jpg&x=618&y=232&w=294&h=285",
}  # fmt: skip
"""Every kind of page of the workbench, by the name of its picture."""


@dataclass(frozen=True)
class Way:
    """How a page is looked at: size of the window, theme, and whether it is printed."""

    name: str
    width: int = 1280
    height: int = 860
    dark: bool = False
    printed: bool = False


LIGHT, DARK = Way(""), Way("-dark", dark=True)
NARROW, WIDE = Way("-360", 360, 780), Way("-4k", 3840, 2160)
PRINT = Way("-print", 1000, 1414, printed=True)
KEPT = [(name, LIGHT) for name in PAGES]
KEPT += [(name, DARK) for name in ("outside", "boards", "converter", "findings")]
KEPT += [("outside", NARROW), ("boards", NARROW), ("findings", NARROW), ("boards", WIDE), ("findings", PRINT)]
"""What the docs keep of the workbench."""


def main() -> int:
    """Photograph the report and the workbench."""
    parser = argparse.ArgumentParser(description="Take the pictures of the docs.")
    parser.add_argument("--look", type=Path, metavar="FOLDER", help="every page in every way, into this folder")
    parser.add_argument("pages", nargs="*", help="pages of the workbench; without any, all of them")
    asked = parser.parse_args()
    ways = [(name, way) for name in PAGES for way in (LIGHT, DARK, NARROW, WIDE, PRINT)] if asked.look else KEPT
    chosen = [(name, way) for name, way in ways if not asked.pages or name in asked.pages]
    if not asked.look and not asked.pages:
        _report()
    with tempfile.TemporaryDirectory() as place, _served(Path(place) / "bench") as address:
        _workbench(address, chosen, asked.look or PICTURES / "workbench")
    return 0


def _report() -> None:
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        unit = str(ROOT / "demo" / "tern-65")
        command = [sys.executable, "-m", "partingline", "report", unit, "-o", place, "-f", "html"]
        subprocess.run(command, check=True)
        page = (folder / "report.html").read_text(encoding="utf-8")
        for name, (hidden, height) in CUTS.items():
            cut = folder / f"{name}.html"
            style = f"<style>{hidden} {{ display: none !important }}</style></head>"
            cut.write_text(page.replace("</head>", style if hidden else "</head>", 1), encoding="utf-8")
            _photograph(cut, folder / "shot.png", folder / "profile", height)
            _save(folder / "shot.png", PICTURES / f"{name}.png")


def _photograph(page: Path, shot: Path, profile: Path, height: int) -> None:
    command = ["chromium", *FLAGS, f"--user-data-dir={profile}", f"--screenshot={shot}", f"--window-size=1240,{height}"]
    subprocess.run([*command, page.as_uri()], check=True, capture_output=True)


@contextmanager
def _served(bench: Path) -> Iterator[str]:
    """The workbench over the demonstration unit and two invented ones that are not finished."""
    import uvicorn

    from partingline.workbench.app import make_app

    _lay_out(bench)
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    server = uvicorn.Server(uvicorn.Config(make_app(bench, port=port), port=port, log_level="error"))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    yield f"http://127.0.0.1:{port}/"
    server.should_exit = True
    thread.join(10)


def _lay_out(bench: Path) -> None:
    demo = ROOT / "demo" / "tern-65"
    shutil.copytree(demo, bench / "tern-65")
    for name, model, kept in (
        ("plover-30", "Plover 30", ("photos",)),
        ("avocet-100", "Avocet 100", ("photos", "logs")),
    ):
        (bench / name).mkdir()
        text = (demo / "unit.toml").read_text(encoding="utf-8").replace("Tern 65", model)
        (bench / name / "unit.toml").write_text(text, encoding="utf-8")
        for folder in kept:
            shutil.copytree(demo / folder, bench / name / folder)


def _workbench(address: str, chosen: list[tuple[str, Way]], folder: Path) -> None:
    from playwright.sync_api import sync_playwright

    found = shutil.which("chromium") or shutil.which("chromium-browser")
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=found, args=list(FLAGS[1:]))
        _judged(browser, address)
        for way in dict.fromkeys(way for _, way in chosen):
            context = browser.new_context(
                viewport={"width": way.width, "height": way.height},
                color_scheme="dark" if way.dark else "light",
                reduced_motion="reduce",
            )
            page = context.new_page()
            page.set_default_timeout(60_000)
            for name in (name for name, one in chosen if one == way):
                _shoot(page, address + PAGES[name], way, folder / f"{name}{way.name}.png")
            context.close()
        browser.close()


def _judged(browser: Any, address: str) -> None:
    """Wait until every unit of the bench has its verdict, and the history something to show."""
    context = browser.new_context()
    page = context.new_page()
    page.set_default_timeout(60_000)
    page.goto(address)
    page.wait_for_function(
        "async () => (await (await fetch('/api/bench')).json()).units.every(unit => unit.verdict)", polling=500
    )
    page.goto(f"{address}{UNIT}/outside")
    page.wait_for_selector("html[data-ready]")
    for value in ("118.6 ± 0.1 g", "118.4 ± 0.1 g"):
        mass = page.locator('form[data-edit]:has(input[name="path"][value*="mass"]) [name=value]')
        mass.fill(value)
        with page.expect_response(lambda answer: answer.request.method == "PATCH"):
            mass.press("Enter")
    context.close()


def _shoot(page: Any, address: str, way: Way, target: Path) -> None:
    """One picture, when photos and charts are there: the window, or for the narrow and the printed page all of it."""
    page.emulate_media(media="screen")
    page.goto("about:blank")
    page.goto(address)
    page.wait_for_selector("html[data-ready]")
    page.wait_for_function("() => document.fonts.status === 'loaded'")
    for place in ("[data-photo][data-info]", "figure[data-log]", "figure[data-capture]"):
        if page.locator(place).count():
            page.locator("canvas").first.wait_for()
            page.wait_for_timeout(1200)  # tiles and levels come one after the other, and none tells that it is the last
            break
    if way.printed:
        page.emulate_media(media="print")
    target.parent.mkdir(parents=True, exist_ok=True)
    wide = page.evaluate("document.documentElement.scrollWidth - innerWidth")
    if wide > 0:
        print(f"{address}{way.name}: {wide} px wider than the window")
    height = min(page.evaluate("document.documentElement.scrollHeight"), 2 * way.height) if way.printed else way.height
    page.screenshot(path=target, clip={"x": 0, "y": 0, "width": way.width, "height": height}, full_page=way.printed)
    _save(target, target)


def _save(shot: Path, target: Path) -> None:
    """The picture in few colours, those of the look among them, so that no photo takes the place of a small disc."""
    from partingline.publish.look import DARK as DARK_TOKENS
    from partingline.publish.look import LIGHT as LIGHT_TOKENS

    tokens = [*LIGHT_TOKENS.values(), *DARK_TOKENS.values()]
    target.parent.mkdir(parents=True, exist_ok=True)
    with Image.open(shot) as picture:
        plain = picture.convert("RGB")
    swatch = plain.width // len(tokens)
    known = Image.new("RGB", (plain.width, plain.height + plain.height // 4))
    known.paste(plain, (0, 0))
    for number, colour in enumerate(tokens):
        known.paste(colour, (number * swatch, plain.height, (number + 1) * swatch, known.height))
    small = plain.quantize(palette=known.quantize(COLOURS), dither=Image.Dither.NONE)
    small.save(target, optimize=True)
    print(f"wrote {target.relative_to(ROOT) if target.is_relative_to(ROOT) else target}")


if __name__ == "__main__":
    sys.exit(main())
