"""What recordings of the wire say, as rules ask for it."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.model import Fact, Finding, Number

_NEW = 0.05
"""vSrcNew: a new supply is within this share of the contract's voltage."""
_FURTHER, _FURTHER_PPS = 0.5, 0.1
"""V: vSrcValid and vPpsValid leave this much more."""


def from_captures(judge: Judge, quantity: str) -> Iterator[tuple[str, Fact]]:
    """Each number that a capture gives on the unit's own sending, with the capture's name."""
    for fact in judge.book.find(quantity, "capture:"):
        if fact.key.condition("sender") in (None, "source") and isinstance(fact.preferred.value, Number):
            yield fact.key.subject.partition(":")[2], fact


def valid_room(fact: Fact) -> float:
    """How far VBUS may be from the voltage of the contract that a fact is about, in V."""
    further = _FURTHER_PPS if fact.key.condition("supply") == "pps" else _FURTHER
    return _NEW * fact.key.number("offer") + further


def valid_vbus(judge: Judge, state: str, sentence: str) -> Iterator[Finding]:
    """VBUS in a state of the conversation, held against the valid range of its contract; `sentence` as in a rule."""
    for name, fact in from_captures(judge, "vbus_level"):
        if fact.key.condition("state") == state:
            contract, room = fact.key.number("offer"), valid_room(fact)
            told = (contract, "vbus_level")
            yield judge.between(fact.key, contract - room, contract + room, sentence, contract=told, name=name)
