"""The power drawn without load at 230 V stays within tier 1 of the EU Code of Conduct, which is voluntary."""

from collections.abc import Iterator

from partingline.findings.efficient import no_load
from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.findings.supplied import COC_1
from partingline.model import Finding
from partingline.sources import cite


@rule(
    id="energy.no_load_coc_tier_1",
    claim="The power drawn without load at 230 V stays within tier 1 of the voluntary EU Code of Conduct.",
    source=cite("eu-coc-v5", "tier 1, from January 2014", "S2"),
)
def no_load_coc_tier_1(judge: Judge) -> Iterator[Finding]:
    return no_load(judge, COC_1)
