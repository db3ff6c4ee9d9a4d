"""Power banks: what a port gives beside what is printed and what recharging takes."""

from collections.abc import Iterator

from partingline.calc import storage
from partingline.facts.derivation import Derivation
from partingline.facts.derivations.layout import Layout
from partingline.model import Key, Route


def derive(layout: Layout) -> Iterator[Derivation]:
    """Printed energy from printed capacity; conversion and storage efficiency of each discharge."""
    rated, capacity = Key.of("unit", "rated_energy"), Key.of("unit", "rated_capacity")
    if capacity in layout.keys:
        cells = storage.cell_energy
        yield Derivation(
            rated, {"capacity": capacity, "cell_voltage": Key.of("unit", "cell_voltage")}, cells, cells.source,
            note="printed capacity at the nominal voltage of one cell",
        )  # fmt: skip
    recharges = layout.with_quantity("recharge_energy", "unit")
    for delivered in layout.with_quantity("delivered_energy", "port:"):
        at = dict(delivered.at)
        convert, store = storage.conversion_efficiency, storage.storage_efficiency
        yield Derivation(
            Key.of(delivered.subject, "conversion_efficiency", **at),
            {"delivered_energy": delivered, "rated_energy": rated}, convert, convert.source, route=Route.MEASURED,
        )  # fmt: skip
        for recharge in recharges:
            beside = {**at, **dict(recharge.at)}
            yield Derivation(
                Key.of(delivered.subject, "storage_efficiency", **beside),
                {"delivered_energy": delivered, "recharge_energy": recharge}, store, store.source,
                route=Route.MEASURED,
            )  # fmt: skip
