"""Forms that work without script: each does one thing through the writer and leads back."""

import json
from typing import Any
from urllib.parse import quote
from uuid import uuid4

from starlette.requests import Request
from starlette.routing import Route

from partingline.model import Key
from partingline.readers.parts.rows import COLUMNS
from partingline.readers.parts.table import rows, sniff_delimiter
from partingline.workbench import work
from partingline.workbench.api.answers import AnswerError, unit_of
from partingline.workbench.api.edits import add_parts
from partingline.workbench.editing import ABSENT
from partingline.workbench.pages import log_forms, receive, spoken
from partingline.workbench.pages.contents import STEP
from partingline.workbench.pages.fields import typed
from partingline.workbench.pages.plain import posted
from partingline.workbench.pages.receive import address

_WHO = "someone here"


def routes() -> list[Route]:
    """The addresses that forms post to."""
    at = "/unit/{id}"
    return [
        *receive.routes(),
        *log_forms.routes(),
        *spoken.routes(),
        Route(f"{at}/edit", posted(_edit), methods=["POST"]),
        Route(f"{at}/reading", posted(_reading), methods=["POST"]),
        Route(f"{at}/port", posted(_port), methods=["POST"]),
        Route(f"{at}/step", posted(_step), methods=["POST"]),
        Route(f"{at}/mark", posted(_mark), methods=["POST"]),
        Route(f"{at}/paste", posted(_paste), methods=["POST"]),
        Route(f"{at}/undo", posted(_undo), methods=["POST"]),
        Route(f"{at}/job", posted(_job), methods=["POST"]),
        Route(f"{at}/cancel", posted(_cancel), methods=["POST"]),
    ]


def _edit(request: Request, told: dict[str, str]) -> str:
    unit = unit_of(request)
    try:
        path = json.loads(told.get("path", ""))
    except ValueError:
        path = None
    if not isinstance(path, list) or not all(type(piece) in (str, int) for piece in path):
        raise AnswerError(400, "path", "no list of keys", '["body", "mass"]', "Reload the page.")
    value = None if "remove" in told else typed(told.get("value", ""), "listed" in told, "whole" in told)
    if told.get("file") == "parts.csv" and "remove" not in told:
        value = value or ""
    unit.edit(told.get("file", ""), tuple(path), value, told.get("base", ""), _WHO)
    return address(unit, told.get("back", ""))


def _reading(request: Request, told: dict[str, str]) -> str:
    unit = unit_of(request)
    try:
        key = Key.parse(told.get("key", ""))
    except ValueError as error:
        raise AnswerError(400, "key", str(error)[:200], "SUBJECT/QUANTITY", "Reload the page.") from error
    value = told.get("value", "").strip()
    if not value:
        raise AnswerError(422, key.quantity, "no value", "a quantity with its unit", "Type what the meter says.")
    row: dict[str, Any] = {"subject": key.subject, "quantity": key.quantity, "value": value}
    if key.at:
        row["at"] = {name: _condition(name, one) for name, one in key.at}
    if told.get("instrument", "").strip():
        row["instrument"] = told["instrument"].strip()
    unit.edit("unit.toml", ("reading", "+"), row, ABSENT, _WHO)
    return address(unit, told.get("back", ""))


def _condition(name: str, value: float | str) -> str:
    unit = {"mains": " V", "offer": " V", "frequency": " Hz"}.get(name, "")
    return value if isinstance(value, str) else f"{value:.12g}{unit}"


def _port(request: Request, told: dict[str, str]) -> str:
    unit = unit_of(request)
    given = {name: told.get(name, "").strip() for name in ("id", "connector", "cable", "rated_power")}
    if not given["id"]:
        raise AnswerError(422, "port", "no name", "the name on the case, as C2", "Name the port.")
    row: dict[str, Any] = {name: value for name, value in given.items() if value}
    offers = [line.strip() for line in told.get("offers", "").split("\n") if line.strip()]
    unit.edit("unit.toml", ("port", "+"), {**row, **({"offers": offers} if offers else {})}, ABSENT, _WHO)
    return address(unit, "ports")


def _step(request: Request, told: dict[str, str]) -> str:
    unit = unit_of(request)
    given = {name: told.get(name, "").strip() for name in STEP}
    if not given["does"]:
        raise AnswerError(422, "opening", "nothing done", "what was done, as 'The shell is cut'", "Say it.")
    unit.edit("unit.toml", ("opening", "+"), {name: value for name, value in given.items() if value}, ABSENT, _WHO)
    return address(unit, "opening")


def _mark(request: Request, told: dict[str, str]) -> str:
    unit = unit_of(request)
    mark = {
        "@context": "http://www.w3.org/ns/anno.jsonld",
        "id": f"urn:uuid:{uuid4()}",
        "type": "Annotation",
        "body": [{"type": "TextualBody", "purpose": "identifying", "value": told.get("subject", "").strip()}],
        "target": {
            "source": told.get("photo", ""),
            "selector": {
                "type": "FragmentSelector",
                "conformsTo": "http://www.w3.org/TR/media-frags/",
                "value": f"xywh=pixel:{told.get('xywh', '').strip()}",
            },
        },
    }
    unit.edit("photos/marks.json", (str(mark["id"]),), mark, ABSENT, _WHO)
    return address(unit, "boards")


def _paste(request: Request, told: dict[str, str]) -> str:
    unit, text = unit_of(request), told.get("rows", "")
    table = [cells for _, cells in rows(text, "\t" if "\t" in text else sniff_delimiter(text), lambda *_: None)]
    if not table:
        raise AnswerError(422, "rows", "nothing", "one part a line", "Type or paste rows.")
    names = [cell.casefold().replace(" ", "_") for cell in table[0]]
    named = "ref" in names
    columns = names if named else list(COLUMNS)
    chosen = [dict(zip(columns, cells, strict=False)) for cells in table[1 if named else 0 :]]
    kept = [{name: cell for name, cell in row.items() if name in COLUMNS} for row in chosen]
    add_parts(unit, kept, _WHO)
    return address(unit, "parts")


def _undo(request: Request, told: dict[str, str]) -> str:
    unit, number = unit_of(request), told.get("entry", "")
    unit.undo(int(number) if number.isdecimal() and len(number) < 12 else -1, _WHO)
    return f"/unit/{quote(unit.id, safe='')}/history"


def _job(request: Request, told: dict[str, str]) -> str:
    unit = unit_of(request)
    asked: dict[str, Any] = {name: told[name] for name in ("kind", "language") if name in told}
    if unit.jobs.start(*work.named(unit, asked)) is None:
        raise AnswerError(429, "jobs", "too many jobs wait", "at most 16", "Wait, or cancel one.")
    return address(unit, "publish")


def _cancel(request: Request, told: dict[str, str]) -> str:
    unit = unit_of(request)
    job = unit.jobs.find(told.get("job", ""))
    if job is not None:
        unit.jobs.cancel(job)
    return address(unit, "publish")
