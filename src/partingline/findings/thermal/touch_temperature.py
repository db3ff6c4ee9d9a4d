"""Whether the hottest surface stays within the touch limit, referred to the ambient at which the limit is defined."""

from collections.abc import Iterator

from partingline.calc.thermal import touch_temperature_limit
from partingline.findings.judge import Judge
from partingline.findings.pick import estimate
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources.tables import touch_temperature_citation

MATERIAL, CONTACT = "plastic", "1 s to 10 s"


@rule(
    id="thermal.touch_temperature",
    claim="At 25 °C ambient the hottest surface stays within the limit for plastic that is touched briefly.",
    source=touch_temperature_citation(MATERIAL, CONTACT),
)
def touch_temperature(judge: Judge) -> Iterator[Finding]:
    """One finding, for the hottest of all faces read."""
    keys = judge.book.keys("surface_temperature_at_25")
    known = {key: value for key in keys if (value := estimate(judge.book, key)) is not None}
    if not known:
        if judge.unit.ports and judge.unit.kind.casefold() != "cable":
            asked = (Key.of("unit", "surface_temperature"), Key.of("unit", "ambient_temperature"))
            yield judge.lacks(
                judge.rule.claim,
                subject="unit",
                missing=[key for key in asked if judge.book.fact(key) is None] or asked,
                next_step="Log the hottest spot of the case and the ambient at full load until both are steady.",
            )
        return
    hottest = max(known, key=lambda key: (known[key], key.subject == "unit"))
    yield judge.at_most(
        hottest,
        touch_temperature_limit(material=MATERIAL, contact=CONTACT),
        "Referred to 25 °C ambient, the hottest surface reaches {value}; "
        "{limit} is the limit for plastic that is touched for 1 to 10 s.",
        label="touch limit",
        next_step="Log the temperature again with a thermocouple of better accuracy.",
    )
