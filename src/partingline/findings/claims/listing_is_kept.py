"""Each claim of the listing is held against what was seen of the unit."""

from collections.abc import Iterator
from typing import Any

from partingline.facts.agree import compare
from partingline.facts.show import show, show_statement
from partingline.findings.claimed import HOW, as_printed, claim, claimed, named, witness
from partingline.findings.delivered import claimed_powers, power_kept
from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.model import Fact, Finding, Number, Route, Sense, Standing, Statement
from partingline.sources import cite


@rule(
    id="claims.listing_is_kept",
    claim="What the listing claims is kept by the unit.",
    source=cite("seller-claim", "the listing", "S"),
)
def listing_is_kept(judge: Judge) -> Iterator[Finding]:
    for fact, power in claimed_powers(judge, Route.LISTING):
        kept = power_kept(judge, fact, power, "The listing") or _beside_label(judge, fact)
        if kept is not None:
            yield kept
    for fact, told in claimed(judge, Route.LISTING):
        if fact.key.quantity != "output_power":
            finding = _bound(judge, fact, told) or _same(judge, fact, told) or _beside_label(judge, fact)
            if finding is not None:
                yield finding


def _bound(judge: Judge, fact: Fact, told: Statement) -> Finding | None:
    """A claim of at least or at most so much, against a number that was seen."""
    seen = fact.preferred
    numeric = isinstance(told.value, Number) and isinstance(seen.value, Number)
    if not numeric or not seen.route.is_evidence or told.sense not in (Sense.AT_LEAST, Sense.AT_MOST):
        return None
    against = judge.at_least if told.sense is Sense.AT_LEAST else judge.at_most
    return against(
        fact.key,
        told.value.value if isinstance(told.value, Number) else 0.0,
        "The listing claims {limit} for the {what}; {value} {route}.",
        label="listing",
        what=named(fact.key),
        route=HOW[seen.route],
    )


def _same(judge: Judge, fact: Fact, told: Statement) -> Finding | None:
    """A claim of so much, or in words, against what was seen."""
    seen = witness(fact)
    if seen is None:
        return None
    standing = compare(as_printed(told), seen)
    sentence = "The listing claims {claim} for the {what}; {seen} {route}."
    words: dict[str, Any] = {
        "claim": _plainly(told),
        "what": named(fact.key),
        "seen": fact.key if seen is fact.preferred else show_statement(seen),
        "route": HOW[seen.route],
    }
    if standing is Standing.OPEN:
        return judge.undecided(sentence, subject=fact.key.subject, used=[fact.key], **words)
    kept = standing is Standing.SUPPORTED
    return judge.decided(kept, sentence, subject=fact.key.subject, used=[fact.key], **words)


def _beside_label(judge: Judge, fact: Fact) -> Finding | None:
    """Nothing was seen of it: the listing beside the label, where the two differ."""
    told, label = claim(fact, Route.LISTING), claim(fact, Route.LABEL)
    if told is None or label is None or compare(as_printed(told), label) is not Standing.CONTRADICTED:
        return None
    return judge.undecided(
        "The listing claims {claim} for the {what}; the label says {label}.",
        subject=fact.key.subject,
        used=[fact.key],
        next_step=f"Measure the {named(fact.key)}.",
        claim=_plainly(told),
        what=named(fact.key),
        label=_plainly(label),
    )


def _plainly(told: Statement) -> str:
    """A claim as it is worded, without the doubt of its last digit."""
    return show(told.value, told.key.quantity, 0.0)
