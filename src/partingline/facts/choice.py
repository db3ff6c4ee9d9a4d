"""One way to know a fact: a statement with its draws' origin, among which a calculation picks one it may use."""

from dataclasses import dataclass

from partingline.facts.draws import Array
from partingline.model import Component, Interval, Key, Number, Statement


@dataclass(frozen=True)
class Choice:
    """A statement, what moves it, and every fact that it was computed from.

    `drawn` is None where it was said; `record` is all that the calculation returned, of which the statement tells one
    field.
    """

    statement: Statement
    causes: frozenset[str]
    upstream: frozenset[Key] = frozenset()
    drawn: Array | None = None
    record: object = None


def as_said(statement: Statement) -> Choice:
    """A statement that was said: it follows from nothing else."""
    return Choice(statement, _own_causes(statement))


def _own_causes(statement: Statement) -> frozenset[str]:
    """The causes that move what was said."""
    value = statement.value
    if isinstance(value, Number):
        return frozenset(component.cause for component in value.components if _moves(component))
    return frozenset({f"interval:{statement.key.id}"}) if isinstance(value, Interval) else frozenset()


def _moves(component: Component) -> bool:
    return bool(component.width)
