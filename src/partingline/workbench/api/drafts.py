"""What would follow from what is not saved: a moved operating point, a moved outline, a dropped script."""

from collections.abc import Mapping
from typing import Any

from starlette.requests import Request
from starlette.routing import Route

from partingline.facts.show import key_text, show_fact, show_statement
from partingline.facts.statements.barriers import MeasuredPath, board_thickness, pollution_degree, spacing
from partingline.model import Key, Number, Statement
from partingline.readers.photos import Mark
from partingline.readers.photos.scale import Scale
from partingline.workbench.api.answers import AnswerError, answering, needed, number_of, unit_of
from partingline.workbench.live import LiveUnit, Shown

_MOST_OUTLINES, _MOST_POINTS = 200, 4000
_FARTHEST = 1e6
_SCRIPTS = (".vtt", ".srt", ".md", ".txt")


def routes() -> list[Route]:
    """The addresses under `/api/unit/{id}`."""
    at = "/api/unit/{id}"
    return [
        Route(f"{at}/converter/bounds", answering(_bounds), methods=["GET"]),
        Route(f"{at}/converter/point", answering(_point), methods=["GET"]),
        Route(f"{at}/spacing/draft", answering(_spacing), methods=["POST"]),
        Route(f"{at}/words/check", answering(_words), methods=["POST"]),
    ]


def _bounds(request: Request) -> Any:
    from partingline.facts.operating_point import NoPointError, bounds

    shown = unit_of(request).current()
    try:
        found = bounds(shown.opened.unit, shown.opened.book)
    except NoPointError as error:
        raise _no_point(error) from error
    offers = [{"voltage": volts, "current": amps} for volts, amps in found.offers]
    return {"port": found.port, "mains": list(found.mains), "load": list(found.load), "offers": offers}


def _point(request: Request) -> Any:
    from partingline.facts.operating_point import CURRENTS, LOADS, NoPointError, operating_point
    from partingline.facts.stage_at_work import curves_or_none
    from partingline.publish.compose.at_work import drawn, told

    unit = unit_of(request)
    mains, offer = number_of(request, "mains", 230.0, 80.0, 300.0), number_of(request, "offer", 20.0, 0.0, 60.0)
    load = number_of(request, "load", 1.0, *LOADS)
    with unit.reading:
        shown = unit.current()
        try:
            found = operating_point(shown.opened.unit, shown.opened.book, mains=mains, offer=offer, load=load)
        except NoPointError as error:
            raise _no_point(error) from error
        wave = curves_or_none(shown.opened.unit, shown.opened.book, mains=mains, offer=offer, load=load)
    amounts = {"total": "W", "efficiency": "1", "frequency": "Hz"}
    return {
        "port": found.port, "mains": mains, "offer": offer, "load": load, "output_power": found.output_power,
        **{name: _amount(getattr(found, name), unit_) for name, unit_ in amounts.items()},
        "losses": [{"item": name, **_amount(told, "W")} for name, told in found.losses.items()],
        "currents": [{"name": name, **_amount(found.currents[name], unit_)} for name, unit_ in CURRENTS.items()],
        "measured": [
            {"mains": one.mains, "offer": one.offer, "load": one.load, "loss": _amount(one.loss, "W")}
            for one in found.measured
        ],
        "waveform": wave and {"mode": wave.mode, "svg": drawn(wave), "alt": told(wave)},
        "state": shown.state,
    }  # fmt: skip


def _amount(told: tuple[float, float], unit: str) -> dict[str, Any]:
    return {"value": told[0], "u": told[1], "unit": unit}


def _no_point(error: Any) -> AnswerError:
    names = ", ".join(key_text(key) for key in error.missing)
    expected = f"these facts: {names}" if names else "a flyback of one transformer with its parts and offers"
    return AnswerError(422, "converter", str(error)[:300], expected[:600], "Add what is missing; see the next steps.")


