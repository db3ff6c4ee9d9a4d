"""The power drawn without load at 230 V stays within Regulation (EU) 2019/1782."""

from collections.abc import Iterator

from partingline.findings.efficient import no_load
from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.findings.supplied import EU
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="energy.no_load_eu_2019_1782",
    claim="The power drawn without load at 230 V stays within EU 2019/1782.",
    source=cite("eu-2019-1782", "Annex II", "S"),
)
def no_load_eu_2019_1782(judge: Judge) -> Iterator[Finding]:
    return no_load(judge, EU)
