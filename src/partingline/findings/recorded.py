"""What recordings of the wire say, as rules ask for it."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.model import Fact, Number


def from_captures(judge: Judge, quantity: str) -> Iterator[tuple[str, Fact]]:
    """Each number that a capture gives on the unit's own sending, with the capture's name."""
    for fact in judge.book.find(quantity, "capture:"):
        if fact.key.condition("sender") in (None, "source") and isinstance(fact.preferred.value, Number):
            yield fact.key.subject.partition(":")[2], fact
