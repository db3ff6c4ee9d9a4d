"""Whether something limits the current that charges the bulk capacitor when the unit is plugged in."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="parts.inrush_limited",
    claim="A thermistor or resistor limits the inrush current.",
    source=cite("common-practice", mark="P"),
    mains=True,
)
def inrush_limited(judge: Judge) -> Iterator[Finding]:
    """Speaks where the part list names bridge or bulk capacitor. A fusible resistor limits as well."""
    limiters = judge.unit.having("inrush_limiter") + tuple(
        part for part in judge.unit.having("fuse") if part.kind == "fusible resistor"
    )
    for part in limiters:
        yield judge.decided(True, "{ref} limits the inrush current.", subject=part.subject, ref=part.ref)
    if not limiters and (judge.unit.having("bridge") or judge.unit.having("bulk_capacitor")):
        yield judge.decided(
            False,
            "No thermistor or resistor is listed that limits the inrush current.",
            subject="stage:input",
            next_step="Look for a thermistor between fuse and bulk capacitor, or measure the inrush current.",
        )
