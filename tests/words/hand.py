"""Narrations written by hand with their units: `corpus/*-hand-*.txt`.

A file has a head (the unit in short), and behind `text:` the narration. `{said|facts|error}` marks a planted figure:
the facts it may speak of (`C5,C6/rated_voltage`, `port:C1/available_current@offer=9`, `#port` for a count of ports,
`;` between two possible ones), and how it is wrong; without a third field it is right.
"""

import re
from collections import defaultdict
from itertools import pairwise
from pathlib import Path

from tests.words.invented import InventedUnit
from tests.words.narration import Narration, Planted, captions

_SLOT = re.compile(r"\{([^|}]+)\|([^|}]+)(?:\|(\w+))?\}")
_PART = "ref,stage,board,side,kind,role,marking,maker,part_number,value,ratings,quantity,package,note\n"


def hand_written(path: Path, folder: Path) -> Narration:
    """Read a narration and write its unit below `folder`."""
    head, _, body = path.read_text(encoding="utf-8").partition("\ntext:\n")
    told: dict[str, list[str]] = defaultdict(list)
    for line in head.splitlines():
        name, _, value = line.partition(": ")
        told[name].append(value)
    form = told["form"][0]
    unit = InventedUnit(folder / path.stem)
    _write_unit(unit.folder, told)
    lines = [line.strip() for line in body.strip().splitlines()]
    marked = (" " if form in ("vtt", "srt") else "\n").join(lines)
    plain = _SLOT.sub(lambda slot: slot[1], marked)
    text = captions(plain, form) if form in ("vtt", "srt") else plain + "\n"
    return Narration(path.stem, unit, text, f"{path.stem}.{form}", _planted(marked, plain, form))


def _planted(marked: str, plain: str, form: str) -> list[Planted]:
    """The figures with their places in the plain text; in Markdown, in the text without its marks."""
    found: list[Planted] = []
    shift = 0
    for slot in _SLOT.finditer(marked):
        start = slot.start() - shift
        shift += len(slot.group()) - len(slot[1])
        gone = 0 if form in ("vtt", "srt") else _marks_before(plain, start, form)
        place = start - gone
        found.append(Planted(place, place + len(slot[1]), slot[2], _keys(slot[2]), slot[3] or "", slot[1]))
    return found


def _marks_before(plain: str, start: int, form: str) -> int:
    """How many characters before a place the reader's text lacks: blank lines, front matter, marks of Markdown."""
    before = plain[:start]
    gone = 0
    if before.startswith("---\n"):
        gone = before.index("---\n", 4) + 4
        before = before[gone:]
    shown = re.sub(r"(?m)^(?:#+ |- |\d+\. )|\*\*", "", before) if form == "md" else before
    shown = re.sub(r"\n{2,}", "\n", shown).lstrip("\n")
    return gone + len(before) - len(shown)


def _keys(told: str) -> tuple[str, ...]:
    """`C5,C6/rated_voltage` as fact ids; references of parts have no colon and are not `unit`."""
    found: list[str] = []
    for one in told.split(";"):
        if one.startswith("#"):
            found.append(one)
            continue
        subjects, _, rest = one.partition("/")
        names, at, conditions = rest.partition("@")
        for subject in subjects.split(","):
            whole = subject if ":" in subject or subject == "unit" else f"part:{subject}"
            found += [f"{whole}/{name.rpartition('/')[2]}{at}{conditions}" for name in names.split(",")]
    return tuple(found)


def _write_unit(folder: Path, told: dict[str, list[str]]) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    maker, model, kind = _cells(told["unit"][0])
    lines = ["[unit]", f'maker = "{maker}"', f'model = "{model}"', f'kind = "{kind}"', "invented = true", "", "[label]"]
    lines += ['text = """', *told["label"], '"""', "", "[body]"]
    *size, mass = _cells(told["body"][0])
    lines += [f'{name} = "{value} ± 0.05 mm"' for name, value in zip(("length", "width", "height"), size, strict=True)]
    lines += [f'mass = "{mass.removesuffix(" g")} ± 0.1 g"', ""]
    for port in told["port"]:
        name, connector, power, offers = _cells(port)
        shown = ", ".join(f'"{offer.strip()}"' for offer in offers.split(","))
        lines += ["[[port]]", f'id = "{name}"', f'connector = "{connector}"', f"offers = [{shown}]"]
        lines += [f'rated_power = "{power}"', ""]
    for reading in told["read"]:
        subject, quantity, value, *at = _cells(reading)
        lines += ["[[reading]]", f'subject = "{subject}"', f'quantity = "{quantity}"', f'value = "{value}"']
        lines += [f"at = {{ {at[0] if at else ''} }}", ""]
    (folder / "unit.toml").write_text("\n".join(lines), encoding="utf-8")
    rows = []
    for part in told["part"]:
        ref, stage, kind, role, number, value, ratings = _cells(part)
        rows.append(f"{ref},{stage},main,top,{kind},{role},,,{number},{value},{ratings},1,,\n")
    (folder / "parts.csv").write_text(_PART + "".join(rows), encoding="utf-8")


def _cells(line: str) -> list[str]:
    return [cell.strip() for cell in line.split("|")]


def check_keys(narration: Narration, known: set[str]) -> list[str]:
    """Planted figures that speak of a fact which the unit does not have: a slip of ours."""
    return [one.name for one in narration.planted if not any(one.fits(fact) for fact in known)]


def overlaps(narration: Narration) -> bool:
    """Whether two planted figures overlap: a slip of ours."""
    return any(one.end > other.start for one, other in pairwise(narration.planted))
