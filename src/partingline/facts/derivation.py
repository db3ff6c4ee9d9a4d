"""How a fact follows from other facts: a declaration that names what it needs and what it gives."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from partingline.calc.declare import Calculation
from partingline.model import Citation, Key, Route, Sense

Need = Key | tuple[Key, ...]
"""One fact, or several of one kind (parts in parallel, load points): these arrive as an array of shape (k, draws)."""


class NoNumberError(ArithmeticError):
    """Raised by a model where it does not hold, with the reason: there is nothing wrong with its inputs."""


@dataclass(frozen=True)
class Derivation:
    """One way to compute one fact.

    `compute` is a declared calculation or a function on arrays; it gets each need as an array of draws by name, and the
    `fixed` values as they are. `pick` names the field of a record result, and `scale` multiplies the result.
    `optional` needs may be absent: their names are then left out of the call. `chosen_from` names a need of several
    facts of which the result is one: the highest; only that one then counts as used. `own` are causes that the
    calculation adds, such as the lack of fit of a model: `compute` gets their draws in units of their standard
    uncertainty as `own`, shape (k, draws). A cause is the id of the fact that it moves, a slash, and its name.
    Of the needs in `said` only what was said counts (read, marked, assumed), never what was computed.
    """

    gives: Key
    needs: Mapping[str, Need]
    compute: Callable[..., Any]
    source: Citation
    fixed: Mapping[str, Any] = field(default_factory=dict)
    optional: frozenset[str] = frozenset()
    said: frozenset[str] = frozenset()
    pick: str = ""
    chosen_from: str = ""
    own: tuple[str, ...] = ()
    scale: float = 1.0
    sense: Sense = Sense.EQUALS
    route: Route = Route.COMPUTED
    note: str = ""

    @property
    def what(self) -> str:
        """The calculation's id, or the function's name in words."""
        if isinstance(self.compute, Calculation):
            return self.compute.id
        return getattr(self.compute, "__name__", "formula").strip("_").replace("_", " ")
