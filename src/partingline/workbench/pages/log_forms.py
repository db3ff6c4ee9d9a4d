"""What a log is, and which column says what: confirmed by a person, written to logs.toml."""

from typing import Any
from urllib.parse import quote

from starlette.requests import Request
from starlette.routing import Route

from partingline.workbench.api.answers import unit_of
from partingline.workbench.editing import ABSENT
from partingline.workbench.editing.toml_form import TomlForm
from partingline.workbench.live import LiveUnit
from partingline.workbench.pages.logbook import FILE, TOLD
from partingline.workbench.pages.plain import posted

_WHO = "someone here"


def routes() -> list[Route]:
    """The address that confirms a log."""
    return [Route("/unit/{id}/log", posted(_confirm), methods=["POST"])]


def _confirm(request: Request, told: dict[str, str]) -> str:
    """A new row of logs.toml, or the columns and instruments of one that is there."""
    unit, name = unit_of(request), told.get("file", "")
    columns, instruments = _pinned(told)
    text, form = unit.writer.read(FILE), TomlForm(FILE)
    path = next((one for one, _, _ in form.rows(text) if form.look(text, (*one, "file"))[0] == name), None)
    if path is None:
        given: dict[str, Any] = {key: told[key].strip() for key in TOLD if told.get(key, "").strip()}
        tables = {key: one for key, one in (("columns", columns), ("instruments", instruments)) if one}
        unit.edit(FILE, ("log", "+"), {"file": name, **given, **tables}, ABSENT, _WHO)
    else:
        for key, table in (("columns", columns), ("instruments", instruments)):
            _replace(unit, (*path, key), table, told.get(f"base_{key}", ABSENT))
    return f"/unit/{quote(unit.id, safe='')}/measurements?log={quote(name, safe='')}"


def _replace(unit: LiveUnit, path: tuple[str | int, ...], table: dict[str, str], base: str) -> None:
    there = TomlForm(FILE).look(unit.writer.read(FILE), path)[0]
    if (there or {}) != table:
        unit.edit(FILE, path, table or None, base, _WHO)


def _pinned(told: dict[str, str]) -> tuple[dict[str, str], dict[str, str]]:
    """Header texts and instruments by `CHANNEL/quantity`."""
    columns: dict[str, str] = {}
    instruments: dict[str, str] = {}
    for field, quantity in told.items():
        number = field.removeprefix("quantity-")
        if field == number or not quantity:
            continue
        channel = told.get(f"channel-{number}", "").strip()
        key = f"{channel}/{quantity}" if channel else quantity
        columns[key] = told.get(f"header-{number}", "")
        if told.get(f"meter-{number}", "").strip():
            instruments[key] = told[f"meter-{number}"].strip()
    return columns, instruments
