"""Take the pictures of the docs from the demonstration report, in headless Chromium."""

import subprocess
import sys
import tempfile
from pathlib import Path

from PIL import Image

ROOT = Path(__file__).parents[1]
PICTURES = ROOT / "docs" / "pictures"
FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--hide-scrollbars",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip


CUTS = {
    "report": ("", 1080),
    "evidence": ("header, nav, .lead, .key-figures, main section:not([aria-labelledby=energy])", 760),
    "boards": ("header, nav, .lead, .key-figures, main section:not([aria-labelledby=photos])", 1450),
}
"""By picture: what of the page is hidden, and how much of the rest is shown."""


def main() -> int:
    """Write the report and photograph it."""
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
            with Image.open(folder / "shot.png") as picture:
                _save(picture, name)
    return 0


def _photograph(page: Path, shot: Path, profile: Path, height: int) -> None:
    command = ["chromium", *FLAGS, f"--user-data-dir={profile}", f"--screenshot={shot}", f"--window-size=1240,{height}"]
    subprocess.run([*command, page.as_uri()], check=True, capture_output=True)


def _save(picture: Image.Image, name: str) -> None:
    PICTURES.mkdir(parents=True, exist_ok=True)
    picture.convert("RGB").quantize(128).save(PICTURES / f"{name}.png", optimize=True)
    print(f"wrote docs/pictures/{name}.png")


if __name__ == "__main__":
    sys.exit(main())
