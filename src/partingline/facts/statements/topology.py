"""The stages of a power supply from the roles of its parts, with the reasons, and what each stage lacks."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from partingline.model import Part


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage: its name, what kind of circuit it is, its parts in the order of the list, and why."""

    name: str
    kind: str
    parts: tuple[Part, ...]
    reason: str


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

    def stage(self, name: str) -> Stage | None:
        """A stage by its name."""
        return next((stage for stage in self.stages if stage.name == name), None)


INPUT_ROLES = (
    "fuse", "varistor", "inrush_limiter", "x_capacitor", "x_discharge", "common_mode_choke", "differential_choke",
    "bridge", "bulk_capacitor",
)  # fmt: skip
CONVERTER_ROLES = ("primary_controller", "primary_switch", "primary_sense", "clamp", "transformer", "feedback_isolator")
OUTPUT_ROLES = ("rectifier", "rectifier_controller", "output_capacitor")
BUCK_ROLES = ("buck_switch", "buck_inductor")
NEEDED = {
    "input": (
        ("bridge", "a bridge rectifier", "bulk capacitors hold direct voltage"),
        ("bulk_capacitor", "a bulk capacitor", "a bridge feeds a converter"),
        ("common_mode_choke", "a common-mode choke", "a switching converter hangs on the mains"),
        ("x_capacitor", "an X capacitor", "a switching converter hangs on the mains"),
    ),
    "converter": (
        ("primary_switch", "a primary switch", "a transformer is driven"),
        ("primary_controller", "a primary controller", "a switch is driven"),
        ("transformer", "a transformer", "a primary switch drives one"),
        ("clamp", "a clamp", "the leakage inductance of a transformer drives the drain up at turn-off"),
    ),
    "output": (
        ("rectifier", "a secondary rectifier", "a transformer feeds an output"),
        ("output_capacitor", "an output capacitor", "the rectified current comes in pulses"),
    ),
    "buck": (
        ("buck_inductor", "a buck inductor", "a buck switch is there"),
        ("buck_switch", "a buck switch", "a buck inductor is there"),
    ),
}
"""Role, name and reason of what a stage that is there needs. Fuse, inrush limiter, discharge, insulation and output
switch have rules of their own."""
INTEGRATED = {"primary_switch": "primary_controller", "clamp": "primary_switch", "buck_switch": "buck_controller"}


def topology(parts: Iterable[Part]) -> Topology:
    """The stages that the roles tell. A part without a role belongs to none."""
    listed = tuple(parts)
    stages = tuple(_stages(listed))
    return Topology(stages, tuple(_missing(stages, listed)))


def in_parallel(part: Part, parts: Iterable[Part]) -> bool:
    """Whether several equal parts do one job: more than one behind a ref, or the same number and role twice."""
    twins = [
        one for one in parts if one.ref != part.ref and one.role == part.role and one.part_number == part.part_number
    ]
    series = "series" in part.note.casefold()
    return (part.count > 1 or bool(part.part_number and twins)) and not series


def _stages(parts: tuple[Part, ...]) -> Iterator[Stage]:
    roles = {part.role for part in parts}
    if front := _of(parts, INPUT_ROLES):
        bulk = [part for part in front if part.role == "bulk_capacitor"]
        split = len(bulk) > 1 and "differential_choke" in roles
        kind = "capacitor-input rectifier" + (" with a choke between its capacitors" if split else "")
        yield Stage("input", kind, front, _because(front, ("bridge", "bulk_capacitor", "differential_choke")))
    if converter := _of(parts, CONVERTER_ROLES):
        reason = _because(converter, ("primary_switch", "transformer", "clamp"))
        yield Stage("converter", _converter_kind(converter), converter, reason)
    if output := _of(parts, OUTPUT_ROLES):
        rectifiers = [part for part in output if part.role == "rectifier"]
        synchronous = any(part.kind == "transistor" for part in rectifiers)
        kind = "synchronous rectifier" if synchronous else "diode rectifier" if rectifiers else "output filter"
        yield Stage("output", kind, output, _because(output, ("rectifier", "rectifier_controller")))
    if buck := _of(parts, BUCK_ROLES):
        yield Stage("buck", "buck converter of a further port", buck, _because(buck, BUCK_ROLES))


def _converter_kind(parts: tuple[Part, ...]) -> str:
    switches = sum(part.count for part in parts if part.role == "primary_switch")
    clamps = [part for part in parts if part.role == "clamp"]
    if switches >= 2 and not clamps:
        return "half bridge"
    if any(part.kind == "transistor" for part in clamps):
        return "active-clamp flyback"
    told = " ".join(part.note for part in parts).casefold()
    if "valley" in told or "quasi" in told:
        return "quasi-resonant flyback"
    return "flyback" if clamps or switches == 1 else "isolated converter"


def _missing(stages: tuple[Stage, ...], parts: tuple[Part, ...]) -> Iterator[Missing]:
    roles = {part.role for part in parts}
    there = {stage.name: stage for stage in stages}
    for name, needed in NEEDED.items():
        if name not in there:
            continue
        for role, what, why in needed:
            if role in roles or _inside(role, there[name], parts):
                continue
            yield Missing(name, role, what, why)


def _inside(role: str, stage: Stage, parts: tuple[Part, ...]) -> bool:
    """Whether another part does it: a controller with its switch inside, a half bridge that needs no clamp."""
    if role == "clamp" and stage.kind == "half bridge":
        return True
    host = INTEGRATED.get(role, "")
    words = ("integrated", "inside", "internal", "with switch")
    return any(part.role == host and any(word in part.note.casefold() for word in words) for part in parts)


def _of(parts: tuple[Part, ...], roles: tuple[str, ...]) -> tuple[Part, ...]:
    return tuple(part for part in parts if part.role in roles)


def _because(parts: tuple[Part, ...], roles: tuple[str, ...]) -> str:
    """`bridge BR1, bulk capacitor C3 and C4`: the parts that decide."""
    said = []
    for role in roles:
        refs = [part.ref if part.count == 1 else f"{part.count} × {part.ref}" for part in parts if part.role == role]
        if refs:
            said.append(f"{role.replace('_', ' ')} {', '.join(refs)}")
    return "; ".join(said)
