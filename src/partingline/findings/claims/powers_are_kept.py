"""Each port, alone and together with the others, gives the power that the label names."""

from collections.abc import Iterator

from partingline.findings.delivered import claimed_powers, power_kept
from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.model import Finding, Route
from partingline.sources import cite


@rule(
    id="claims.powers_are_kept",
    claim="Each port, alone and beside the others, gives the power that the label names.",
    source=cite("seller-claim", "the label", "S"),
)
def powers_are_kept(judge: Judge) -> Iterator[Finding]:
    for fact, power in claimed_powers(judge, Route.LABEL):
        finding = power_kept(judge, fact, power, "The label")
        if finding is not None:
            yield finding
