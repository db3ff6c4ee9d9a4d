"""Efficiency at every load point, its average, losses and regulation, from one set of readings with shared draws."""

from collections import defaultdict
from collections.abc import Iterator

from partingline.calc import efficiency as calc
from partingline.calc import output
from partingline.facts.derivation import Derivation
from partingline.facts.derivations.layout import Layout
from partingline.facts.derivations.ports import highest_of
from partingline.model import Condition, Key, Route
from partingline.sources import cite

LOADS = (1.0, 0.75, 0.5, 0.25)
"""The loads of the published average: 10 CFR 430 Subpart B Appendix Z, Table 1."""


def derive(layout: Layout) -> Iterator[Derivation]:
    """Efficiency, loss, average and regulation wherever input power and output were read."""
    points: dict[tuple[str, tuple[tuple[str, Condition], ...]], dict[float, Key]] = defaultdict(dict)
    every: list[Key] = []
    for key in layout.with_quantity("input_power", "port"):
        at = dict(key.at)
        load = at.pop("load", None)
        alone = key.subject.startswith("port:")
        if not isinstance(load, float) or load <= 0 or (alone and "offer" not in at):
            continue
        delivered = Key.of(key.subject, "output_power", **dict(key.at))
        needs = {"output_power": delivered, "input_power": key}
        efficiency = Key.of(key.subject, "efficiency", **dict(key.at))
        yield Derivation(
            efficiency,
            needs,
            calc.efficiency,
            calc.efficiency.source,
            route=Route.MEASURED,
            note="output over input power",
        )
        yield Derivation(
            Key.of(key.subject, "loss", **dict(key.at)),
            needs,
            calc.loss,
            calc.loss.source,
            route=Route.MEASURED,
        )
        if alone:
            every.append(efficiency)
        if "with" not in at:
            points[key.subject, tuple(sorted(at.items()))][load] = efficiency
    for (subject, at_items), by_load in points.items():
        yield from _averages(subject, dict(at_items), by_load)
    if every:
        source = cite("algebra", "the highest of all load points", "C")
        yield Derivation(
            Key.of("unit", "peak_efficiency"),
            {"values": tuple(every)},
            highest_of,
            source,
            route=Route.MEASURED,
            chosen_from="values",
            note=f"the highest of {len(every)} load points",
        )


def _averages(subject: str, at: dict[str, Condition], by_load: dict[float, Key]) -> Iterator[Derivation]:
    average = calc.average_efficiency
    yield Derivation(
        Key.of(subject, "average_efficiency", **at),
        {"efficiencies": tuple(Key.of(subject, "efficiency", **at, load=load) for load in LOADS)},
        average,
        average.source,
        route=Route.MEASURED,
        note="mean of 100, 75, 50 and 25 % load",
    )
    loads = sorted(by_load)
    if len(loads) >= 2:
        needs = {
            "no_load_voltage": Key.of(subject, "port_voltage", **at, load=loads[0]),
            "full_load_voltage": Key.of(subject, "port_voltage", **at, load=loads[-1]),
        }
        regulation = output.load_regulation
        yield Derivation(
            Key.of(subject, "load_regulation", **at), needs, regulation, regulation.source, route=Route.MEASURED,
            note=f"from {loads[0] * 100:g} % to {loads[-1] * 100:g} % load",
        )  # fmt: skip
