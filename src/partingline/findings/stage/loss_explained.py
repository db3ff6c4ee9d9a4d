"""Whether the losses computed from the parts explain the measured ones; the residual is named."""

from collections.abc import Iterator
from typing import Any

from partingline.findings.judge import Judge
from partingline.findings.pick import said_at
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite

COVERAGE = 2.0
ITEMS = ("core_loss", "copper_loss", "clamp_loss", "conduction_loss", "switching_loss")


@rule(
    id="stage.loss_explained",
    claim="The losses computed from the parts agree with the measured losses within the band of the model.",
    source=cite("common-practice", "two routes to one number, compared at twice the standard uncertainty", "P"),
)
def loss_explained(judge: Judge) -> Iterator[Finding]:
    """One finding for each mains voltage, at the heaviest load that was measured there."""
    heaviest: dict[tuple[str, float], Key] = {}
    for key in judge.book.keys("residual_loss", "port:"):
        group = key.subject, key.number("mains")
        if judge.book.fact(key) is not None and key.number("load") > _load(heaviest.get(group)):
            heaviest[group] = key
    for key in heaviest.values():
        yield _judged(judge, key)


def _judged(judge: Judge, key: Key) -> Finding:
    fact = judge.book.fact(key)
    assert fact is not None
    at = dict(key.at)
    measured, computed = Key.of(key.subject, "loss", **at), Key.of(key.subject, "computed_loss", **at)
    largest = [
        k for name in ITEMS for k in judge.book.keys(name) if dict(k.at) == at and judge.book.fact(k) is not None
    ]
    largest.sort(key=lambda k: -float(judge.book.draws(k)[0]))
    said: dict[str, Any] = {"mains": said_at(key), "measured": measured, "computed": computed, "residual": key}
    sentence = "At {mains} mains {measured} is lost and the parts explain {computed}: {residual} is left over"
    for index, item in enumerate(largest[:2]):
        said[f"item{index}"] = item
        sentence += (", the largest items being " if index == 0 else " and ") + f"{_name(item)} {{item{index}}}"
    agrees = abs(fact.value) <= COVERAGE * fact.u
    if agrees:
        return judge.decided(True, sentence + ".", subject=key.subject, used=[key, measured, computed], **said)
    step = "Measure the transformer (turns ratio, inductance, resistances), or look for a part that is not listed."
    return judge.decided(
        False, sentence + ", more than the model's band.", subject=key.subject, used=[key, measured, computed],
        next_step=step, **said,
    )  # fmt: skip


def _load(key: Key | None) -> float:
    return key.number("load") if key is not None else 0.0


def _name(key: Key) -> str:
    return key.quantity.replace("_", " ")
