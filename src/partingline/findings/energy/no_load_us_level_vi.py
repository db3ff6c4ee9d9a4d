"""The power drawn without load at 115 V stays within US Level VI."""

from collections.abc import Iterator

from partingline.findings.efficient import no_load
from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.findings.supplied import US
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="energy.no_load_us_level_vi",
    claim="The power drawn without load at 115 V stays within US Level VI.",
    source=cite("us-10cfr430-32", "(w)(1)(ii)", "S2"),
)
def no_load_us_level_vi(judge: Judge) -> Iterator[Finding]:
    return no_load(judge, US)
