"""Whether every stage that the parts show has what it cannot do its work without."""

from collections.abc import Iterator

from partingline.facts.statements.topology import unit_topology
from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="stage.stages_complete",
    claim="Every stage in the part list has the parts that it cannot work without.",
    source=cite("common-practice", "what a mains converter is made of; a part list can miss a part", "P"),
)
def stages_complete(judge: Judge) -> Iterator[Finding]:
    """One finding a stage; silent where no part has a role."""
    seen = unit_topology(judge.unit)
    for stage in seen.stages:
        lacking = [one for one in seen.missing if one.stage == stage.subject]
        for one in lacking:
            yield judge.decided(
                False,
                "No part of the list is {what}, although {why} ({reason}).",
                subject=stage.subject,
                next_step=f"Look for {one.what} on the board, or give a listed part the role '{one.role}'.",
                what=one.what,
                why=one.why,
                reason=stage.reason or stage.kind,
            )
        if not lacking:
            yield judge.decided(
                True,
                "The parts make a {kind}: {reason}.",
                subject=stage.subject,
                kind=stage.kind,
                reason=stage.reason or "by their roles",
            )
