"""What ripple each electrolytic capacitor carries, and how long it lasts at the temperature read.

The bulk capacitors share the ripple of the mains by capacitance; that of the converter stays with those behind the
choke, where one stands between them.
"""

from collections.abc import Iterator

import numpy as np

from partingline.calc import flyback, lifetime
from partingline.calc.powerstage.bulk_sharing import far_share
from partingline.facts.derivation import Derivation, Need
from partingline.facts.derivations.converter import PRIMARY, SECONDARY
from partingline.facts.derivations.layout import INPUT, Layout, part_keys
from partingline.facts.derivations.mode import circuit, clock
from partingline.facts.draws import Array
from partingline.model import Key, Part
from partingline.sources import cite

SHARED = cite("algebra", "currents share by capacitance, and by impedance across a choke", "C")
RATED_RISE = 5.0
"""K of core rise at the rated ripple current of most series (Rubycon)."""
SWITCHING = 100e3
"""Hz, where no frequency is known: the divider of microhenries and microfarads hangs little on it."""


def derive(layout: Layout) -> Iterator[Derivation]:
    """For each capacitor of liquid electrolyte whose temperature was read."""
    for key in layout.with_quantity("part_temperature", "part:"):
        part = next((one for one in layout.unit.parts if one.subject == key.subject), None)
        if part is None or part.role not in ("bulk_capacitor", "output_capacitor") or is_polymer(part):
            continue
        at = dict(key.at)
        if part.role == "bulk_capacitor" and isinstance(at.get("mains"), float):
            yield from _bulk(layout, part, key)
        elif part.role == "output_capacitor":
            yield from _output(layout, part, key)
        yield _life(part, key)
        yield _used(part, key)


def is_polymer(part: Part) -> bool:
    """Whether a capacitor's electrolyte is solid."""
    return "polymer" in f"{part.note} {part.marking} {part.package}".casefold()


def _bulk(layout: Layout, part: Part, key: Key) -> Iterator[Derivation]:
    parts, mains = layout.parts("bulk_capacitor"), key.number("mains")
    capacitances: dict[str, Need] = {
        "own": Key.of(part.subject, "capacitance"), "all_of_them": part_keys(parts, "capacitance"),
    }  # fmt: skip
    counts = np.array([[float(one.count)] for one in parts])
    yield Derivation(
        Key.of(part.subject, "line_ripple_current", **dict(key.at)),
        {"ripple": Key.of(INPUT, "bulk_ripple_current", mains=mains), **capacitances}, by_capacitance, SHARED,
        {"counts": counts},
    )  # fmt: skip
    offer = layout.strongest_offer
    transformer = next(iter(layout.parts("transformer")), None)
    if offer is None or transformer is None:
        return
    cycle = flyback.quasi_resonant_cycle
    primary = Key.of(PRIMARY, "primary_current", mains=mains, offer=offer[1])
    needs: dict[str, Need] = {
        "bulk_voltage": Key.of(INPUT, "valley_voltage", mains=mains),
        "turns_ratio": Key.of(transformer.subject, "turns_ratio"),
        "magnetising_inductance": Key.of(transformer.subject, "magnetising_inductance"),
        "drain_capacitance": Key.of(PRIMARY, "drain_capacitance"),
        "rectifier_drop": Key.of(SECONDARY, "forward_voltage"),
    }
    fixed = {"output_voltage": offer[1], "output_current": offer[2]}
    valleys = circuit(layout).endswith("flyback") and np.isnan(clock(layout))
    if mains != layout.lowest_mains and valleys:
        note = "lossless, first valley, at the bulk valley"
        yield Derivation(primary, needs, cycle, cycle.source, fixed, pick="primary_current", note=note)
    choke = next(iter(layout.parts("differential_choke")), None)
    before, behind = sides(parts) if choke is not None else ((), parts)
    switching: dict[str, Need] = {
        "primary": primary, "power": Key.of(INPUT, "input_power", mains=mains),
        "voltage": Key.of(INPUT, "valley_voltage", mains=mains), "own": capacitances["own"],
        "side": part_keys(before if part in before else behind, "capacitance"),
    }  # fmt: skip
    if choke is not None and before and behind:
        switching["other"] = part_keys(behind if part in before else before, "capacitance")
        switching["inductance"] = Key.of(choke.subject, "inductance")
    if layout.parts("pfc_inductor"):
        switching["boost"] = Key.of("stage:pfc", "boost_capacitor_current", mains=mains)
        switching["line"] = Key.of(INPUT, "bulk_ripple_current", mains=mains)
    yield Derivation(
        Key.of(part.subject, "switching_ripple_current", **dict(key.at)), switching, across_the_choke, SHARED,
        {"is_far": part in before}, note="at full load and the bulk valley",
    )  # fmt: skip


def sides(parts: tuple[Part, ...]) -> tuple[tuple[Part, ...], tuple[Part, ...]]:
    """Bulk capacitors before and behind the choke: as their notes say, else the smallest stands before it."""
    before = tuple(part for part in parts if "before" in part.note.casefold())
    if not before and len(parts) > 1:
        before = parts[:1]
    return before, tuple(part for part in parts if part not in before)


