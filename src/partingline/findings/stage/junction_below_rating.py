"""The junction of each power transistor: the package's temperature and its computed loss beside the rating."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import estimate
from partingline.findings.rule import rule
from partingline.model import Finding, Key, Route
from partingline.sources import cite

TRADE = cite("common-practice", "the thermal resistance of the package is assumed", "P")


@rule(
    id="stage.junction_below_rating",
    claim="The junction of a power transistor stays below its rated temperature at the load that was run.",
    source=cite("maker-rating", "highest junction temperature of the part", "S"),
)
def junction_below_rating(judge: Judge) -> Iterator[Finding]:
    """One finding a transistor whose package temperature was read and whose loss is computed."""
    for part in judge.unit.parts:
        keys = [key for key in judge.book.keys("junction_temperature", part.subject) if key.subject == part.subject]
        known = {key: value for key in keys if (value := estimate(judge.book, key)) is not None}
        if not known:
            continue
        resistance = judge.fact(part.subject, "thermal_resistance")
        yield judge.at_most(
            max(known, key=lambda key: known[key]),
            Key.of(part.subject, "max_junction_temperature"),
            "The junction of {ref} reached {value} by its package and computed loss; it is rated {limit}.",
            label="rated junction temperature",
            source=TRADE if resistance is None or resistance.preferred.route is Route.ASSUMED else None,
            next_step="Read thermal resistance and junction temperature in the data sheet.",
            ref=part.ref,
        )
