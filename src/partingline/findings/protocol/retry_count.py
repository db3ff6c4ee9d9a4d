"""A message is repeated no more often than its revision of the specification allows."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.recorded import from_captures
from partingline.findings.rule import rule
from partingline.model import Fact, Finding
from partingline.sources import cite

_REVISION_2, _LATER = 3.0, 2.0


@rule(
    id="protocol.retry_count",
    claim="No message is repeated more often than its revision allows: 3 times in 2.0, twice from 3.0 on.",
    source=cite("microchip-psf", "nRetryCount", "S2"),
)
def retry_count(judge: Judge) -> Iterator[Finding]:
    for name, fact in from_captures(judge, "retry_count"):
        revision = judge.fact(fact.key.subject, "pd_revision")
        limit = _REVISION_2 if revision is None or revision.text.startswith("2") else _LATER
        if revision is None and _LATER < fact.value <= _REVISION_2:
            yield _unsettled(judge, name, fact)
            continue
        yield judge.at_most(
            fact.key,
            limit,
            "In the recording {name} one message is repeated {value} times; {limit} is allowed.",
            name=name,
        )


def _unsettled(judge: Judge, name: str, fact: Fact) -> Finding:
    return judge.undecided(
        "In the recording {name} one message is repeated {value} times: allowed in revision 2.0, "
        "once too often from 3.0 on; the revision is not known.",
        subject=fact.key.subject,
        used=[fact.key],
        next_step="Record the attach as well, so that the revision is seen.",
        name=name,
        value=fact.key,
    )
