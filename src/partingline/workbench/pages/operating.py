"""The operating point that a person moves: losses by item beside what was measured near it, frequency and currents."""

from typing import Any

from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Route

from partingline.facts.operating_point import (
    LOADS,
    Amount,
    Measured,
    NoPointError,
    OperatingPoint,
    bounds,
    operating_point,
)
from partingline.facts.show import key_text, show_value
from partingline.facts.stage_at_work import curves_or_none
from partingline.publish.compose import at_work
from partingline.workbench.api.answers import number_of, unit_of
from partingline.workbench.live import Shown
from partingline.workbench.pages.plain import paged
from partingline.workbench.pages.render import rendered

_MOST_MEASURED = 2
_FOLDS_BACK = 0.2
_WIDTH = 1000.0
_DRAWN = 720.0


def routes() -> list[Route]:
    """The address of one point, as a piece of the page."""
    return [Route("/unit/{id}/point", paged(_point), methods=["GET"])]


def operating(request: Request, shown: Shown) -> dict[str, Any]:
    """The controls and the point that is asked for, else full load at the nominal line; why there is none, else."""
    try:
        reach = bounds(shown.opened.unit, shown.opened.book)
    except NoPointError as error:
        return {"reach": None, "point": None, "no_point": _why(error)}
    strongest = max(reach.offers, key=lambda offer: offer[0] * offer[1])
    low, high = reach.mains
    mains = number_of(request, "mains", min(max(230.0, low), high), low, high)
    load = number_of(request, "load", 100.0, LOADS[0] * 100, LOADS[1] * 100)
    offer = number_of(request, "offer", strongest[0], 0.0, 60.0)
    chosen = min((volts for volts, _ in reach.offers), key=lambda volts: abs(volts - offer))
    told: dict[str, Any] = {
        "reach": {
            "port": reach.port.partition(":")[2], "low": low, "high": high, "offers": reach.offers,
            "least": LOADS[0] * 100, "most": LOADS[1] * 100,
        },
        "mains": mains, "load": load, "offer": chosen, "point": None, "no_point": "",
    }  # fmt: skip
    try:
        found = operating_point(shown.opened.unit, shown.opened.book, mains=mains, offer=chosen, load=load / 100)
    except NoPointError as error:
        return {**told, "no_point": _why(error)}
    wave = curves_or_none(shown.opened.unit, shown.opened.book, mains=mains, offer=chosen, load=load / 100)
    cycle = at_work.cycle_figure(wave, width=_DRAWN) if wave else None
    return {**told, "point": {**_shown(found), "cycle": cycle}}


def _point(request: Request) -> Response:
    unit = unit_of(request)
    with unit.reading:
        return HTMLResponse(rendered("point.html.j2", unit_id=unit.id, **operating(request, unit.current())))


def _why(error: NoPointError) -> str:
    missing = ", ".join(key_text(key) for key in error.missing)
    return f"{error}." if not missing else f"{error}. Missing: {missing}."


def _shown(point: OperatingPoint) -> dict[str, Any]:
    near = sorted(point.measured, key=lambda one: _distance(one, point))[:_MOST_MEASURED]
    largest = max([point.total[0] + 2 * point.total[1], *(one.loss[0] for one in near)]) or 1.0
    scale = _WIDTH / largest / 1.04
    bars, reached = [], 0.0
    for name, amount in point.losses.items():
        bars.append(_bar(name, amount, reached, scale, point.total[0]))
        reached += amount[0]
    totals = [{**_bar("all of them, computed", point.total, 0.0, scale, 0.0), "kind": "total"}]
    for one in near:
        where = f"measured at {one.mains:g}\u202fV, {one.load * 100:g}\u202f% load"
        totals.append({**_bar(where, one.loss, 0.0, scale, 0.0), "kind": "measured"})
    currents = [
        (name, show_value(amount[0], "switch_voltage" if name == "drain voltage" else "primary_current", amount[1]))
        for name, amount in point.currents.items()
    ]
    return {
        "bars": bars, "totals": totals, "width": _WIDTH, "currents": currents, "low": point.load < _FOLDS_BACK,
        "figures": (
            ("output power", show_value(point.output_power, "output_power")),
            ("efficiency of the stage", show_value(point.efficiency[0], "efficiency", point.efficiency[1])),
            ("switching frequency", show_value(point.frequency[0], "switching_frequency", point.frequency[1])),
            ("lost in all", show_value(point.total[0], "loss", point.total[1])),
        ),
        "same": bool(near) and _distance(near[0], point) < 0.03,
    }  # fmt: skip


def _bar(name: str, amount: Amount, start: float, scale: float, total: float) -> dict[str, Any]:
    value, u = amount
    left, right = start * scale, (start + value) * scale
    return {
        "name": name, "shown": show_value(value, "loss", u), "x": f"{left:.1f}", "w": f"{max(1.0, right - left):.1f}",
        "low": f"{max(0.0, right - 2 * u * scale):.1f}", "high": f"{min(_WIDTH, right + 2 * u * scale):.1f}",
        "share": f"{value / total * 100:.0f}\u202f%" if total else "", "kind": "item",
    }  # fmt: skip


def _distance(one: Measured, point: OperatingPoint) -> float:
    return abs(one.mains - point.mains) / 100 + 2 * abs(one.load - point.load)
