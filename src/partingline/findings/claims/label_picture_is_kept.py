"""The link carries the picture that the label names."""

from collections.abc import Iterator

from partingline.findings.claimed import HOW, named, said
from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.model import Finding, Number, Route
from partingline.sources import cite


@rule(
    id="claims.label_picture_is_kept",
    claim="The picture that the label names fits on the link that the recording shows.",
    source=cite("seller-claim", "the label", "S"),
)
def label_picture_is_kept(judge: Judge) -> Iterator[Finding]:
    for fact in judge.book.find("video_refresh", "unit"):
        label, seen = said(fact, Route.LABEL), fact.preferred
        if label is None or not seen.route.is_evidence or not isinstance(seen.value, Number):
            continue
        yield judge.at_least(
            fact.key,
            label,
            "The label names {limit} for the {what}; {value} {route}.",
            label="label",
            what=named(fact.key),
            route=HOW[seen.route],
        )
