"""The average efficiency at 230 V reaches tier 1 of the EU Code of Conduct, which is voluntary."""

from collections.abc import Iterator

from partingline.findings.efficient import efficiencies
from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.findings.supplied import COC_1
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="energy.average_coc_tier_1",
    claim="The average efficiency at 230 V reaches tier 1 of the voluntary EU Code of Conduct.",
    source=cite("eu-coc-v5", "tier 1, from January 2014", "S2"),
)
def average_coc_tier_1(judge: Judge) -> Iterator[Finding]:
    return efficiencies(judge, COC_1, "average", "average_efficiency")
