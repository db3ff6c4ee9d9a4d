"""Whether the heat that the case gives off by the laws of heat transfer is the loss that was measured."""

from collections.abc import Iterator

from partingline.facts.draws import standard_uncertainty
from partingline.facts.show import condition_text
from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite

COVERAGE = 2.0


@rule(
    id="stage.heat_balance",
    claim="The heat that the case gives off by convection and radiation agrees with the measured loss.",
    source=cite("common-practice", "published correlations for plates, read as a small box within 25 %", "P"),
)
def heat_balance(judge: Judge) -> Iterator[Finding]:
    """One finding for each load point whose surfaces and losses were measured."""
    for given in judge.book.keys("case_heat", "unit"):
        at = dict(given.at)
        lost = next((key for key in judge.book.keys("loss", "port") if dict(key.at) == at), None)
        if judge.book.fact(given) is None or lost is None or judge.book.fact(lost) is None:
            continue
        apart = judge.book.draws(lost) - judge.book.draws(given)
        agrees = abs(float(apart[0])) <= COVERAGE * standard_uncertainty(apart)
        sentence = "At {at} the case gives off {given} at the temperatures that were read, and {lost} is lost"
        more = apart[0] > 0
        yield judge.decided(
            agrees, sentence + ("." if agrees else ": they disagree."), subject="unit", used=[given, lost],
            next_step=_step(bool(more)), given=given, lost=lost, at=condition_text(given),
        )  # fmt: skip


def _step(more: bool) -> str:
    if more:
        return "Read more faces, and look for heat that leaves by prongs, cable or the surface that it stands on."
    return "Check the emissivity in the thermal camera, and whether the surfaces were steady."
