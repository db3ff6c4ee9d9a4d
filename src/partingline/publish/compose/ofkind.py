"""What is asked of a power bank, a dock or a cable beside what a charger is asked."""

from partingline.facts import Book
from partingline.facts.show import condition_text, subject_text
from partingline.model import Fact, Unit
from partingline.publish.compose.ledger import Ledger
from partingline.publish.document import (
    Align,
    Column,
    Section,
    Table,
    TableCell,
    TableGroup,
    TableRow,
    amount_spans,
    plain,
)
from partingline.sources import quantities

ASKED = {
    "power bank": (
        "Stored and given",
        ("rated_capacity", "rated_energy", "delivered_energy", "delivered_charge", "rated_output_capacity",
         "recharge_energy", "conversion_efficiency", "storage_efficiency"),
    ),
    "dock": ("Power and picture", ("supply_power", "own_power", "host_power", "video_lanes", "video_lane_rate",
                                   "video_refresh")),
    "cable": ("The cable", ("cable_current", "cable_voltage", "output_power", "resistance", "cable_drop",
                            "data_rate", "length")),
}  # fmt: skip
"""Name of the section and its quantities, by kind of unit."""


def asked_of(unit: Unit) -> tuple[str, ...]:
    """The quantities that the table of the unit's kind shows."""
    return ASKED.get(unit.kind.casefold(), ("", ()))[1]


def of_its_kind(unit: Unit, book: Book, ledger: Ledger) -> Section | None:
    """One table, one row a fact; None for a charger, and where nothing is known."""
    if unit.kind.casefold() not in ASKED:
        return None
    name, asked = ASKED[unit.kind.casefold()]
    rows = tuple(_row(fact, ledger) for quantity in asked for fact in _facts(book, quantity))
    if not rows:
        return None
    columns = (Column("quantity"), Column("of"), Column("value", Align.RIGHT), Column("how"))
    table = Table(columns, (TableGroup("", rows),), "Standard uncertainties.")
    return Section("kind", name, (table,), f"what is asked of a {unit.kind.casefold()}")


def _facts(book: Book, quantity: str) -> list[Fact]:
    """The facts of a quantity but for those of parts; of a recording's only those that the unit's own do not tell."""
    found = [fact for fact in book.find(quantity) if not fact.key.subject.startswith("part:")]
    told = {fact.key.at for fact in found if fact.key.subject == "unit"}
    return [fact for fact in found if not fact.key.subject.startswith("capture:") or fact.key.at not in told]


def _row(fact: Fact, ledger: Ledger) -> TableRow:
    where = ", ".join(filter(None, (subject_text(fact.key.subject), condition_text(fact.key))))
    said = fact.preferred
    how = ", ".join(filter(None, (said.route.value, said.note)))
    return TableRow(
        (
            TableCell(plain(quantities()[fact.key.quantity].name)),
            TableCell(plain(where)),
            TableCell(amount_spans(ledger.amount(fact))),
            TableCell(plain(how)),
        )
    )
