"""What single pages show beside fields and sections: photos with their marks, the table of parts, logs, jobs."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from starlette.requests import Request

from partingline.facts.show import key_text, show_statement
from partingline.model import Route as ModelRoute
from partingline.model import Verdict
from partingline.publish.compose.ledger import Ledger
from partingline.publish.compose.pictures import ENDINGS
from partingline.readers.parts.rows import COLUMNS
from partingline.workbench.editing import RefusedError
from partingline.workbench.editing.marks_form import MarksForm
from partingline.workbench.editing.parts_form import PartsForm
from partingline.workbench.editing.versions import version_of
from partingline.workbench.live import LiveUnit, Shown
from partingline.workbench.pages.about import about
from partingline.workbench.pages.fields import Field
from partingline.workbench.pages.judged import counted, judged
from partingline.workbench.pages.logbook import logbook
from partingline.workbench.pages.offers import offered
from partingline.workbench.pages.operating import operating
from partingline.workbench.pages.spaced import spaced
from partingline.workbench.pages.spoken import spoken
from partingline.workbench.work import FORMATS, LANGUAGES

_MOST_READINGS = 4


def extras(page: str, request: Request, unit: LiveUnit, shown: Shown, ledger: Ledger) -> dict[str, Any]:
    """The template's further values; empty for pages that need none."""
    maker = _MAKERS.get(page)
    try:
        return maker(request, unit, shown, ledger) if maker else {}
    except RefusedError as error:
        return {"unreadable": (error,), **_NOTHING}


_NOTHING: dict[str, Any] = {
    "photos": (),
    "rows": (),
    "columns": COLUMNS,
    "chosen": None,
    "logs": (),
    "chosen_log": None,
}


def _findings(request: Request, unit: LiveUnit, shown: Shown, ledger: Ledger) -> dict[str, Any]:
    query = request.query_params
    verdicts = [value for value in query.getlist("verdict") if value in tuple(Verdict)]
    asked = {"find": query.get("find", "")[:100], "verdicts": verdicts, "group": query.get("group", "")[:40]}
    if not query:
        asked["verdicts"] = [verdict.value for verdict in Verdict if verdict is not Verdict.MEETS]
    told = judged(shown.findings, shown.opened.book, ledger)
    words = str(asked["find"]).casefold().split()
    for one in told:
        said = " ".join((one["subject"], one["verdict"].value, *(s.text for s in (*one["sentence"], *one["source"]))))
        one["seen"] = (
            (not asked["verdicts"] or one["verdict"].value in asked["verdicts"])
            and (not asked["group"] or one["group"] == asked["group"])
            and all(word in said.casefold() for word in words)
        )
    first = next((one for one in told if one["seen"]), None)
    for one in told:
        one["first"] = one is first
    return {
        "judged": told, "asked": asked, "counts": counted(shown.findings),
        "groups_of": list(dict.fromkeys(one["group"] for one in told)),
        "seen_groups": {one["group"] for one in told if one["seen"]},
    }  # fmt: skip


def _words(request: Request, unit: LiveUnit, shown: Shown, ledger: Ledger) -> dict[str, Any]:
    return spoken(request, unit, shown)


def _converter(request: Request, unit: LiveUnit, shown: Shown, ledger: Ledger) -> dict[str, Any]:
    return operating(request, shown)


def _spacing(request: Request, unit: LiveUnit, shown: Shown, ledger: Ledger) -> dict[str, Any]:
    return spaced(shown, ledger)


def _photo_names(shown: Shown) -> list[str]:
    return [name.partition("/")[2] for name in shown.opened.folder.names("photos", *ENDINGS)]


def _outside(request: Request, unit: LiveUnit, shown: Shown, ledger: Ledger) -> dict[str, Any]:
    from partingline.workbench.editing.toml_form import TomlForm

    told, _ = TomlForm("unit.toml").look(unit.writer.read("unit.toml"), ("label", "photo"))
    named = str(told or "").removeprefix("photos/")
    said = []
    for fact in shown.opened.book.facts():
        statement = next((one for one in fact.statements if one.route is ModelRoute.LABEL), None)
        if statement is not None:
            said.append((key_text(fact.key), show_statement(statement), ledger.ref(fact.key), fact.standing))
    return {"label_photo": named if named in _photo_names(shown) else "", "label_says": said, "apart": ("Label",)}


def _ports(request: Request, unit: LiveUnit, shown: Shown, ledger: Ledger) -> dict[str, Any]:
    return {
        "captures": [name.rpartition("/")[2] for name in shown.opened.captures],
        "offered": offered(shown),
    }


