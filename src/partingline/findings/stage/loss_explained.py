"""Whether the losses computed from the parts explain the measured ones, load by load; the residual is named."""

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
    """One finding for each port, offer and mains voltage, over all loads that were measured there."""
    groups: dict[tuple[str, float, float], list[Key]] = {}
    for key in judge.book.keys("residual_loss", "port:"):
        if judge.book.fact(key) is not None:
            groups.setdefault((key.subject, key.number("mains"), key.number("offer")), []).append(key)
    for keys in groups.values():
        yield _judged(judge, sorted(keys, key=lambda key: -key.number("load")))


def _judged(judge: Judge, keys: list[Key]) -> Finding:
    """`keys` are residuals of one offer and mains, the heaviest load first."""
    heaviest = keys[0]
    at = dict(heaviest.at)
    off = [key for key in keys if _beyond(judge, key)]
    measured, computed = (Key.of(heaviest.subject, name, **at) for name in ("loss", "computed_loss"))
    said: dict[str, Any] = {
        "mains": said_at(heaviest), "offer": said_at(heaviest, "offer"), "measured": measured, "computed": computed,
        "load": f"{heaviest.number('load') * 100:g} %",
    }  # fmt: skip
    sentence = "At {mains} mains and {offer}, {measured} is lost at {load} load and the parts explain {computed}"
    sentence += _largest(judge, at, said) + ". Left over: " + _left_over(keys, said)
    if not off:
        return judge.decided(True, sentence + ".", subject=heaviest.subject, used=[*keys, measured, computed], **said)
    loads = ", ".join(f"{key.number('load') * 100:g} %" for key in off)
    fact = judge.book.fact(off[0])
    more = fact is not None and fact.value > 0
    return judge.decided(
        False, sentence + f": more than the model's band at {loads} load.", subject=heaviest.subject,
        used=[*off, measured, computed], next_step=_step(more), **said,
    )  # fmt: skip


def _beyond(judge: Judge, key: Key) -> bool:
    fact = judge.book.fact(key)
    return fact is not None and abs(fact.value) > COVERAGE * fact.u


def _largest(judge: Judge, at: dict[str, Any], said: dict[str, Any]) -> str:
    items = [k for name in ITEMS for k in judge.book.keys(name) if dict(k.at) == at and judge.book.fact(k) is not None]
    items.sort(key=lambda k: -float(judge.book.draws(k)[0]))
    told = ""
    for index, item in enumerate(items[:2]):
        said[f"item{index}"] = item
        told += ", the largest items being " if index == 0 else " and "
        told += f"{item.quantity.replace('_', ' ')} {{item{index}}}"
    return told


def _left_over(keys: list[Key], said: dict[str, Any]) -> str:
    told = []
    for index, key in enumerate(keys):
        said[f"left{index}"] = key
        told.append(f"{{left{index}}} at {key.number('load') * 100:g} %")
    return ", ".join(told)


def _step(more: bool) -> str:
    if more:
        return "Look for a part that is not listed or runs hot, and measure the windings' resistances."
    return "Measure the transformer (turns ratio, inductance, leakage): something loses less than the parts suggest."
