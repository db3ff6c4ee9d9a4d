"""What a rule may look at."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from partingline.facts import Book
from partingline.model import Unit


@dataclass(frozen=True, slots=True)
class Guard:
    """How sure a verdict must be (JCGM 106:2012, 8.3): the risk that a verdict given is the wrong one."""

    risk: float = 0.05


@dataclass(frozen=True)
class Case:
    """One unit with its facts. `captures` holds the decoded recordings of the wire by the name of their file."""

    unit: Unit
    book: Book
    guard: Guard = Guard()
    captures: Mapping[str, Any] = field(default_factory=dict)
