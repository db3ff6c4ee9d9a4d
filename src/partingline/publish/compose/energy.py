"""Curves of the bench: efficiency with its limits, losses, regulation in its band, temperature."""

from collections import defaultdict
from collections.abc import Sequence

import numpy as np

from partingline.facts import Book
from partingline.facts.derivations.sweeps import undescribed
from partingline.facts.opened import Opened
from partingline.facts.show import LOWEST_MAINS, show_fact
from partingline.facts.statements.log_fit import fit_warm_up
from partingline.model import Fact, Finding, Key
from partingline.publish.compose.ledger import Ledger
from partingline.publish.compose.limit_sets import limit_sets
from partingline.publish.compose.sweeps import further, sharing, spectrum, switching_over_load
from partingline.publish.document import (
    Align,
    Block,
    Column,
    Drawing,
    Figure,
    FigureRow,
    Section,
    Table,
    TableCell,
    TableGroup,
    TableRow,
    amount_spans,
    plain,
)
from partingline.publish.figures import (
    Curve,
    Level,
    efficiency_chart,
    loss_chart,
    regulation_chart,
    thermal_chart,
)
from partingline.readers.logs import Log

TOLERANCE = 0.05
"""vSrcNew of a fixed supply: USB PD R3.x, read in vendor headers."""


def energy(opened: Opened, findings: Sequence[Finding], ledger: Ledger) -> Section | None:
    """Charts at the highest offer that was swept, and the load points of every sweep; None without measurements."""
    sweeps = _sweeps(opened.book)
    tables = [_points(sweeps, ledger)] if sweeps else []
    others = [further(opened.unit, opened.book, ledger), sharing(opened.book, ledger)]
    tables += [table for table in others if table is not None]
    soak = _thermal(opened)
    if not sweeps:
        blocks: tuple[Block, ...] = (*((soak,) if soak else ()), *tables)
        return Section("energy", "Energy", blocks, "measured at the end of the port") if blocks else None
    highest = max(offer for _, offer, _ in sweeps)
    chosen = {key: points for key, points in sweeps.items() if key[1] == highest}
    rows = [FigureRow((_efficiency(chosen, highest, findings, opened.book), _losses(chosen, highest, opened.book)))]
    second = [_regulation(chosen, highest, opened.book)]
    rows.append(FigureRow((*second, soak) if soak else tuple(second)))
    wave = spectrum(opened)
    switching = switching_over_load(opened.book)
    if drawn := tuple(figure for figure in (wave, switching) if figure):
        rows.append(FigureRow(drawn))
    limits = limit_sets(opened)
    tables += [limits] if limits is not None and opened.unit.fed_by_mains else []
    return Section("energy", "Energy", (*rows, *tables), "measured at the end of the port")


Sweeps = dict[tuple[str, float, float], list[Fact]]


def _sweeps(book: Book) -> Sweeps:
    """Efficiency facts by port, offer and mains (0: none, fed by direct current), from light to full load."""
    found: Sweeps = defaultdict(list)
    for fact in book.find("efficiency", "port:"):
        at = dict(fact.key.at)
        offer, mains, load = at.get("offer"), at.get("mains", 0.0), at.get("load")
        if isinstance(offer, float) and isinstance(mains, float) and isinstance(load, float) and "with" not in at:
            found[fact.key.subject, offer, mains].append(fact)
    for points in found.values():
        points.sort(key=lambda fact: fact.key.number("load"))
    return dict(sorted(found.items()))


def _fed(mains: float) -> str:
    if not mains:
        return "direct current"
    return f"{mains:g} V mains" if mains >= LOWEST_MAINS else f"{mains:g} V supply"


def _series(points: Sequence[Fact], quantity: str, book: Book) -> list[Fact]:
    keys = [Key.of(fact.key.subject, quantity, **dict(fact.key.at)) for fact in points]
    return [fact for key in keys if (fact := book.fact(key)) is not None]


def _curve(name: str, xs: Sequence[Fact], ys: Sequence[Fact]) -> Curve:
    return Curve(name, [f.value for f in xs], [f.value for f in ys], [2 * f.u for f in ys])


def _efficiency(chosen: Sweeps, offer: float, findings: Sequence[Finding], book: Book) -> Figure:
    curves = [
        _curve(_fed(mains), _series(points, "output_power", book), points) for (_, _, mains), points in chosen.items()
    ]
    rated = book.fact(Key.of("unit", "output_power"))
    limits = _limits(findings, offer, rated.value if rated else None)
    svg = efficiency_chart(curves, limits=limits, rated_w=rated.value if rated else None, at=f"{offer:g} V")
    said = "; ".join(
        f"{_fed(mains).removesuffix(' mains')}: {show_fact(max(p, key=lambda f: f.value))} at best"
        for (_, _, mains), p in chosen.items()
    )
    caption = f"Steady part of each load step. Bands: k = 2. {said}."
    return Figure(
        "figure-efficiency", "Efficiency", Drawing(svg), plain(caption), f"Efficiency over output power. {said}."
    )


def _limits(findings: Sequence[Finding], offer: float, rated: float | None) -> list[Level]:
    levels: dict[float, list[str]] = {}
    for finding in findings:
        key, limit = finding.key, finding.limit
        if key is None or limit is None or limit.low is None or finding.group != "energy":
            continue
        if key.quantity == "average_efficiency" and key.condition("offer") == offer:
            levels.setdefault(round(limit.low, 5), []).append(limit.label or finding.rule)
    start = rated * 0.25 if rated else None
    told = {value: " and ".join(sorted(set(names), reverse=True)) for value, names in levels.items()}
    return [Level(f"{names} {value * 100:.1f} %", value, start) for value, names in sorted(told.items())]


