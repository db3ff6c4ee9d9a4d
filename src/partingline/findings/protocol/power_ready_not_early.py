"""The source gives the device time to lower its load before VBUS moves."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.power_ready_not_early",
    claim="The source reports a fixed supply ready no sooner than 25 ms after it accepts.",
    source=cite("chromiumos-ec", "tSrcTransition, 25 to 35 ms", "S2"),
)
def power_ready_not_early(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "shortest_power_ready_delay"):
        yield judge.at_least(
            fact.key,
            0.025,
            "The quickest change to a fixed supply in the recording {name} takes {value} from Accept to "
            "PS_RDY; {limit} is to pass before VBUS moves.",
            name=name,
        )
