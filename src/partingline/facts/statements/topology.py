"""The stages of a power supply from the roles of its parts, with the reasons, and what each stage lacks."""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from partingline.facts.statements.circuits import (
    Circuit,
    boost_circuit,
    converter_circuit,
    input_circuit,
    integrated,
    output_circuit,
)
from partingline.model import Part, Unit
from partingline.sources import roles


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage: its subject in the facts, what kind of circuit it is, its parts in the order of the list, and why.

    `modelled` tells whether the stage's currents and losses can be computed.
    """

    subject: str
    kind: str
    parts: tuple[Part, ...]
    reason: str
    modelled: bool = True


@dataclass(frozen=True, slots=True)
class Missing:
    """A part that a stage cannot do its work without, and what speaks for it."""

    stage: str
    role: str
    what: str
    why: str


@dataclass(frozen=True, slots=True)
class Topology:
    """The stages in the order of the power flow, and what is missing from the part list."""

    stages: tuple[Stage, ...]
    missing: tuple[Missing, ...]

    def stage(self, subject: str) -> Stage | None:
        """A stage by its subject, as `stage:primary`."""
        return next((stage for stage in self.stages if stage.subject == subject), None)


INPUT, PFC, PRIMARY, SECONDARY = "stage:input", "stage:pfc", "stage:primary", "stage:secondary"
INPUT_ROLES = (
    "fuse", "varistor", "inrush_limiter", "x_capacitor", "x_discharge", "common_mode_choke", "differential_choke",
    "bridge", "bulk_capacitor",
)  # fmt: skip
PFC_ROLES = ("pfc_controller", "pfc_switch", "pfc_inductor", "pfc_rectifier")
CONVERTER_ROLES = (
    "primary_controller", "supply_capacitor", "primary_switch", "primary_sense", "clamp", "resonant_capacitor",
    "transformer", "feedback_isolator",
)  # fmt: skip
OUTPUT_ROLES = ("rectifier", "rectifier_controller", "output_capacitor")
BUCK_ROLES = ("buck_switch", "buck_inductor")
NEEDED = {
    INPUT: (
        ("bridge", "a bridge rectifier", "bulk capacitors hold direct voltage"),
        ("bulk_capacitor", "a bulk capacitor", "a bridge feeds a converter"),
        ("common_mode_choke", "a common-mode choke", "a switching converter hangs on the mains"),
        ("x_capacitor", "an X capacitor", "a switching converter hangs on the mains"),
    ),
    PFC: (
        ("pfc_inductor", "a boost inductor", "a boost stage stands in front"),
        ("pfc_switch", "a boost switch", "a boost stage stands in front"),
        ("pfc_rectifier", "a boost diode", "a boost stage feeds the bulk capacitor"),
        ("pfc_controller", "a power factor controller", "a boost switch is driven"),
    ),
    PRIMARY: (
        ("primary_switch", "a primary switch", "a transformer is driven"),
        ("primary_controller", "a primary controller", "a switch is driven"),
        ("transformer", "a transformer", "a primary switch drives one"),
        ("clamp", "a clamp", "the leakage inductance of a transformer drives the drain up at turn-off"),
    ),
    SECONDARY: (
        ("rectifier", "a secondary rectifier", "a transformer feeds an output"),
        ("output_capacitor", "an output capacitor", "the rectified current comes in pulses"),
    ),
    "stage:buck": (
        ("buck_inductor", "a buck inductor", "a buck switch is there"),
        ("buck_switch", "a buck switch", "a buck inductor is there"),
    ),
}
"""Role, name and reason of what a stage that is there needs. Fuse, inrush limiter, discharge, insulation and output
switch have rules of their own."""
_SERIES = ("x_discharge", "output_switch", "y_capacitor", "fuse", "inrush_limiter")
"""Roles whose parts stand in series where there are several."""


def topology(parts: Iterable[Part], ports: Iterable[str] = ()) -> Topology:
    """The stages that the roles tell. A part without a role belongs to none; `ports` are the names that buck stages
    may be told by."""
    listed = tuple(parts)
    stages = tuple(_stages(listed, tuple(ports)))
    return Topology(stages, tuple(_missing(stages, listed)))


def unit_topology(unit: Unit) -> Topology:
    """The stages of a unit. Where no mains come in only the buck stages of a dock are known; the converter of a power
    bank runs both ways and is none of these."""
    seen = topology(unit.parts, [port.id for port in unit.ports])
    if unit.fed_by_mains:
        return seen
    known = unit.kind == "dock"
    return Topology(
        tuple(one for one in seen.stages if known and one.subject.startswith("stage:buck")),
        tuple(one for one in seen.missing if known and one.stage.startswith("stage:buck")),
    )


def in_parallel(part: Part, parts: Iterable[Part]) -> bool:
    """Whether several equal parts do one job: more than one behind a ref, or the same number and role twice."""
    return len(parallel_to(part, parts)) > 1 or (part.count > 1 and not _in_series(part))


def parallel_to(part: Part, parts: Iterable[Part]) -> tuple[Part, ...]:
    """The part itself and those that stand in parallel to it: of one role, kind and stage, and of the same number.

    Bulk capacitors on either side of a choke are told apart by their notes.
    """
    alike = [one for one in parts if (one.role, one.kind, one.stage) == (part.role, part.kind, part.stage)]
    same = [one for one in alike if one.part_number == part.part_number and part.part_number and not _in_series(one)]
    return tuple(same) if part in same else (part,)


def _in_series(part: Part) -> bool:
    words = ("series", "choke") if part.role == "bulk_capacitor" else ("series",)
    return part.role in _SERIES or any(word in part.note.casefold() for word in words)


def _stages(parts: tuple[Part, ...], ports: tuple[str, ...]) -> Iterator[Stage]:
    boosted = bool(_of(parts, PFC_ROLES))
    if front := _of(parts, INPUT_ROLES):
        circuit = input_circuit(parts, boosted=boosted)
        yield _stage(INPUT, circuit, front, ("bridge", "bulk_capacitor", "differential_choke"))
    if boost := _of(parts, PFC_ROLES):
        yield _stage(PFC, boost_circuit(boost), boost, ("pfc_inductor", "pfc_switch", "pfc_rectifier"))
    if converter := _of(parts, CONVERTER_ROLES):
        deciding = ("primary_switch", "transformer", "clamp", "resonant_capacitor")
        yield _stage(PRIMARY, converter_circuit(converter), converter, deciding)
    if output := _of(parts, OUTPUT_ROLES):
        yield _stage(SECONDARY, output_circuit(output), output, ("rectifier", "rectifier_controller"))
    bucks = _of(parts, BUCK_ROLES)
    for port in dict.fromkeys(_port(part, ports) for part in bucks):
        own = tuple(part for part in bucks if _port(part, ports) == port)
        circuit = Circuit(f"buck converter of port {port}" if port else "buck converter of a further port")
        yield _stage(f"stage:buck-{port}" if port else "stage:buck", circuit, own, BUCK_ROLES)


def _stage(subject: str, circuit: Circuit, parts: tuple[Part, ...], deciding: tuple[str, ...]) -> Stage:
    reason = "; ".join(filter(None, (_because(parts, deciding), circuit.because)))
    return Stage(subject, circuit.kind, parts, reason, circuit.modelled)


def _port(part: Part, ports: Sequence[str]) -> str:
    words = re.split(r"\W+", f"{part.stage} {part.board} {part.note}".casefold())
    return next((port for port in ports if port.casefold() in words), "")


def _missing(stages: tuple[Stage, ...], parts: tuple[Part, ...]) -> Iterator[Missing]:
    for stage in stages:
        needed = NEEDED["stage:buck" if stage.subject.startswith("stage:buck") else stage.subject]
        own = {part.role for part in (stage.parts if stage.subject.startswith("stage:buck") else parts)}
        for role, what, why in needed:
            if role not in own and not integrated(role, stage.kind, parts):
                yield Missing(stage.subject, role, what, why)


def _of(parts: tuple[Part, ...], wanted: tuple[str, ...]) -> tuple[Part, ...]:
    return tuple(part for part in parts if part.role in wanted)


def _because(parts: tuple[Part, ...], wanted: tuple[str, ...]) -> str:
    """`bridge BR1, bulk capacitor C3 and C4`: the parts that decide, and which of them stand in parallel."""
    said = []
    for role in wanted:
        own = [part for part in parts if part.role == role]
        groups = list(dict.fromkeys(parallel_to(part, own) for part in own))
        if groups:
            said.append(f"{roles()[role].name} {_and([_group(group) for group in groups])}")
    return ", ".join(said)


def _group(parts: tuple[Part, ...]) -> str:
    refs = _and([part.ref if part.count == 1 else f"{part.count} × {part.ref}" for part in parts])
    return f"{refs} in parallel" if in_parallel(parts[0], parts) else refs


def _and(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
