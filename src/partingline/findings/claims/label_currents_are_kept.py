"""A port carries the current that its label names, where it offers it at all."""

from collections.abc import Iterator

from partingline.findings.claimed import said
from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.model import Finding, Key, Number, Route
from partingline.sources import cite


@rule(
    id="claims.label_currents_are_kept",
    claim="A port carries the current that its label names; what it offers less of, it carries as offered.",
    source=cite("seller-claim", "the label", "S"),
)
def label_currents_are_kept(judge: Judge) -> Iterator[Finding]:
    for fact in judge.book.find("available_current", "port:"):
        at = dict(fact.key.at)
        numeric = isinstance(fact.preferred.value, Number)
        if fact.preferred.route is not Route.MEASURED or not numeric or "offer" not in at or "with" in at:
            continue
        promise = judge.book.fact(Key.of(fact.key.subject, "available_current", offer=at["offer"]))
        label, offered = said(promise, Route.LABEL), said(promise, Route.CAPTURED)
        if label is None:
            continue
        less = offered is not None and offered < label
        yield judge.at_least(
            fact.key,
            offered if less and offered is not None else label,
            "{port} carries {value} at {voltage}; it offers {limit} there, less than its label."
            if less
            else "{port} carries {value} at {voltage}; the label names {limit}.",
            label="offered" if less else "label",
            next_step="Repeat the ramp with a more exact load or in smaller steps.",
            port=fact.key.subject.partition(":")[2],
            voltage=(fact.key.number("offer"), "port_voltage"),
        )
