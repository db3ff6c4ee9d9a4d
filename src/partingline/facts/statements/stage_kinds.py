"""What the part list tells of the stages, as statements: the kind of circuit, and how the switch is run."""

from collections.abc import Iterable, Iterator, Sequence

from partingline.facts.statements.circuits import mode_told
from partingline.facts.statements.topology import PRIMARY, unit_topology
from partingline.model import Basis, Key, Number, Part, Route, Statement, Text, Unit
from partingline.sources import cite

MOVES, STAYS = 1.10, 1.03
"""Ratio of two frequencies at the same load and different mains: from valley to valley it moves by more than the
first, on a clock by less than the second."""
_BASIS = Basis("topology from the part list", str(cite("common-practice", "what circuits are made of", "P")))
_CLOCK = str(cite("common-practice", "a clock does not move with the mains", "P"))


def stage_statements(unit: Unit, statements: Iterable[Statement]) -> Iterator[Statement]:
    """The circuit of each stage with its reason, and the mode of the primary by its controller's note and by the
    frequencies that were measured."""
    for stage in unit_topology(unit).stages:
        evidence = tuple(part.evidence for part in stage.parts)
        key = Key.of(stage.subject, "circuit")
        yield Statement(key, Text(stage.kind), Route.COMPUTED, evidence=evidence, note=stage.reason, basis=_BASIS)
    yield from _told(unit.parts)
    yield from _seen(tuple(statements))


def _told(parts: Sequence[Part]) -> Iterator[Statement]:
    controllers = tuple(part for part in parts if part.role == "primary_controller")
    mode, word = mode_told(controllers)
    if mode:
        evidence, note = tuple(part.evidence for part in controllers), f"'{word}' in the controller's note"
        yield Statement(Key.of(PRIMARY, "mode"), Text(mode), Route.COMPUTED, evidence=evidence, note=note, basis=_BASIS)


def _seen(statements: tuple[Statement, ...]) -> Iterator[Statement]:
    """Frequencies at one load and offer, and two or more mains voltages."""
    by_load: dict[tuple[object, ...], dict[float, Statement]] = {}
    for said in statements:
        at = dict(said.key.at)
        if said.key.quantity != "switching_frequency" or said.key.subject != PRIMARY or "mains" not in at:
            continue
        if isinstance(said.value, Number) and isinstance(mains := at.pop("mains"), float) and at.get("load") == 1.0:
            by_load.setdefault(tuple(sorted(at.items())), {})[mains] = said
    for seen in by_load.values():
        if len(seen) > 1 and (found := _by_frequency(seen)) is not None:
            yield found
            return


def _by_frequency(seen: dict[float, Statement]) -> Statement | None:
    """`seen` by mains voltage; None where the frequencies leave it open."""
    frequencies = [said.value.value for said in seen.values() if isinstance(said.value, Number)]
    ratio = max(frequencies) / min(frequencies)
    mode = "valley switching" if ratio > MOVES else "fixed frequency" if ratio < STAYS else ""
    if not mode:
        return None
    span = f"{min(frequencies) / 1e3:.0f} to {max(frequencies) / 1e3:.0f} kHz"
    return Statement(
        Key.of(PRIMARY, "mode"), Text(mode), Route.COMPUTED,
        evidence=tuple(one for said in seen.values() for one in said.evidence),
        note=f"{span} over {min(seen):g} to {max(seen):g} V mains at full load",
        basis=Basis("mode from measured frequencies", _CLOCK, tuple(said.key for said in seen.values())),
    )  # fmt: skip