def _output(layout: Layout, part: Part, key: Key) -> Iterator[Derivation]:
    offer = layout.strongest_offer
    if offer is None:
        return
    parts = layout.parts("output_capacitor")
    needs: dict[str, Need] = {
        "ripple": Key.of(SECONDARY, "output_ripple_current", mains=layout.lowest_mains, offer=offer[1]),
        "own": Key.of(part.subject, "capacitance"), "all_of_them": part_keys(parts, "capacitance"),
    }  # fmt: skip
    counts = np.array([[float(one.count)] for one in parts])
    yield Derivation(
        Key.of(part.subject, "switching_ripple_current", **dict(key.at)), needs, by_capacitance, SHARED,
        {"counts": counts}, note="at full load and the lowest mains",
    )  # fmt: skip


def _ripples(part: Part, key: Key) -> dict[str, Need]:
    """The ripple currents of a capacitor, and what its rating is at the switching frequency."""
    at, subject = dict(key.at), part.subject
    needs: dict[str, Need] = {
        "rated_ripple_current": Key.of(subject, "rated_ripple_current"),
        "switching": Key.of(subject, "switching_ripple_current", **at),
    }  # fmt: skip
    if part.role == "bulk_capacitor":
        needs["line"] = Key.of(subject, "line_ripple_current", **at)
        needs["frequency_factor"] = Key.of(INPUT, "ripple_frequency_factor")
    return needs


def _life(part: Part, key: Key) -> Derivation:
    needs: dict[str, Need] = _ripples(part, key) | {
        "rated_life": Key.of(part.subject, "rated_life"), "case": key,
        "rated_temperature": Key.of(part.subject, "rated_temperature"),
        "core_over_case": Key.of(INPUT, "core_over_case"),
    }  # fmt: skip
    source = lifetime.life_rubycon.source
    note = f"ripple formula, {RATED_RISE:g} K at the rated ripple; the air is as warm as the case less its rise"
    return Derivation(Key.of(part.subject, "ripple_life", **dict(key.at)), needs, life_with_ripple, source, note=note)


def _used(part: Part, key: Key) -> Derivation:
    gives = Key.of(part.subject, "rating_used", **{**dict(key.at), "state": "ripple current"})
    source = cite("algebra", "ripple at both frequencies as one at the rated frequency", "C")
    return Derivation(gives, _ripples(part, key), ripple_used, source)


def by_capacitance(*, ripple: Array, own: Array, all_of_them: Array, counts: Array) -> Array:
    """A; the part of one capacitor."""
    return np.asarray(ripple * own / (all_of_them * counts).sum(axis=0))


def across_the_choke(
    *, primary: Array, power: Array, voltage: Array, own: Array, side: Array, is_far: bool,
    other: Array | None = None, inductance: Array | None = None, boost: Array | None = None, line: Array | None = None,
) -> Array:  # fmt: skip
    """A; the converter's alternating current, the side's part of it, and the capacitor's part of the side.

    What a boost stage drives in at its own frequency is added as unrelated: its ripple less that of the line.
    """
    alternating = np.sqrt(np.maximum(primary**2 - (power / voltage) ** 2, 0.0))
    if boost is not None and line is not None:
        alternating = np.hypot(alternating, np.sqrt(np.maximum(boost**2 - line**2, 0.0)))
    part = np.ones_like(alternating)
    if other is not None and inductance is not None:
        near, far = (other, side) if is_far else (side, other)
        away = np.asarray(
            far_share(
                near_capacitance=near.sum(axis=0),
                near_resistance=0.0,
                far_capacitance=far.sum(axis=0),
                far_resistance=0.0,
                choke_inductance=inductance,
                frequency=SWITCHING,
            )
        )
        part = away if is_far else 1 - away
    return np.asarray(alternating * part * own / side.sum(axis=0))


def life_with_ripple(
    *, rated_life: Array, rated_temperature: Array, case: Array, rated_ripple_current: Array, core_over_case: Array,
    switching: Array, line: Array | float = 0.0, frequency_factor: Array | float = 1.0,
) -> Array:  # fmt: skip
    """s; the ripple at both frequencies as one at the rated frequency."""
    ripple = rated_ripple_current * ripple_used(
        switching=switching, line=line, frequency_factor=frequency_factor, rated_ripple_current=rated_ripple_current
    )
    rise = RATED_RISE * (ripple / rated_ripple_current) ** 2
    return np.asarray(
        lifetime.life_rubycon(
            rated_life=rated_life,
            rated_temperature=rated_temperature,
            temperature=case - rise / core_over_case,
            ripple_current=ripple,
            rated_ripple_current=rated_ripple_current,
            rated_core_rise=RATED_RISE,
        )
    )


def ripple_used(
    *, switching: Array, rated_ripple_current: Array, line: Array | float = 0.0, frequency_factor: Array | float = 1.0
) -> Array:
    """The share of the rated ripple current, that at the switching frequency by what it heats at the rated one."""
    return np.asarray(np.hypot(line, switching / frequency_factor) / rated_ripple_current)
