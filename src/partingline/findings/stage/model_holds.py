"""Whether the flyback's model holds wherever it is asked; where it does not, it gives no number and says why."""

from collections.abc import Iterator

from partingline.facts.show import condition_text
from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite

ASKED = ("computed_loss", "peak_current")
PRIMARY = "stage:primary"


@rule(
    id="stage.model_holds",
    claim="The model of the flyback holds at every load point at which losses and currents are asked of it.",
    source=cite("algebra", "limits of the closed-form cycle: subharmonic range, least load of a valley", "C"),
)
def model_holds(judge: Judge) -> Iterator[Finding]:
    """One finding for each reason why there is no number, with the points; one where there is a number everywhere."""
    keys = [key for quantity in ASKED for key in judge.book.keys(quantity)]
    known = [key for key in keys if judge.book.fact(key) is not None]
    silent: dict[str, list[Key]] = {}
    for key, why in judge.book.no_number.items():
        if key.quantity in ASKED:
            silent.setdefault(why, []).append(key)
    for why, points in silent.items():
        at = "; ".join(dict.fromkeys(condition_text(key) for key in sorted(points, key=lambda key: key.id)))
        yield judge.undecided(
            "The model gives no number at {at}: {why}.", subject=PRIMARY, at=at, why=why,
            next_step="Measure the switching frequency there, and tell how the controller runs the switch: "
            "`mode` and `slope_compensation` of stage:primary.",
        )  # fmt: skip
    if known and not silent:
        sentence = "The model holds at all {count} points at which it is asked."
        yield judge.decided(True, sentence, subject=PRIMARY, used=known[:1], count=str(len(known)))
