"""What the sweeps tell beside efficiency: parts of the loss, compensation, regulation, standby, ripple, sharing."""

from collections import defaultdict
from collections.abc import Iterable, Sequence

import numpy as np

from partingline.calc.waveform import amplitude_spectrum
from partingline.facts import Book
from partingline.facts.opened import Opened
from partingline.facts.show import key_text, show_fact
from partingline.facts.statements.scope_ripple import LONGEST
from partingline.model import Fact, Key, Unit
from partingline.publish.compose.ledger import Ledger
from partingline.publish.compose.ofkind import asked_of
from partingline.publish.document import (
    Align,
    Column,
    Drawing,
    Figure,
    Table,
    TableCell,
    TableGroup,
    TableRow,
    amount_spans,
    plain,
)
from partingline.publish.figures import Curve, Marker, frequency_chart, spectrum_chart

_LINES = (
    "fixed_loss", "proportional_loss", "square_loss", "loss_misfit", "cable_compensation", "line_regulation",
    "standby_power",
    "ripple_voltage", "ripple_switching", "ripple_line", "switching_frequency", "burst_frequency", "burst_share",
    "overshoot_voltage", "undershoot_voltage", "recovery_time", "hold_up_time", "inrush_current", "inrush_i2t",
    "over_current_behaviour", "dedicated_charging_port", "charging_downstream_port", "data_line_divider",
    "voltage_on_request", "delivered_energy",
    "delivered_charge",
    "conversion_efficiency", "storage_efficiency",
)  # fmt: skip
"""Rows of the table, in this order, where they were measured."""


def further(unit: Unit, book: Book, ledger: Ledger) -> Table | None:
    """One row a fact that was measured at a port or on the unit and has no table of its own; None where there is
    none."""
    groups = []
    elsewhere = asked_of(unit)
    for quantity in _LINES:
        if quantity in elsewhere:
            continue
        facts = [f for f in book.find(quantity) if f.key.subject.startswith(("port:", "unit")) and _measured(f)]
        rows = tuple(_row(fact, ledger) for fact in facts)
        if rows:
            groups.append(rows)
    if not groups:
        return None
    columns = (Column("quantity"), Column("value", Align.RIGHT), Column("how"))
    caption = "Standard uncertainties."
    if any(book.find(quantity) for quantity in _LINES[:3]):
        caption = f"Loss: fixed + proportional × current + square × current². {caption}"
    return Table(columns, (TableGroup("", tuple(row for rows in groups for row in rows)),), caption)


def sharing(book: Book, ledger: Ledger) -> Table | None:
    """The port-sharing matrix: one row a combination that was loaded, one column a port; None without one."""
    found: dict[tuple[str, ...], dict[str, Fact]] = defaultdict(dict)
    for fact in book.find("output_power", "port:"):
        at = dict(fact.key.at)
        if set(at) == {"with"} and _measured(fact):
            port = fact.key.subject.removeprefix("port:")
            found[tuple(sorted([port, *str(at["with"]).split("+")]))][port] = fact
    if not found:
        return None
    ports = sorted({port for combination in found for port in combination})
    rows = []
    for combination, powers in sorted(found.items()):
        together = book.fact(Key.of(f"ports:{'+'.join(combination)}", "output_power"))
        cells = [powers.get(port) for port in ports] + [together]
        shown = [TableCell(amount_spans(ledger.amount(fact)) if fact else plain("–")) for fact in cells]
        rows.append(TableRow((TableCell(plain(" + ".join(combination))), *shown)))
    columns = (Column("in use"), *(Column(port, Align.RIGHT) for port in ports), Column("together", Align.RIGHT))
    return Table(columns, (TableGroup("", tuple(rows)),), "Power of each port with the others loaded.")


