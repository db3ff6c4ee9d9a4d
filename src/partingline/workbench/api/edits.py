"""Fields in and out: unit.toml, logs.toml, parts, marks, texts, history."""

import json
from itertools import islice
from typing import Any

from starlette.requests import Request
from starlette.routing import Route

from partingline.readers.parts.rows import COLUMNS
from partingline.workbench.api.answers import AnswerError, answering, needed, number_of, unit_of, who_of
from partingline.workbench.editing import ABSENT, Done, Path
from partingline.workbench.editing.marks_form import MarksForm
from partingline.workbench.editing.parts_form import PartsForm
from partingline.workbench.editing.text_form import TextForm
from partingline.workbench.editing.toml_form import TomlForm
from partingline.workbench.live import LiveUnit
from partingline.workbench.readings import accept, places


def routes() -> list[Route]:
    """The addresses under `/api/unit/{id}`."""
    at = "/api/unit/{id}"
    return [
        Route(f"{at}/unit.toml", answering(_toml("unit.toml")), methods=["GET"]),
        Route(f"{at}/unit.toml", answering(_set_toml("unit.toml")), methods=["PATCH"]),
        Route(f"{at}/logs.toml", answering(_toml("logs/logs.toml")), methods=["GET"]),
        Route(f"{at}/logs.toml", answering(_set_toml("logs/logs.toml")), methods=["PATCH"]),
        Route(f"{at}/parts", answering(_parts), methods=["GET"]),
        Route(f"{at}/parts", answering(_set_part), methods=["PATCH"]),
        Route(f"{at}/parts", answering(_add_parts), methods=["POST"]),
        Route(f"{at}/parts", answering(_drop_part), methods=["DELETE"]),
        Route(f"{at}/marks", answering(_marks), methods=["GET"]),
        Route(f"{at}/marks", answering(_set_mark), methods=["PUT"]),
        Route(f"{at}/marks", answering(_drop_mark), methods=["DELETE"]),
        Route(f"{at}/text/{{path:path}}", answering(_text), methods=["GET"]),
        Route(f"{at}/text/{{path:path}}", answering(_set_text), methods=["PUT"]),
        Route(f"{at}/readings", answering(_accept_reading), methods=["POST"]),
        Route(f"{at}/history", answering(_history), methods=["GET"]),
        Route(f"{at}/undo", answering(_undo), methods=["POST"]),
    ]


def done_record(unit: LiveUnit, done: Done) -> dict[str, Any]:
    """What is answered to an edit."""
    return {
        "file": done.file, "path": list(done.path), "value": done.value, "version": done.version, "entry": done.entry,
        "state": unit.state,
    }  # fmt: skip


def add_parts(unit: LiveUnit, rows: list[dict[str, str]], who: str) -> list[Done]:
    """Add rows to the part list; AnswerError where a ref is there already, or twice."""
    there = {ref for ref, _, _ in PartsForm().rows(unit.writer.read("parts.csv"))}
    refs = [row.get("ref", "").strip() for row in rows]
    if twice := sorted({ref for ref in refs if ref in there or refs.count(ref) > 1}):
        found = f"{', '.join(twice)[:200]} stand{'s' if len(twice) == 1 else ''} there already"
        raise AnswerError(409, "parts.csv", found, "refs that are new", "Edit those rows, or leave them out.")
    if not all(refs):
        raise AnswerError(422, "parts.csv", "a row without a ref", "a reference such as C3", "Name the part.")
    edits = zip(refs, rows, strict=True)
    return [unit.edit("parts.csv", (ref,), row, ABSENT, who) for ref, row in edits]


def _toml(file: str) -> Any:
    def read(request: Request) -> Any:
        unit = unit_of(request)
        text, form = unit.writer.read(file), TomlForm(file)
        fields = [{"path": list(p), "value": v, "version": version} for p, v, version in form.fields(text)]
        rows = [{"path": list(p), "version": version, "absent": absent} for p, version, absent in form.rows(text)]
        return {"fields": fields, "rows": rows, "state": unit.state}

    return read


def _set_toml(file: str) -> Any:
    def write(request: Request, told: dict[str, Any]) -> Any:
        unit = unit_of(request)
        return _edit(unit, file, _path(told), told.get("value"), told)

    return write


