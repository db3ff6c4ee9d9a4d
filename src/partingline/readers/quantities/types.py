"""What a quantity is once it is read, and what is said when it cannot be."""

from dataclasses import dataclass
from typing import Literal

Sense = Literal["equals", "nominal", "at least", "at most", "within"]


class QuantityError(ValueError):
    """A text that is not a quantity: what was expected, an example, and what may have been meant."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """A quantity as read.

    value: in `unit`; of an interval, its middle.
    unit: coherent SI (`V`, `F`, `kg`, `W/m³`), and `degC`, `K` (a difference), `1`, `VA`, `var`, `degree`.
    u: standard uncertainty in `unit`, where the text gives one.
    low, high: the interval (`within`), the tolerance band (`nominal`), or one bound (`at least`, `at most`).
    form: '' or how a voltage or current is told: `ac`, `dc`, `rms`, `p-p`, `peak`.
    notes: what was assumed on reading, in sentences.
    """

    value: float
    unit: str
    u: float | None = None
    low: float | None = None
    high: float | None = None
    sense: Sense = "equals"
    text: str = ""
    form: str = ""
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class FoundQuantity:
    """A quantity at characters `start` to `end` of a text; more than one reading: it is ambiguous."""

    start: int
    end: int
    readings: tuple[Quantity, ...]


class AmbiguousQuantity(QuantityError):  # noqa: N818 - the word of the field; it is still an error
    """A text with several readings: `readings` has them all, none is chosen."""

    def __init__(self, message: str, readings: tuple[Quantity, ...]) -> None:
        super().__init__(message)
        self.readings = readings