def _measurements(request: Request, unit: LiveUnit, shown: Shown, ledger: Ledger) -> dict[str, Any]:
    return logbook(unit, shown, request.query_params.get("log", ""))


def _photos(request: Request, unit: LiveUnit, shown: Shown, ledger: Ledger) -> dict[str, Any]:
    versions = [(path[0], value, version) for path, value, version in _annotations(unit)]
    photos = []
    for name in _photo_names(shown):
        marks = [
            {"id": id_, "version": version, **_mark(value)} for id_, value, version in versions if _is_on(value, name)
        ]
        photos.append({"name": name, "marks": marks})
    return {"photos": photos}


def _boards(request: Request, unit: LiveUnit, shown: Shown, ledger: Ledger) -> dict[str, Any]:
    told = {**_photos(request, unit, shown, ledger), **_parts(request, unit, shown, ledger)}
    pinned: dict[str, str] = {}
    for number, photo in enumerate(told["photos"], 1):
        for subject in dict.fromkeys(mark["subject"] for mark in photo["marks"]):
            pinned[subject] = f"{pinned[subject]}, {number}" if subject in pinned else str(number)
    return {**told, "pinned": pinned, **about(unit, shown, ledger, request.query_params.get("of", "")[:200])}


def _annotations(unit: LiveUnit) -> list[Any]:
    fields = MarksForm().fields(unit.writer.read("photos/marks.json"))
    return [field for field in fields if isinstance(field[1], dict)]


def _is_on(mark: dict[str, Any], photo: str) -> bool:
    target = mark.get("target")
    return isinstance(target, dict) and str(target.get("source", "")).removeprefix("photos/") == photo


def _mark(mark: dict[str, Any]) -> dict[str, str]:
    bodies = mark.get("body")
    bodies = bodies if isinstance(bodies, list) else [bodies]
    said = {str(b.get("purpose")): str(b.get("value", "")) for b in bodies if isinstance(b, dict)}
    selector = mark["target"].get("selector")
    place = str(selector.get("value", "")) if isinstance(selector, dict) else ""
    plain = place.removeprefix("xywh=pixel:") if "<" not in place else "an outline"
    return {"subject": said.get("identifying", ""), "text": said.get("describing", ""), "place": plain}


def _parts(request: Request, unit: LiveUnit, shown: Shown, ledger: Ledger) -> dict[str, Any]:
    worst: dict[str, Any] = {}
    for finding in shown.findings:
        worst.setdefault(finding.subject, finding.verdict)
    rows = []
    for ref, version, cells in PartsForm().rows(unit.writer.read("parts.csv")):
        first = next(iter(ref.replace(";", ",").split(","))).strip()
        told = [
            {"column": name, "value": cells.get(name, ""), "version": version_of(cells.get(name, ""), ref, name)}
            for name in COLUMNS
        ]
        rows.append(
            {"ref": ref, "first": first, "version": version, "cells": told, "status": worst.get(f"part:{first}")}
        )
    wanted = request.query_params.get("row")
    chosen = next((row for row in rows if row["ref"] == wanted), None)
    return {"columns": COLUMNS, "rows": rows, "chosen": _row(chosen) if chosen else None}


def _row(row: dict[str, Any]) -> dict[str, Any]:
    from partingline.readers.markings import decode_marking

    cells = {cell["column"]: cell["value"] for cell in row["cells"]}
    fields = [
        Field(
            "parts.csv", (row["ref"], cell["column"]), cell["column"].replace("_", " "), cell["value"], cell["version"]
        )
        for cell in row["cells"]
    ]
    marking = cells.get("marking", "")
    readings = decode_marking(marking, cells.get("kind") or None)[:_MOST_READINGS] if marking else ()
    return {"ref": row["ref"], "version": row["version"], "fields": fields, "readings": readings}


def _publish(request: Request, unit: LiveUnit, shown: Shown, ledger: Ledger) -> dict[str, Any]:
    written = [("report", name) for name in _files(unit.root / "report") if name.startswith("report.")]
    written += [("publication", name) for name in _files(unit.root / "publication")]
    jobs = [job.record() for job in unit.jobs.all()[:10]]
    return {"formats": FORMATS, "languages": LANGUAGES, "jobs": jobs, "written": written}


def _files(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir() if path.is_file()) if folder.is_dir() else []


_MAKERS: dict[str, Callable[[Request, LiveUnit, Shown, Ledger], dict[str, Any]]] = {
    "outside": _outside,
    "ports": _ports,
    "measurements": _measurements,
    "opening": _photos,
    "boards": _boards,
    "parts": _parts,
    "findings": _findings,
    "converter": _converter,
    "spacing": _spacing,
    "words": _words,
    "publish": _publish,
}
