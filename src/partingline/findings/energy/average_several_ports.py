"""Several ports at once, loaded by the derated currents of the US method, reach the average efficiency of Level VI."""

from collections.abc import Iterator

import numpy as np

from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.findings.supplied import US, nameplate_power, test_points
from partingline.model import Finding, Key
from partingline.sources import cite


@rule(
    id="energy.average_several_ports",
    claim="With all ports loaded at once, the average efficiency at 115 V reaches US Level VI.",
    source=cite("us-10cfr430-32", "(w)(1)(ii), multiple-voltage; loads by appendix Z, 5(a)(1)(iv)", "S2"),
)
def average_several_ports(judge: Judge) -> Iterator[Finding]:
    """One finding a combination that was swept at 100, 75, 50 and 25 % at 115 V."""
    points = test_points(judge)
    if not points:
        return
    power = nameplate_power(judge, points)
    limit = US.limit("average", "multiple-voltage")
    least = float(limit(power))
    for fact in judge.book.find("average_efficiency", "ports:", mains=US.mains):
        if np.isnan(least):
            return
        factor = Key.of("unit", "derating_factor")
        known = judge.book.fact(factor) is not None
        tail = " The method loads each port with its rated current times {factor}." if known else ""
        yield judge.at_least(
            fact.key,
            least,
            "With {ports} loaded at once, the average efficiency at {mains} mains is {value}; {programme} asks {limit} "
            "for {power}, multiple voltages." + tail,
            label=US.label,
            source=limit.citation,
            next_step="Repeat the sweep with meters of smaller uncertainty, or on their best ranges.",
            ports=fact.key.subject.partition(":")[2].replace("+", " and "),
            mains=(US.mains, "input_voltage"),
            programme=US.name,
            power=(power, "output_power"),
            **({"factor": factor} if known else {}),
        )
