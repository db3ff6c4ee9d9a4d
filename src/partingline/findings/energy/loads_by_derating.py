"""Each of several ports was loaded with its derated share of the rated current at every load point."""

from collections.abc import Iterator, Sequence
from typing import Any

from partingline.facts.show import show_value, subject_text
from partingline.findings.derated import FACTOR, HELD, PortLoad, port_loads
from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.findings.supplied import US
from partingline.model import Finding, Verdict
from partingline.sources import cite


@rule(
    id="energy.loads_by_derating",
    claim="With several ports loaded at once, each drew its rated current times the derating factor times the load.",
    source=cite("us-10cfr430-appz", "s. 5(a)(1)(iv): I × D; each current within ±0.5 %", "S"),
)
def loads_by_derating(judge: Judge) -> Iterator[Finding]:
    """One finding a combination that was swept at 100, 75, 50 and 25 %: of the port and load that strays furthest."""
    for together in judge.book.find("average_efficiency", "ports:", mains=US.mains):
        ports = subject_text(together.key.subject)
        if judge.book.fact(FACTOR) is None:
            yield judge.lacks(
                "{ports} were loaded at once; what current the method asks of each is not known without the power that "
                "the label prints for each port and for all together.",
                subject=together.key.subject,
                missing=[FACTOR],
                next_step="Note the label's power of each port and of all ports together.",
                ports=ports,
            )
            continue
        loads = tuple(port_loads(judge, together))
        if not loads:
            continue
        yield _judged(judge, ports, max(loads, key=lambda one: one.off), loads)


def _judged(judge: Judge, ports: str, worst: PortLoad, loads: Sequence[PortLoad]) -> Finding:
    """The load is set by whoever tests: a wrong one is no fault of the unit, it only leaves the question open."""
    sentence = (
        "Of {count} port currents with {ports} loaded at once, the one furthest off is {value} of {port} at "
        "{share} load; the method asks {asked}: {rated} times {factor} times the load"
    )
    sentence += "." if worst.offered is None else ", no more than the {offered} that it offers beside the others."
    said: dict[str, Any] = {
        "count": len(loads),
        "ports": ports,
        "port": worst.port,
        "share": f"{worst.load * 100:g}\u202f%",
        "asked": (worst.asked, "output_current"),
        "rated": (worst.rated, "output_current"),
        "factor": FACTOR,
        "offered": (worst.offered or 0.0, "output_current"),
    }
    finding = judge.between(
        worst.drawn.key,
        (1 - HELD) * worst.asked,
        (1 + HELD) * worst.asked,
        sentence,
        label="±0.5 %",
        next_step="Repeat with the load set to that current, read by a meter of smaller uncertainty.",
        **said,
    )
    if finding.verdict is not Verdict.FALLS_SHORT:
        return finding
    full = {one.port: show_value(one.asked / one.load, "output_current") for one in loads}
    currents = ", ".join(f"{port} at {current}" for port, current in full.items())
    return judge.undecided(
        sentence,
        subject=finding.subject,
        used=finding.used,
        next_step=f"Repeat at these currents for full load: {currents}; then at 75, 50 and 25\u202f% of each.",
        **{**said, "value": worst.drawn.key},
    )
