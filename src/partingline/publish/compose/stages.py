"""The block diagram: stages and ports from the roles of the parts, with the kind of circuit and what was not found."""

import re
from collections.abc import Iterator

from partingline.facts import Book
from partingline.facts.show import show_value
from partingline.facts.statements.circuits import integrated
from partingline.facts.statements.parts import MAIN
from partingline.facts.statements.topology import Topology, parallel_to, unit_topology
from partingline.model import Key, Number, Part, Port, Text, Unit
from partingline.publish.document import Drawing, Figure, plain
from partingline.publish.figures import Stage, StagePart, block_diagram
from partingline.publish.figures.blocks import Side
from partingline.sources import roles

EXPECTED = (
    "fuse", "inrush_limiter", "x_capacitor", "bridge", "bulk_capacitor", "primary_switch", "transformer",
    "feedback_isolator", "y_capacitor", "rectifier", "output_capacitor", "output_switch", "protocol_controller",
)  # fmt: skip
"""Roles that a reader looks for in a USB-C charger (common practice, no source)."""

STAGES: dict[str, tuple[str, Side]] = {
    "input": ("Mains input", "primary"),
    "pfc": ("Boost in front", "primary"),
    "primary": ("Primary", "primary"),
    "barrier": ("Across the barrier", "barrier"),
    "secondary": ("Rectifier and output", "secondary"),
    "output": ("Output", "secondary"),
}
"""Name and side of each stage of the part list."""


_FED_LOW = {"input": "Input", "secondary": "Inside"}
"""Names of the stages where no mains come in; there is then no side to be told apart."""


def diagram(unit: Unit, book: Book) -> Figure | None:
    """Stages in the direction of power, then a box for each port with the parts that its name stands beside; None
    where no part belongs to one."""
    seen = unit_topology(unit)
    stages = [*_stages(unit, book, seen), *_ports(unit, book)]
    if not stages:
        return None
    caption = "Stages as the roles of the parts give them; ∥: in parallel. Hollow: looked for and not in the part list."
    alt = "; ".join(
        f"{stage.name}{f' ({stage.kind})' if stage.kind else ''}: "
        f"{', '.join(f'{p.ref} {p.role}'.strip() for p in stage.parts)}"
        for stage in stages
    )
    return Figure("figure-blocks", "Block diagram", Drawing(block_diagram(stages)), plain(caption), alt)


def stage_of(part: Part) -> str:
    """The stage that the part list tells, or that of the part's role."""
    stage = part.stage.casefold()
    return stage if stage in STAGES else (roles()[part.role].stage if part.role else "")


def refs_text(part: Part) -> str:
    """`R11`, or `2 × R11`."""
    return part.ref if part.count == 1 else f"{part.count} × {part.ref}"


def role_text(part: Part) -> str:
    """What the part does, or what it is."""
    return roles()[part.role].name if part.role else part.kind


def _stages(unit: Unit, book: Book, seen: Topology) -> Iterator[Stage]:
    own = {port.id: _at(unit, port) for port in unit.ports}
    elsewhere = {part.ref for parts in own.values() for part in parts}
    for id_, (name, side) in STAGES.items():
        if not unit.fed_by_mains:
            name, side = _FED_LOW.get(id_, name), "secondary"
        from_ = ("secondary", "output") if id_ == "secondary" and elsewhere else (id_,)
        if id_ == "output" and elsewhere:
            continue
        chosen = [one for one in unit.parts if stage_of(one) in from_ and one.ref not in elsewhere]
        parts = _parts(chosen, book)
        absent = [role for stage in from_ for role in _absent(unit, seen, stage)]
        parts += [StagePart("", roles()[role].name, missing=True) for role in absent]
        if parts:
            yield Stage(name, side, tuple(parts), _circuit(book, f"stage:{id_}"))


def _absent(unit: Unit, seen: Topology, stage: str) -> tuple[str, ...]:
    filled = {part.role for part in unit.parts}
    kind = next((one.kind for one in seen.stages if one.subject == f"stage:{stage}"), "")
    looked_for = EXPECTED if unit.fed_by_mains else ()
    expected = [r for r in looked_for if roles()[r].stage == stage and r not in filled]
    expected = [r for r in expected if not integrated(r, kind, unit.parts)]
    lacking = [one.role for one in seen.missing if roles()[one.role].stage == stage]
    return tuple(dict.fromkeys([*expected, *lacking]))


def _ports(unit: Unit, book: Book) -> Iterator[Stage]:
    for port in unit.ports:
        if parts := _at(unit, port):
            kind = _circuit(book, f"stage:buck-{port.id}")
            yield Stage(f"Port {port.id}", "secondary", tuple(_parts(parts, book)), kind, branch=True)


def _at(unit: Unit, port: Port) -> list[Part]:
    """Parts of the output that the port's name stands beside, in marking or note."""
    chosen = []
    for part in unit.parts:
        words = re.split(r"\W+", f"{part.marking} {part.note}".casefold())
        if stage_of(part) == "output" and port.id.casefold() in words:
            chosen.append(part)
    return chosen


def _circuit(book: Book, subject: str) -> str:
    fact = book.fact(Key.of(subject, "circuit"))
    return fact.text if fact is not None and isinstance(fact.preferred.value, Text) else ""


def _parts(parts: list[Part], book: Book) -> list[StagePart]:
    """One line a part; parts in parallel share theirs."""
    groups = dict.fromkeys(parallel_to(part, parts) for part in parts)
    return [
        StagePart(" ∥ ".join(map(refs_text, group)), role_text(group[0]), _value(group[0], book)) for group in groups
    ]


def _value(part: Part, book: Book) -> str:
    quantities = (MAIN.get(part.kind, ""), "rated_voltage", "rated_ac_voltage", "safety_class", "isolation_voltage")
    facts = [book.fact(Key.of(part.subject, quantity)) for quantity in quantities if quantity]
    shown = [
        show_value(fact.value, fact.key.quantity) if isinstance(fact.preferred.value, Number) else fact.text
        for fact in facts
        if fact is not None
    ]
    return " ".join(dict.fromkeys(shown)) or part.marking
