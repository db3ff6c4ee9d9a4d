"""Whether the parts of a boost stage in front and of buck stages behind stay within their ratings."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import estimate
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite, roles

ROLES = ("pfc_switch", "pfc_rectifier", "pfc_inductor", "buck_switch", "buck_inductor")


@rule(
    id="stage.further_stages",
    claim="Switches, diodes and inductors of boost and buck stages stay within their rated voltage and current.",
    source=cite("maker-rating", "rated voltage and current; of an inductor the saturation current", "S"),
)
def further_stages(judge: Judge) -> Iterator[Finding]:
    """One finding for each rating that a computed peak can be held against."""
    for role in ROLES:
        for part in judge.unit.having(role):
            for of in ("voltage", "current"):
                key = Key.of(part.subject, "rating_used", state=of)
                if estimate(judge.book, key) is not None:
                    yield judge.at_most(
                        key,
                        1.0,
                        "At full load {name} {ref} uses {value} of its rated {of}.",
                        label="rating",
                        next_step="Read the rating in the data sheet; measure the stage's switching frequency.",
                        name=roles()[part.role].name,
                        ref=part.ref,
                        of=of,
                    )