def _spacing(request: Request, told: dict[str, Any]) -> Any:
    """Shortest paths of outlines as they are being moved; the scale is that of the marks that are saved."""
    unit, photo = unit_of(request), f"photos/{needed(told, 'photo', str).removeprefix('photos/')}"
    barrier, outlines = needed(told, "barrier", str), needed(told, "outlines", list)
    if not barrier.startswith("barrier:") or len(barrier) > 200:
        raise AnswerError(400, "barrier", f"{barrier!r:.60}", "barrier:NAME", "Mend the request.")
    with unit.reading:
        shown = unit.current()
        scale = unit.scale_of(photo)
        if scale is None:
            step = "Mark a length first: 'scale: 30 mm' along a rule, or 'scale: card'."
            raise AnswerError(422, photo[:200], "a photo without a scale", "a mark that tells its scale", step)
        folder = shown.opened.folder
        evidence = folder.evidence(photo)
        marks = [Mark(barrier, photo, points, True, text, evidence) for text, points in map(_outline, outlines)]
        return _paths(unit, shown, barrier, marks, scale)


def _outline(told: Any) -> tuple[str, tuple[tuple[float, float], ...]]:
    points, text = (told.get("points"), told.get("text")) if isinstance(told, dict) else (None, None)
    sensible = isinstance(points, list) and 3 <= len(points) <= _MOST_POINTS and all(map(_is_point, points))
    if sensible and points is not None and isinstance(text, str):
        return text, tuple((float(x), float(y)) for x, y in points)
    found, expected = "an outline that cannot be read", '{"text": "primary", "points": [[x, y], ...]} in pixels'
    raise AnswerError(400, "outlines", found, expected, "Mend the request.")


def _is_point(told: Any) -> bool:
    numbers = told if isinstance(told, list) and len(told) == 2 else [None]
    return all(isinstance(n, int | float) and not isinstance(n, bool) and abs(n) <= _FARTHEST for n in numbers)


def _paths(unit: LiveUnit, shown: Shown, barrier: str, marks: list[Mark], scale: Scale) -> dict[str, Any]:
    from partingline.readers.folder import Folder

    if len(marks) > _MOST_OUTLINES:
        raise AnswerError(400, "outlines", f"{len(marks)} outlines", f"at most {_MOST_OUTLINES}", "Send fewer.")
    book, draft = shown.opened.book, Folder(unit.root)
    fact = book.fact(Key.of(barrier, "pollution_degree"))
    degree = pollution_degree(barrier, fact.statements if fact else ())
    thick = book.fact(Key.of(barrier, "board_thickness"))
    thickness = board_thickness(barrier, thick.statements if thick else ())
    paths = spacing(draft, barrier, marks, scale, degree, thickness=thickness)
    found = {s.key.quantity: _path(s, path) for s, path in paths}
    for quantity in ("clearance", "creepage"):
        asked = book.fact(Key.of(barrier, f"required_{quantity}"))
        found.setdefault(quantity, {"length": None, "u": None, "shown": "", "points": []})
        found[quantity]["required"] = None if asked is None else {
            "length": asked.value, "u": asked.u, "shown": show_fact(asked), "fact": asked.key.id,
        }  # fmt: skip
    problems = [f"{one.found}; expected {one.expected}. {one.next_step}" for one in draft.problems]
    return {"barrier": barrier, **found, "problems": problems, "state": shown.state}


def _path(statement: Statement, path: MeasuredPath) -> dict[str, Any]:
    assert isinstance(statement.value, Number)
    points = [[x, y] for x, y in path.points]
    told: Mapping[str, Any] = {"length": statement.value.value, "u": statement.value.u, "points": points}
    return {**told, "shown": show_statement(statement), "note": statement.note}


def _words(request: Request, told: dict[str, Any]) -> Any:
    """A script checked against the facts, before or without being saved."""
    from partingline.facts.spoken import check_words
    from partingline.publish.words import captions_text, corrected_script, words_record
    from partingline.readers.words import read_script

    unit, name, text = unit_of(request), needed(told, "name", str), needed(told, "text", str)
    if not name.lower().endswith(_SCRIPTS) or "/" in name or len(name) > 200:
        raise AnswerError(415, name[:100], "no script", f"a name that ends with {', '.join(_SCRIPTS)}", "Rename it.")
    with unit.reading:
        shown = unit.current()
        checked = check_words(shown.opened.unit, shown.opened.book.facts(), read_script(text, name))
    script = corrected_script(checked)
    form = "srt" if name.lower().endswith(".srt") else "vtt"
    corrected = captions_text(script, form=form) if script.timed else f"{script.text}\n"
    record = words_record(checked, shown.opened.unit.name, name)
    return {**record, "corrected": corrected if checked.slips else None, "state": shown.state}
