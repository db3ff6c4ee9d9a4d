"""After it accepts a request, the source reports its supply ready in the time that a device waits."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="protocol.power_ready_delay",
    claim="The source reports its supply ready within 550 ms of accepting a request.",
    source=cite("zephyr-usbc", "tPSTransition, 450 to 550 ms in the standard power range", "S2"),
)
def power_ready_delay(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "power_ready_delay"):
        yield judge.at_most(
            fact.key,
            0.550,
            "The slowest change in the recording {name} takes {value} from Accept to PS_RDY; "
            "a device waits {limit} at most, some only 450 ms.",
            name=name,
        )
