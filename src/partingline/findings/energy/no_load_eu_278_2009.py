"""The power drawn without load at 230 V stays within Regulation (EC) 278/2009, for a unit of before April 2020."""

from collections.abc import Iterator

from partingline.findings.efficient import no_load
from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.findings.supplied import EU_2009
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="energy.no_load_eu_278_2009",
    claim="The power drawn without load at 230 V stays within EC 278/2009.",
    source=cite("eu-278-2009", "Annex I", "M"),
)
def no_load_eu_278_2009(judge: Judge) -> Iterator[Finding]:
    return no_load(judge, EU_2009)