def spectrum(opened: Opened) -> Figure | None:
    """The ripple's spectrum of the record at the highest load; None without one."""
    logs = [log for log in opened.logs if log.entry.kind == "ripple" and len(log.time_s) > 1000]
    logs = [log for log in logs if log.values("port_voltage") is not None]
    if not logs:
        return None
    log = max(logs, key=lambda one: (one.entry.load or 0.0, one.entry.offer_v or 0.0))
    values = log.series["port_voltage", ""]
    values = values[np.isfinite(values)][:LONGEST]
    rate = (len(log.time_s) - 1) / float(log.time_s[-1] - log.time_s[0])
    lines = amplitude_spectrum(samples=values, sample_rate=rate)
    names = ("switching_frequency", "ripple_voltage", "ripple_line")
    at = {"offer": log.entry.offer_v, "mains": log.entry.mains_v, "load": log.entry.load}
    told = {name: value for name, value in at.items() if value is not None}
    facts = {q: f for q in names if (f := next(iter(opened.book.find(q, "port:", **told)), None)) is not None}
    tone = facts.get("switching_frequency")
    markers = [Marker(show_fact(tone), tone.value)] if tone else []
    svg = spectrum_chart(Curve("ripple", lines.frequency[1:], lines.amplitude[1:]), markers=markers)
    said = "; ".join(f"{key_text(fact.key)}: {show_fact(fact)}" for fact in facts.values())
    caption = f"{log.path}, Hann window, {rate / len(values):.3g} Hz a line. {said}."
    return Figure("figure-ripple", "Ripple", Drawing(svg), plain(caption), f"Spectrum of the ripple. {said}.")


def switching_over_load(book: Book) -> Figure | None:
    """The switching frequency over the load at the highest offer, one curve a mains voltage, loads at which it comes in
    bursts marked; None where it was read at fewer than two loads."""
    curves: dict[tuple[str, float, float], list[Fact]] = defaultdict(list)
    for fact in book.find("switching_frequency", "port:"):
        at = dict(fact.key.at)
        if isinstance(at.get("load"), float) and "with" not in at and _measured(fact):
            offer, mains = (at.get(name, 0.0) for name in ("offer", "mains"))
            curves[fact.key.subject, float(offer), float(mains)].append(fact)
    several = {key: sorted(facts, key=_load) for key, facts in curves.items() if len(facts) >= 2}
    if not several:
        return None
    highest = max(offer for _, offer, _ in several)
    chosen = {key: facts for key, facts in sorted(several.items()) if key[1] == highest}
    drawn, burst = [], dict[float, list[str]]()
    for (subject, _, mains), facts in chosen.items():
        name = f"{mains:g} V mains" if mains else subject.removeprefix("port:")
        drawn.append(Curve(name, [_load(f) for f in facts], [f.value for f in facts], [2 * f.u for f in facts]))
        for fact in facts:
            again = book.fact(Key(fact.key.subject, "burst_frequency", fact.key.at))
            if again is not None:
                burst.setdefault(_load(fact), []).append(show_fact(again))
    svg = frequency_chart(
        drawn, markers=_burst_markers(sorted(burst), chosen.values()), at=f"{highest:g} V" if highest else ""
    )
    said = (f"{load * 100:g} % load: {' and '.join(rates)}" for load, rates in sorted(burst.items()))
    told = f" Bursts begin anew at {'; '.join(said)}." if burst else " No bursts were seen."
    caption = "The strongest line of the ripple's spectrum at each load; bands: k = 2." + told
    return Figure("figure-switching", "Switching frequency", Drawing(svg), plain(caption), caption)


def _burst_markers(loads: list[float], curves: Iterable[Sequence[Fact]]) -> list[Marker]:
    """One marker where bursts end, if they come at the lightest loads alone; else one at each load."""
    others = [_load(fact) for facts in curves for fact in facts if _load(fact) not in loads]
    if len(loads) > 1 and others and loads[-1] < min(others):
        return [Marker(f"bursts up to {loads[-1] * 100:g} %", loads[-1])]
    return [Marker("bursts", load) for load in loads]


def _load(fact: Fact) -> float:
    return fact.key.number("load")


def _measured(fact: Fact) -> bool:
    return fact.preferred.route.value == "measured"


def _row(fact: Fact, ledger: Ledger) -> TableRow:
    note = fact.preferred.note.replace("; highest", ", highest")
    return TableRow(
        (TableCell(plain(key_text(fact.key))), TableCell(amount_spans(ledger.amount(fact))), TableCell(plain(note)))
    )
