"""Whether turns ratio, inductance and drain capacitance are known, read or inferred, and what would tell them best."""

from collections.abc import Iterator

from partingline.calc.powerstage.which_measurement import Gain
from partingline.facts.derivations.design import Design
from partingline.facts.show import key_text
from partingline.findings.judge import Judge
from partingline.findings.pick import spread
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite

ENOUGH = 0.15
PRIMARY = "stage:primary"


@rule(
    id="stage.design_known",
    claim="Turns ratio, inductance and drain capacitance of the converter are known within 15 %.",
    source=cite("common-practice", "computed losses and stresses then hang little on them", "P"),
)
def design_known(judge: Judge) -> Iterator[Finding]:
    """Speaks where all three are facts; what would tell more is known where the design was read backwards."""
    for part in judge.unit.having("transformer"):
        ratio, inductance = (Key.of(part.subject, name) for name in ("turns_ratio", "magnetising_inductance"))
        keys = (ratio, inductance, capacitance := Key.of(PRIMARY, "drain_capacitance"))
        if any(judge.book.fact(key) is None for key in keys):
            continue
        wide = [key for key in keys if spread(judge.book, key) > ENOUGH]
        if not wide:
            yield judge.decided(
                True,
                "The converter has a turns ratio of {ratio}, {inductance} and {capacitance} at the drain.",
                subject=PRIMARY,
                used=keys,
                ratio=ratio,
                inductance=inductance,
                capacitance=capacitance,
            )
            continue
        name = key_text(wide[0]).rpartition(" · ")[2]
        design = judge.book.record(wide[0], Design)
        if design is None:
            sentence = (
                "{name} is {value}: too wide for what is computed from it, and no frequency with losses was read."
            )
            yield judge.undecided(sentence, subject=PRIMARY, used=wide, name=name.capitalize(), value=wide[0])
            continue
        yield judge.lacks(
            "Read backwards from what was measured outside, {name} is {value}: too wide for what is computed from it.",
            subject=PRIMARY,
            missing=wide,
            next_step=_step(design.gains),
            name=name,
            value=wide[0],
        )


def _step(gains: tuple[Gain, ...]) -> str:
    """`Measure the ring: it would leave 30 % of the spread of the drain capacitance, more than ...`"""
    best = gains[0]
    what = best.narrows.replace("_", " ")
    left = f"{best.left[best.narrows] * 100:.0f} %"
    return f"Measure {best.name}: of all single readings it narrows most, to {left} of the spread of the {what}."
