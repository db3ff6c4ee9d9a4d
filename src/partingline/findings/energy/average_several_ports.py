"""Several ports at once, loaded by the derated currents of the US method, reach the average efficiency of Level VI."""

from collections.abc import Iterator

import numpy as np

from partingline.facts.show import subject_text
from partingline.findings.derated import FACTOR, PortLoad, port_loads
from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.findings.supplied import US, dated, nameplate_power, test_points
from partingline.model import Fact, Finding
from partingline.sources import cite


@rule(
    id="energy.average_several_ports",
    claim="With all ports loaded at once, the average efficiency at 115 V reaches US Level VI.",
    source=cite("us-10cfr430-32", "(w)(1)(ii), multiple-voltage; loads by appendix Z, 5(a)(1)(iv)", "S2"),
)
def average_several_ports(judge: Judge) -> Iterator[Finding]:
    """One finding a combination that was swept at 100, 75, 50 and 25 % at 115 V, for a unit of the limit's time."""
    if not US.in_force(dated(judge.unit, judge.book)[0]):
        return
    points = test_points(judge)
    if not points:
        return
    power = nameplate_power(judge, points)
    limit = US.limit("average", "multiple-voltage")
    least = float(limit(power))
    for fact in judge.book.find("average_efficiency", "ports:", mains=US.mains):
        if np.isnan(least):
            return
        strays = [load for load in port_loads(judge, fact) if load.surely_off]
        if strays:
            yield _otherwise(judge, fact, max(strays, key=lambda load: load.off))
            continue
        known = judge.book.fact(FACTOR) is not None
        tail = " The method loads each port with its rated current times {factor}." if known else ""
        yield judge.at_least(
            fact.key,
            least,
            "With {ports} loaded at once, the average efficiency at {mains} mains is {value}; {programme} asks {limit} "
            "for {power}, multiple voltages." + tail,
            label=US.label,
            source=limit.citation,
            next_step="Repeat the sweep with meters of smaller uncertainty, or on their best ranges.",
            ports=subject_text(fact.key.subject),
            mains=(US.mains, "input_voltage"),
            programme=US.name,
            power=(power, "output_power"),
            **({"factor": FACTOR} if known else {}),
        )


def _otherwise(judge: Judge, fact: Fact, stray: PortLoad) -> Finding:
    """An average over other loads than those of the method decides nothing."""
    return judge.undecided(
        "With {ports} loaded at once, the average efficiency at {mains} mains is {value}, but not at the method's "
        "loads: {port} drew {drawn} at {share} load instead of {asked}.",
        subject=fact.key.subject,
        used=[fact.key, stray.drawn.key],
        next_step="Repeat the sweep with each port's rated current times the derating factor, no more than it offers "
        "beside the others, times the load.",
        ports=subject_text(fact.key.subject),
        mains=(US.mains, "input_voltage"),
        value=fact.key,
        port=stray.port,
        drawn=stray.drawn.key,
        share=f"{stray.load * 100:g}\u202f%",
        asked=(stray.asked, "output_current"),
    )
