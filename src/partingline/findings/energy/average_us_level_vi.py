"""The average efficiency at 115 V reaches US Level VI, at the highest and the lowest voltage."""

from collections.abc import Iterator

from partingline.findings.efficient import efficiencies
from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.findings.supplied import US
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="energy.average_us_level_vi",
    claim="The average efficiency at 115 V reaches US Level VI at the highest and the lowest voltage.",
    source=cite("us-10cfr430-32", "(w)(1)(ii)", "S2"),
)
def average_us_level_vi(judge: Judge) -> Iterator[Finding]:
    return efficiencies(judge, US, "average", "average_efficiency")