def _losses(chosen: Sweeps, offer: float, book: Book) -> Figure:
    curves = [
        _curve(_fed(mains), _series(points, "output_power", book), _series(points, "loss", book))
        for (_, _, mains), points in chosen.items()
    ]
    rated = book.fact(Key.of("unit", "output_power"))
    svg = loss_chart(curves, rated_w=rated.value if rated else None, at=f"{offer:g} V")
    caption = "What stays in the case: input power less output power, from the same readings. Bands: k = 2."
    caption += _astray(chosen, book)
    return Figure("figure-loss", "Losses", Drawing(svg), plain(caption), "Power lost over output power.")


def _astray(chosen: Sweeps, book: Book) -> str:
    """A sentence on the sweeps that the parts of the loss do not describe; "" where they describe all."""
    told = []
    for subject, offer, mains in chosen:
        fact = book.fact(Key.of(subject, "loss_misfit", offer=offer, **({"mains": mains} if mains else {})))
        if fact is not None and undescribed(book, fact):
            told.append(f"{show_fact(fact)} at {_fed(mains)}")
    if not told:
        return ""
    return (
        f" The points scatter by {' and '.join(told)} about a fixed, a proportional and a square part, more than the "
        "readings explain: that model does not describe them."
    )


def _regulation(chosen: Sweeps, offer: float, book: Book) -> Figure:
    curves = [
        _curve(_fed(mains), _series(points, "output_current", book), _series(points, "port_voltage", book))
        for (_, _, mains), points in chosen.items()
    ]
    limits = [Level("+5 %", offer * (1 + TOLERANCE)), Level("−5 %", offer * (1 - TOLERANCE))]
    svg = regulation_chart(curves, limits=limits, at=f"{offer:g} V object")
    caption = f"Voltage at the port over current; a fixed {offer:g} V supply may move by 5 %."
    return Figure("figure-regulation", "Regulation", Drawing(svg), plain(caption), "Port voltage over output current.")


def _thermal(opened: Opened) -> Figure | None:
    """The record with the hottest surface, with its fit; None without one."""
    soaks = [log for log in opened.logs if log.entry.kind == "thermal" and log.channels("surface_temperature")]
    fits = [(log, _fitted(log)) for log in soaks if len(log.time_s)]
    if not fits:
        return None
    log, fitted = max(fits, key=lambda one: one[1][1] if one[1] else 0.0)
    curves: list[Curve] = []
    for (quantity, channel), values in log.series.items():
        if quantity in ("surface_temperature", "ambient_temperature"):
            name = channel or quantity.partition("_")[0]
            curves.append(Curve(name, np.asarray(log.time_s), np.asarray(values)))
    curves += [fitted[0]] if fitted else []
    steady = max(opened.book.find("surface_temperature"), key=lambda fact: fact.value, default=None)
    marks = [Level(f"steady {show_fact(steady)}", steady.value)] if steady else []
    load = "" if log.entry.load is None else f"{log.entry.load * 100:g} % load"
    svg = thermal_chart(curves, limits=marks, at=load)
    caption = f"{log.path}; the steady value is that of the fit, the dashed curve."
    return Figure("figure-thermal", "Temperature", Drawing(svg), plain(caption), f"Temperatures over time. {load}")


def _fitted(log: Log) -> tuple[Curve, float] | None:
    """The fitted curve of the hottest face, drawn on to twice the slow time constant past the record, and its end."""
    found = []
    for (quantity, _), values in log.series.items():
        good = np.isfinite(values)
        if quantity == "surface_temperature" and good.any() and (fit := fit_warm_up(log.time_s[good], values[good])):
            found.append((fit, float(log.time_s[good][0])))
    if not found:
        return None
    fit, start = max(found, key=lambda one: one[0].steady)
    time = np.linspace(0.0, float(log.time_s[-1]) - start + 2 * fit.slow, 200)
    return Curve("fit", time + start, [fit.steady - fit.left(float(t)) for t in time], computed=True), fit.steady


def _points(sweeps: Sweeps, ledger: Ledger) -> Table:
    columns = [
        Column("load"),
        *(Column(name, Align.RIGHT) for name in ("input", "output", "voltage", "current", "efficiency")),
    ]
    groups = []
    for (port, offer, mains), points in sweeps.items():
        rows = tuple(_point(fact, ledger) for fact in reversed(points))
        groups.append(TableGroup(f"{port.partition(':')[2]}, {offer:g} V, {_fed(mains)}", rows))
    return Table(tuple(columns), tuple(groups), "Load points. Standard uncertainties.")


def _point(fact: Fact, ledger: Ledger) -> TableRow:
    cells = [TableCell(plain(f"{fact.key.number('load') * 100:g} %"))]
    for quantity in ("input_power", "output_power", "port_voltage", "output_current", "efficiency"):
        one = ledger.book.fact(Key.of(fact.key.subject, quantity, **dict(fact.key.at)))
        cells.append(TableCell(amount_spans(ledger.amount(one)) if one else ()))
    return TableRow(tuple(cells))
