"""What can hurt: the usual cautions with the energy and waiting time of this unit beside them."""

from collections.abc import Sequence

from partingline.calc.capacitors import discharge_time
from partingline.facts import Book
from partingline.facts.show import show_fact
from partingline.model import Unit
from partingline.publish.compose.ledger import Ledger
from partingline.publish.document import Caution, Section, Span, Spans, plain

RESISTOR = 2200.0
SAFE = 60.0
_CELLS = (
    "Lithium cells burn when they are pierced, bent, heated or shorted, and cannot be switched off. Discharge below "
    "30 % first, use no metal blade near them, keep sand and a way out at hand.",
    "Cover the terminals of each cell as soon as it is free.",
)
_LOCAL = ("Local codes come first. A computed finding is never a certificate of safety or of conformity.",)


def cautions(unit: Unit, book: Book, ledger: Ledger) -> Section:
    """The cautions of someone who opens a mains unit; where no mains come in, what else there is to fear."""
    if not unit.fed_by_mains:
        told = (_CELLS if unit.kind.casefold() == "power bank" else (), _LOCAL)
        return _section([plain(item) for items in told for item in items])
    items: list[Spans] = [
        plain(
            "Mains can kill. Work on an open unit only with an isolating supply, a second person near, and licensed "
            "practice."
        ),
        *_stored(book, ledger),
        plain(
            "Unplug, wait, measure, discharge through 1 to 5 kΩ (never a screwdriver), measure again, and once more "
            "after a minute: dielectrics recover."
        ),
        *map(plain, _LOCAL),
    ]
    return _section(items)


def _section(items: Sequence[Spans]) -> Section:
    return Section(
        "caution", "Before you open one", (Caution("Caution", tuple(items)),), "common practice; defers to local codes"
    )


def _stored(book: Book, ledger: Ledger) -> list[Spans]:
    energies = book.find("stored_energy")
    capacitance = book.find("bulk_capacitance")
    if not energies or not capacitance:
        return [plain("Treat the bulk capacitor of any unplugged unit as live until a meter says less than 60 V.")]
    energy, voltage = energies[-1], book.find("peak_bulk_voltage")[-1]
    seconds = discharge_time(
        capacitance=capacitance[0].value, resistance=RESISTOR, start_voltage=voltage.value, safe_voltage=SAFE
    )
    return [
        (
            Span("The bulk capacitance of this unit holds up to "),
            Span(show_fact(energy), ledger.ref(energy.key)),
            Span(" at "),
            Span(show_fact(voltage), ledger.ref(voltage.key)),
            Span(f"; 2.2 kΩ brings it below 60 V in {float(seconds):.1f} s. Treat it as live until a meter says so."),
        )
    ]
