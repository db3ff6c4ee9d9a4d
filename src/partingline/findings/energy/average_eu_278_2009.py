"""The average efficiency at 230 V reaches Regulation (EC) 278/2009, for a unit of before April 2020."""

from collections.abc import Iterator

from partingline.findings.efficient import efficiencies
from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.findings.supplied import EU_2009
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="energy.average_eu_278_2009",
    claim="The average efficiency at 230 V reaches EC 278/2009 at the highest and the lowest voltage.",
    source=cite("eu-278-2009", "Annex I", "M"),
)
def average_eu_278_2009(judge: Judge) -> Iterator[Finding]:
    return efficiencies(judge, EU_2009, "average", "average_efficiency")
