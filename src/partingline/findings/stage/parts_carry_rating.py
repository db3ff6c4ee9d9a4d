"""Whether the parts carry the rated power: the one that reaches its own rating first, and at what output power."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import estimate
from partingline.findings.rule import rule
from partingline.model import Finding, Key, Route
from partingline.sources import cite

ASSUMED = cite("common-practice", "saturation or thermal resistance are assumed", "P")


@rule(
    id="stage.parts_carry_rating",
    claim="No part reaches its own rated current, temperature or saturation below the rated output power.",
    source=cite("maker-rating", "ratings of the parts, against their computed or measured stress at full load", "S"),
)
def parts_carry_rating(judge: Judge) -> Iterator[Finding]:
    """One finding for the unit, on the part with the least room; silent where no stress and rating are known."""
    rated = Key.of("unit", "output_power")
    powers = {
        key: watts for key in judge.book.keys("carried_power") if (watts := estimate(judge.book, key)) is not None
    }
    if not powers or judge.book.fact(rated) is None:
        return
    first, *others = sorted(powers, key=lambda key: powers[key])
    said: dict[str, object] = {"first": str(first.condition("state"))}
    sentence = "By the {first} the unit carries {value}; the rating is {limit}"
    if others:
        said |= {"next": str(others[0].condition("state")), "power": others[0]}
        sentence += ". Next comes the {next}, at {power}"
    yield judge.at_least(
        first, rated, f"{sentence}; {len(powers)} ratings of parts were compared.", label="rated power",
        source=ASSUMED if _rests_on_an_assumption(judge, first) else None,
        next_step="Read the part's data sheet for its rating, and measure what it bears at full load.", **said,
    )  # fmt: skip


def _rests_on_an_assumption(judge: Judge, key: Key) -> bool:
    """Whether what the part can bear is assumed rather than read."""
    fact = judge.book.fact(key)
    inputs = [judge.book.fact(one) for one in fact.inputs] if fact else []
    deeper = [judge.book.fact(one) for known in inputs if known for one in known.inputs]
    limits = ("saturation_flux_density", "thermal_resistance")
    return any(
        known.preferred.route is Route.ASSUMED and known.key.quantity in limits for known in (*inputs, *deeper) if known
    )
