"""Claims that only claims support, and what would put something beside them."""

from collections import defaultdict
from collections.abc import Iterator
from typing import Any

from partingline.facts.show import condition_text, show
from partingline.findings.claimed import CLAIMS, named, witness
from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.model import Fact, Finding, Key, Route
from partingline.sources import cite, quantities

_HOW = {
    "available_current": "raise the load until the port switches off",
    "pps_current": "read the programmable range and load it",
    "output_power": "load the ports as the claim says",
    "mass": "weigh the unit",
    "length": "measure the body",
    "width": "measure the body",
    "height": "measure the body",
    "volume": "measure the body",
    "power_density": "measure the body",
    "efficiency": "log a load sweep",
    "peak_efficiency": "log a load sweep",
    "average_efficiency": "log a load sweep",
    "no_load_power": "log the input power without load",
    "ripple_voltage": "take the ripple with an oscilloscope",
    "surface_temperature": "log the hottest face at full load",
}
"""The claims that a bench can settle, and how."""
_MARKED = {"available_current", "output_power"}
"""What the mark of a cable settles."""


@rule(
    id="claims.claims_without_evidence",
    claim="Something that was seen of the unit stands beside each claim.",
    source=cite("seller-claim", "the label and the listing", "S"),
)
def claims_without_evidence(judge: Judge) -> Iterator[Finding]:
    by_subject: dict[str, list[Fact]] = defaultdict(list)
    for fact in judge.book.facts():
        claims = any(statement.route in CLAIMS for statement in fact.statements)
        if claims and fact.key.quantity in _HOW:
            by_subject[fact.key.subject].append(fact)
    beside = 0
    for subject, facts in sorted(by_subject.items()):
        bare = [fact for fact in facts if not _seen(judge, fact)]
        computed = [fact for fact in facts if (seen := witness(fact)) and seen.route is Route.COMPUTED]
        beside += len(facts) - len(bare) - len(computed)
        if bare or computed:
            yield _bare(judge, subject, bare, computed)
    if beside:
        yield judge.decided(
            True,
            "{count} of {all} claims that a bench can settle have something beside them that was seen.",
            subject="unit",
            count=beside,
            all=sum(map(len, by_subject.values())),
        )


def _seen(judge: Judge, fact: Fact) -> bool:
    """Seen itself, or, for the rating of the whole unit, at any of its ports."""
    if witness(fact) is not None:
        return True
    whole = fact.key == Key.of("unit", "output_power")
    return whole and any(witness(port) for port in judge.book.find("output_power", "port"))


def _bare(judge: Judge, subject: str, bare: list[Fact], computed: list[Fact]) -> Finding:
    name = named(Key.of(subject, "output_power")).partition(" of ")[2]
    facts = bare or computed
    if judge.unit.kind.casefold() == "cable" and {fact.key.quantity for fact in facts} <= _MARKED:
        step = "Record or paste what the cable's plug answers to Discover Identity, and weigh it against the claim."
        return judge.lacks(
            "What the mark of the cable allows was not read; these claims rest on it: {claims}.",
            subject=subject, missing=[fact.key for fact in facts], next_step=step,
            claims=", ".join(map(_claim, facts)),
        )  # fmt: skip
    step = f"For {name}: {', '.join(dict.fromkeys(_HOW[fact.key.quantity] for fact in facts))}."
    words: dict[str, Any] = {"name": name, "claims": ", ".join(map(_claim, facts))}
    if bare:
        sentence = "Nothing that was seen of {name} supports these claims yet: {claims}."
        return judge.lacks(sentence, subject=subject, missing=[fact.key for fact in bare], next_step=step, **words)
    sentence = "Only a computation stands beside these claims on {name}: {claims}."
    return judge.undecided(sentence, subject=subject, used=[fact.key for fact in computed], next_step=step, **words)


def _claim(fact: Fact) -> str:
    told = next(statement for statement in fact.statements if statement.route in CLAIMS)
    at = condition_text(fact.key)
    name = quantities()[fact.key.quantity].name
    joint = " " if at.startswith("with ") else " at "
    return f"{name} {show(told.value, fact.key.quantity, 0.0)}" + (joint + at if at else "")
