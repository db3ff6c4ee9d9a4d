"""Where the power density of the body lies among chargers: information, and a check of the dimensions."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import estimate
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite

RANGES = (
    (0.5e6, "roomy"),
    (1.0e6, "usual for silicon switches"),
    (1.5e6, "usual for gallium nitride switches"),
    (2.5e6, "very compact"),
)
LOWEST, HIGHEST = 0.1e6, RANGES[-1][0]


@rule(
    id="thermal.power_density",
    claim="The power density lies in the range that chargers reach without forced cooling.",
    source=cite("common-practice", mark="P"),
)
def power_density(judge: Judge) -> Iterator[Finding]:
    """Speaks where the power is known; beyond the range, dimensions or rating are to be looked at again."""
    key = Key.of("unit", "power_density")
    density = estimate(judge.book, key)
    if judge.unit.kind.casefold() == "cable":
        return  # carries power, converts none
    if density is None and judge.fact("unit", "output_power") is None:
        return
    kind = next((name for top, name in RANGES if (density or 0.0) <= top), "beyond what chargers reach")
    yield judge.between(
        key,
        LOWEST,
        HIGHEST,
        "The power density is {value}, without prongs: {kind}.",
        label="range of chargers",
        next_step="Measure length, width and height of the body without its prongs.",
        kind=kind,
    )
