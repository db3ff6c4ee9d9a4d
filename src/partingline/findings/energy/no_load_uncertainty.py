"""The no-load reading is exact enough for its limit to mean something."""

from collections.abc import Iterator

from partingline.calc.efficiency import permitted_uncertainty_2005
from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.model import Finding, Number, Route
from partingline.sources import cite

_COVERAGE = 1.96


@rule(
    id="energy.no_load_uncertainty",
    claim="The expanded uncertainty of the no-load power is one that the standard permits.",
    source=cite("iec-62301-2005", "4.5: 2 % from 0.5 W, 0.01 W below, at 95 %", "S2"),
)
def no_load_uncertainty(judge: Judge) -> Iterator[Finding]:
    for fact in judge.book.find("no_load_power", "unit"):
        if fact.preferred.route is not Route.MEASURED or not isinstance(fact.preferred.value, Number):
            continue
        if not fact.u:
            yield judge.undecided(
                "The no-load power {value} was noted without its uncertainty; {limit} at 95 % is permitted.",
                subject="unit",
                used=[fact.key],
                next_step="Note the accuracy of the analyser on the range in use.",
                value=fact.key,
                limit=(float(permitted_uncertainty_2005(power=fact.value)), "no_load_power"),
            )
            continue
        yield judge.decided(
            _COVERAGE * fact.u <= float(permitted_uncertainty_2005(power=fact.value)),
            "The no-load power {value} is known to within {spread} at 95 %; {limit} is permitted.",
            subject="unit",
            used=[fact.key],
            value=fact.key,
            spread=(float(f"{_COVERAGE * fact.u:.2g}"), "no_load_power"),
            limit=(float(permitted_uncertainty_2005(power=fact.value)), "no_load_power"),
        )
