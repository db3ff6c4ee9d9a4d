"""One thing said of one quantity by one route."""

from dataclasses import dataclass

from partingline.model.evidence import Evidence
from partingline.model.key import Key
from partingline.model.route import Route, Sense
from partingline.model.value import Value


@dataclass(frozen=True, slots=True)
class Basis:
    """Where a computed or assumed value comes from: a calculation's id or a source, and the facts that it used.

    `own`: causes that the calculation itself adds to those of the facts.
    """

    what: str
    source: str
    inputs: tuple[Key, ...] = ()
    own: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Statement:
    """Subject, quantity and conditions; value; route; evidence. SI units throughout.

    `said` is the text as the person, the maker or the instrument wrote it. `basis` is set on computed and assumed ones.
    """

    key: Key
    value: Value
    route: Route
    sense: Sense = Sense.EQUALS
    evidence: tuple[Evidence, ...] = ()
    said: str = ""
    note: str = ""
    basis: Basis | None = None