def _parts(request: Request) -> Any:
    unit = unit_of(request)
    shown = unit.current()
    roles = {part.ref: part.role for part in shown.opened.unit.parts}
    worst: dict[str, str] = {}
    for finding in shown.findings:
        worst.setdefault(finding.subject, finding.verdict.value)
    form = PartsForm()
    rows = []
    for ref, version, cells in form.rows(unit.writer.read("parts.csv")):
        first = ref.replace(";", ",").split(",")[0].strip()
        told = {name: {"value": v, "version": form_version(ref, name, v)} for name, v in cells.items()}
        verdict = worst.get(f"part:{first}")
        rows.append({"ref": ref, "version": version, "cells": told, "role": roles.get(first, ""), "verdict": verdict})
    return {"columns": list(COLUMNS), "rows": rows, "state": shown.state}


def form_version(ref: str, column: str, value: str) -> str:
    """The version of a cell of the part list."""
    from partingline.workbench.editing.versions import version_of

    return version_of(value, ref, column)


def _set_part(request: Request, told: dict[str, Any]) -> Any:
    path = (needed(told, "ref", str), needed(told, "column", str))
    return _edit(unit_of(request), "parts.csv", path, told.get("value"), told)


def _add_parts(request: Request, told: dict[str, Any]) -> Any:
    unit, rows = unit_of(request), needed(told, "rows", list)
    if not 0 < len(rows) <= 2000 or not all(isinstance(row, dict) for row in rows):
        raise AnswerError(400, "rows", f"{len(rows)} rows", "1 to 2,000 tables of cells", "Paste fewer rows.")
    cells = [{str(name): str(value) for name, value in row.items()} for row in rows]
    added = add_parts(unit, cells, who_of(told))
    return {"rows": [done_record(unit, done) for done in added], "state": unit.state}


def _drop_part(request: Request, told: dict[str, Any]) -> Any:
    return _edit(unit_of(request), "parts.csv", (needed(told, "ref", str),), None, told)


def _marks(request: Request) -> Any:
    unit = unit_of(request)
    fields = MarksForm().fields(unit.writer.read("photos/marks.json"))
    told = [({**value, "id": path[0]}, version) for path, value, version in fields if isinstance(value, dict)]
    marks = [{"annotation": annotation, "version": version} for annotation, version in told]
    return {"marks": marks, "state": unit.state}


def _set_mark(request: Request, told: dict[str, Any]) -> Any:
    mark = needed(told, "annotation", dict)
    return _edit(unit_of(request), "photos/marks.json", (needed(mark, "id", str),), mark, told)


def _drop_mark(request: Request, told: dict[str, Any]) -> Any:
    return _edit(unit_of(request), "photos/marks.json", (needed(told, "id", str),), None, told)


def _text(request: Request) -> Any:
    unit, file = unit_of(request), request.path_params["path"]
    value, version = TextForm().look(unit.writer.read(file), ())
    return {"value": value or "", "version": version, "state": unit.state}


def _set_text(request: Request, told: dict[str, Any]) -> Any:
    return _edit(unit_of(request), request.path_params["path"], (), told.get("value") or None, told)


def _history(request: Request) -> Any:
    unit = unit_of(request)
    before = number_of(request, "before", float("1e15"), 0, 1e15)
    limit = int(number_of(request, "limit", 50, 1, 200))
    unit.writer.history.refresh()
    entries = (entry for entry in unit.writer.history.back() if entry["n"] < before)
    return {"entries": list(islice(entries, limit))}


def _accept_reading(request: Request, told: dict[str, Any]) -> Any:
    """What a person read of a place where something is printed: of a pinned part, or of the label."""
    unit, subject = unit_of(request), needed(told, "subject", str)
    place = next(iter(places(unit.current().opened, [subject])), None)
    if place is None:
        step = "Pin the part first, or name the label's photo."
        raise AnswerError(404, "photos/marks.json", f"no place of {subject!r:.60}", "a pinned part, or label", step)
    done = accept(unit, unit.writer, place, needed(told, "text", str), who_of(told))
    return {"done": [done_record(unit, one) for one in done]}


def _undo(request: Request, told: dict[str, Any]) -> Any:
    unit = unit_of(request)
    return done_record(unit, unit.undo(needed(told, "entry", int), who_of(told)))


def _edit(unit: LiveUnit, file: str, path: Path, value: Any, told: dict[str, Any]) -> Any:
    base = needed(told, "base", str)
    done = unit.edit(file, path, value, base, who_of(told))
    return done_record(unit, done)


def _path(told: dict[str, Any]) -> Path:
    path = told.get("path")
    if isinstance(path, str):
        try:
            path = json.loads(path)
        except ValueError:
            path = None
    if not isinstance(path, list) or not all(type(piece) in (str, int) for piece in path):
        raise AnswerError(400, "path", "no list of keys", '["body", "mass"]', "Mend the request.")
    return tuple(path)
