"""The faces that `tools/build_assets.py` made, as the page and the PDF take them.

What comes in: the built files, if there. What goes out: `@font-face` rules; the folder of the PDF's faces.
"""

import base64
import json
from functools import cache
from pathlib import Path
from typing import TypedDict

FONTS = Path(__file__).parent / "assets" / "fonts"


class WebFace(TypedDict):
    """One line of web.json; `ranges` are the first and last character codes that the file holds."""

    family: str
    style: str
    weight: str
    file: str
    ranges: list[list[int]]


def face_rules(text: str) -> str:
    """CSS that embeds the faces of which `text` uses a character; empty where none were built."""
    codes = {ord(character) for character in text}
    return "\n".join(_rule(face) for face in _web_faces() if _serves(face, codes))


def print_folder() -> Path | None:
    """The folder with the faces for PDF, or None where they were not built."""
    return FONTS if any(FONTS.glob("*.ttf")) else None


def missing(text: str) -> str:
    """The characters of a text that no face for PDF and pictures has; without faces, all beyond ASCII."""
    spans = [span for ranges in held().values() for span in ranges]
    beyond = {one for one in text if ord(one) > 0x7F and one.isprintable()}
    return "".join(sorted(one for one in beyond if not any(low <= ord(one) <= high for low, high in spans)))


@cache
def held() -> dict[str, list[list[int]]]:
    """First and last codes of what each face for PDF and pictures holds, by its file; empty where none were built."""
    listing = FONTS / "print.json"
    return dict(json.loads(listing.read_text(encoding="utf-8"))) if listing.is_file() else {}


@cache
def _web_faces() -> tuple[WebFace, ...]:
    listing = FONTS / "web.json"
    return tuple(json.loads(listing.read_text(encoding="utf-8"))) if listing.is_file() else ()


def _serves(face: WebFace, codes: set[int]) -> bool:
    return any(first <= code <= last for first, last in face["ranges"] for code in codes)


def _rule(face: WebFace) -> str:
    data = base64.b64encode((FONTS / face["file"]).read_bytes()).decode("ascii")
    ranges = ",".join(f"U+{first:X}-{last:X}" for first, last in face["ranges"])
    return (
        f'@font-face{{font-family:"{face["family"]}";font-style:{face["style"]};font-weight:{face["weight"]};'
        f'font-display:block;src:url(data:font/woff2;base64,{data}) format("woff2");unicode-range:{ranges}}}'
    )
