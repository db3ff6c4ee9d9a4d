"""All that is said of one quantity, side by side."""

from dataclasses import dataclass
from enum import StrEnum

from partingline.model.evidence import Evidence
from partingline.model.key import Key
from partingline.model.statement import Statement
from partingline.model.value import Interval, Number, Text


class Standing(StrEnum):
    """How a statement stands beside the others on the same fact."""

    SUPPORTED = "supported"
    CONTRADICTED = "contradicted"
    OPEN = "open"


@dataclass(frozen=True, slots=True)
class Fact:
    """All statements on one key, the preferred one first.

    `standings` runs parallel to `statements`. `value` and `u` are those of the preferred statement, with `u` from the
    draws where it is computed. `causes` are the uncertainty causes that move it; `inputs` the facts it came from.
    """

    key: Key
    statements: tuple[Statement, ...]
    standings: tuple[Standing, ...]
    u: float
    causes: frozenset[str]
    inputs: tuple[Key, ...] = ()
    preferred_because: str = ""

    @property
    def preferred(self) -> Statement:
        """The statement that calculations and rules use."""
        return self.statements[0]

    @property
    def value(self) -> float:
        """The preferred number in SI units; TypeError where the fact is text or an interval."""
        value = self.preferred.value
        if not isinstance(value, Number):
            raise TypeError(f"{self.key}: {type(value).__name__.lower()}, not a number")
        return value.value

    @property
    def text(self) -> str:
        """The preferred text; TypeError where the fact is a number."""
        value = self.preferred.value
        if not isinstance(value, Text):
            raise TypeError(f"{self.key}: {type(value).__name__.lower()}, not text")
        return value.text

    @property
    def interval(self) -> Interval:
        """The preferred interval; TypeError where the fact is none."""
        value = self.preferred.value
        if not isinstance(value, Interval):
            raise TypeError(f"{self.key}: {type(value).__name__.lower()}, not an interval")
        return value

    @property
    def standing(self) -> Standing:
        """Contradicted if any statement is; supported if one is and none is contradicted; else open."""
        for standing in (Standing.CONTRADICTED, Standing.SUPPORTED):
            if standing in self.standings:
                return standing
        return Standing.OPEN

    @property
    def evidence(self) -> tuple[Evidence, ...]:
        """The evidence of the preferred statement."""
        return self.preferred.evidence
