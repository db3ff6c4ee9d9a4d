"""The average efficiency at 230 V reaches Regulation (EU) 2019/1782, at the highest and the lowest voltage."""

from collections.abc import Iterator

from partingline.findings.efficient import efficiencies
from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.findings.supplied import EU
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="energy.average_eu_2019_1782",
    claim="The average efficiency at 230 V reaches EU 2019/1782 at the highest and the lowest voltage.",
    source=cite("eu-2019-1782", "Annex II", "S"),
)
def average_eu_2019_1782(judge: Judge) -> Iterator[Finding]:
    return efficiencies(judge, EU, "average", "average_efficiency")
