"""After it accepts a request, the source reports its supply ready in the time that a device waits."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite

_LONGEST, _LONGEST_EXTENDED = 0.550, 1.020


@rule(
    id="protocol.power_ready_delay",
    claim="The source reports its supply ready within 550 ms of accepting a request, 1020 ms in the extended range.",
    source=cite("zephyr-usbc", "tPSTransition, 450 to 550 ms, and 830 to 1020 ms in the extended range", "S2"),
)
def power_ready_delay(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "power_ready_delay"):
        extended = fact.key.condition("range") == "extended"
        yield judge.at_most(
            fact.key,
            _LONGEST_EXTENDED if extended else _LONGEST,
            "The slowest change in the recording {name} takes {value} from Accept to PS_RDY; "
            "a device waits {limit} at most, some only {least}.",
            name=name,
            least=(0.830 if extended else 0.450, "power_ready_delay"),
        )
