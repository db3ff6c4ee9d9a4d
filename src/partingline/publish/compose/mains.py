"""The input at each mains voltage asked: what it draws, holds and lets through, one column a voltage."""

from partingline.facts import Book
from partingline.facts.show import show_fact
from partingline.model import Key, Unit
from partingline.publish.compose.ledger import Ledger
from partingline.publish.document import (
    Align,
    Column,
    Section,
    Span,
    Spans,
    Table,
    TableCell,
    TableGroup,
    TableRow,
    plain,
)
from partingline.sources import quantities

INPUT = "stage:input"
QUANTITIES = (
    "input_power", "valley_voltage", "conduction_angle", "line_peak_current", "line_current", "power_factor",
    "bridge_current", "bridge_loss", "bulk_ripple_current", "hold_up_time", "inrush_current", "inrush_i2t",
    "warm_inrush_current", "warm_inrush_i2t", "stored_energy",
)  # fmt: skip
CAPTIONS = {
    False: "A mains without impedance: peaks are on the high side, the power factor on the low side.",
    True: "A boost stage holds the bulk voltage and shapes the line current.",
}
OF_PARTS = (("inrush_limiter", "warm_resistance"), ("inrush_limiter", "limiter_loss"))


def mains_input(unit: Unit, book: Book, ledger: Ledger) -> Section | None:
    """One row a quantity; None where nothing of the input can be computed."""
    rows = [(quantities()[name].name, name, INPUT) for name in QUANTITIES]
    rows += [
        (f"{part.ref}: {quantities()[name].name}", name, part.subject)
        for role, name in OF_PARTS
        for part in unit.having(role)
    ]
    known = {
        (name, subject): {key.number("mains"): key for key in book.keys(name, subject) if _counts(key, subject, book)}
        for _, name, subject in rows
    }
    voltages = sorted({volts for found in known.values() for volts in found})
    shown = [(said, known[name, subject]) for said, name, subject in rows if known[name, subject]]
    if len(shown) < 2:
        return None
    columns = (Column("at full load"), *(Column(f"{volts:g} V", Align.RIGHT) for volts in voltages))
    lines = tuple(
        TableRow((TableCell(plain(said)), *(TableCell(_value(found.get(volts), book, ledger)) for volts in voltages)))
        for said, found in shown
    )
    boosted = bool(unit.having("pfc_inductor"))
    table = Table(columns, (TableGroup("", lines),), CAPTIONS[boosted])
    return Section("input", "The mains input", (table,), "computed from the bridge to the bulk capacitor")


def _counts(key: Key, subject: str, book: Book) -> bool:
    return key.subject == subject and {name for name, _ in key.at} == {"mains"} and book.fact(key) is not None


def _value(key: Key | None, book: Book, ledger: Ledger) -> Spans:
    fact = book.fact(key) if key else None
    return (Span(show_fact(fact), ledger.ref(fact.key)),) if fact else ()
