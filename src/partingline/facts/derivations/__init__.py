"""What follows from what: one file a domain, each giving derivations for the ports, parts and conditions there are.

A new domain is one new file with a `derive(layout)` and its name in `DOMAINS`.
"""

from collections.abc import Iterable, Iterator

from partingline.facts.derivation import Derivation
from partingline.facts.derivations import (
    barrier,
    body,
    cable,
    carried,
    case_heat,
    converter,
    dock,
    energy,
    heat,
    input_stage,
    junctions,
    life_ripple,
    margins,
    ports,
    power_stage,
    stage_buck,
    stage_inference,
    stage_line,
    stage_pfc,
    stage_windings,
    storage,
    sweeps,
    trade,
)
from partingline.facts.derivations.layout import Layout
from partingline.model import Statement, Unit

DOMAINS = (
    ports,
    energy,
    sweeps,
    storage,
    body,
    input_stage,
    stage_line,
    stage_pfc,
    converter,
    trade,
    power_stage,
    stage_buck,
    stage_windings,
    stage_inference,
    life_ripple,
    margins,
    junctions,
    carried,
    case_heat,
    barrier,
    heat,
    dock,
    cable,
)


_OF_MAINS = (input_stage, stage_line, stage_pfc, converter)
"""What is only there where mains come in."""


def derivations(unit: Unit, statements: Iterable[Statement]) -> Iterator[Derivation]:
    """Every derivation that the unit's ports, parts and statements call for."""
    layout = Layout(unit, tuple(statements))
    for domain in DOMAINS:
        if unit.fed_by_mains or domain not in _OF_MAINS:
            yield from domain.derive(layout)
