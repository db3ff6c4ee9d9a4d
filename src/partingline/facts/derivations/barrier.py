"""What an insulation barrier must keep, and what leaks across it."""

from collections.abc import Iterator

from partingline.calc import capacitors, spacing
from partingline.facts.derivation import Derivation
from partingline.facts.derivations.input_stage import PARALLEL, counts, named, sum_of
from partingline.facts.derivations.layout import INPUT, Layout, part_keys
from partingline.facts.derivations.ports import highest_of
from partingline.facts.draws import Array
from partingline.model import Key, Route
from partingline.sources import cite


def derive(layout: Layout) -> Iterator[Derivation]:
    """Required clearance and creepage of each barrier; touch current through the Y capacitors."""
    for subject in layout.subjects("barrier"):
        yield from _spacing(subject)
        voltages = layout.with_quantity("working_voltage", subject)
        read = tuple(key for key in voltages if key.subject == subject and key.at)
        if read:
            source = cite("algebra", "the highest of the readings", "C")
            yield Derivation(
                Key.of(subject, "working_voltage"),
                {"values": read},
                highest_of,
                source,
                route=Route.MEASURED,
                chosen_from="values",
                note="the highest reading; mains is rationalised to the table's row",
            )
    bridging = layout.parts("y_capacitor")
    if bridging:
        across = Key.of("barrier:main", "y_capacitance")
        needs = {"values": part_keys(bridging, "capacitance")}
        yield Derivation(across, needs, sum_of, PARALLEL, {"counts": counts(bridging)}, note=named(bridging))
        touch = capacitors.touch_current
        fixed = {"mains_voltage": layout.highest_mains, "mains_frequency": 60.0}
        note = f"at {layout.highest_mains:g} V 60 Hz through {named(bridging)}; stray capacitance left out"
        yield Derivation(
            Key.of("unit", "touch_current"), {"capacitance": across}, touch, touch.source, fixed, note=note
        )


def _spacing(subject: str) -> Iterator[Derivation]:
    clearance, creepage = spacing.required_clearance, spacing.required_creepage
    common = {
        "pollution_degree": Key.of(subject, "pollution_degree"),
        "insulation": Key.of(subject, "insulation"),
    }
    needed = Key.of(subject, "required_clearance")
    yield Derivation(
        needed,
        {
            **common,
            "mains_voltage": Key.of(INPUT, "nominal_mains"),
            "overvoltage_category": Key.of(subject, "overvoltage_category"),
            "altitude": Key.of(subject, "altitude"),
        },
        required_clearance,
        clearance.source,
    )
    yield Derivation(
        Key.of(subject, "required_creepage"),
        {
            **common,
            "working_voltage": Key.of(subject, "working_voltage"),
            "material_group": Key.of(subject, "material_group"),
            "clearance": needed,
        },
        required_creepage,
        creepage.source,
    )


def required_clearance(
    *,
    mains_voltage: Array,
    overvoltage_category: str,
    pollution_degree: Array,
    altitude: Array,
    insulation: str,
) -> Array:
    """The calculation of that name; the pollution degree is a class, not a draw."""
    return spacing.required_clearance(
        mains_voltage=mains_voltage,
        overvoltage_category=overvoltage_category,
        pollution_degree=int(pollution_degree[0]),
        altitude=altitude,
        insulation=insulation,
    )  # type: ignore[return-value]


def required_creepage(
    *, working_voltage: Array, pollution_degree: Array, material_group: str, insulation: str, clearance: Array
) -> Array:
    """The calculation of that name; mains is rationalised to the table's row, the pollution degree is a class."""
    return spacing.required_creepage(
        working_voltage=working_voltage,
        pollution_degree=int(pollution_degree[0]),
        material_group=material_group,
        insulation=insulation,
        clearance=clearance,
    )  # type: ignore[return-value]
