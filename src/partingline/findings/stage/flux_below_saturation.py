"""Whether the core stays below saturation at full load and the lowest mains."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import at_lowest, said_at
from partingline.findings.rule import rule
from partingline.model import Finding
from partingline.sources import cite

HIGHEST = 0.32


@rule(
    id="stage.flux_below_saturation",
    claim="The peak flux density at full load and the lowest mains stays below saturation of a hot power ferrite.",
    source=cite("common-practice", "0.32 T: power ferrites saturate at 0.35 to 0.4 T at 100 °C", "P"),
)
def flux_below_saturation(judge: Judge) -> Iterator[Finding]:
    """One finding a transformer; needs its turns and core area."""
    for part in judge.unit.having("transformer"):
        yield judge.at_most(
            at_lowest(judge.book, "flux_density", part.subject),
            HIGHEST,
            "At full load and {mains} mains the core of {ref} reaches {value}; "
            "a hot power ferrite wants at most {limit}.",
            label="hot power ferrite",
            next_step="Count the primary turns and measure the centre leg of the core, or wind one test turn.",
            ref=part.ref,
            mains=said_at(at_lowest(judge.book, "flux_density", part.subject)),
        )
