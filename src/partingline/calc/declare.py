"""How a calculation is declared: what a reader must know stands beside the function, as data."""

import inspect
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Generic, ParamSpec, TypeVar

import numpy as np
from numpy.typing import NDArray

from partingline.model import Citation

Real = float | NDArray[np.float64]
"""An SI value or an array of draws of it."""

P = ParamSpec("P")
R = TypeVar("R")


@dataclass(frozen=True, slots=True)
class Example:
    """A worked example, shown by the documentation and run by a test, and whose it is.

    `result` is a number, a text, a sequence, or a mapping of some fields of a record result. `tolerance` is
    relative to each number; 0 asks for the number itself. `outside` is false where the numbers were worked
    out in this project.
    """

    inputs: Mapping[str, Any]
    result: Any
    tolerance: float
    source: str
    outside: bool = True


@dataclass(frozen=True)
class Calculation(Generic[P, R]):
    """A declared pure function. Calling it calls the function.

    `units` names the unit of each argument ("" for text or plain numbers), `gives` that of the result; a
    record result lists its fields. `valid_for` gives per argument the range in which the source holds;
    `errata` what the source gets wrong. `no_outside` says why no example from outside the project stands
    beside it.
    """

    id: str
    function: Callable[P, R]
    source: Citation
    units: Mapping[str, str]
    gives: str
    valid_for: Mapping[str, tuple[float, float]]
    errata: str
    example: Example | None
    no_outside: str = ""

    def __call__(self, *args: P.args, **kwargs: P.kwargs) -> R:
        return self.function(*args, **kwargs)

    @property
    def summary(self) -> str:
        """The first sentence of the docstring."""
        return (inspect.getdoc(self.function) or "").partition("\n")[0]

    def outside_validity(self, inputs: Mapping[str, Any]) -> list[str]:
        """A sentence for each input that lies outside the range in which the source holds."""
        return [
            f"{name} = {_span(inputs[name])} lies outside {low:g} to {high:g} {self.units[name]}".rstrip()
            for name, (low, high) in self.valid_for.items()
            if name in inputs and (np.min(inputs[name]) < low or np.max(inputs[name]) > high)
        ]


def _span(value: Any) -> str:
    low, high = float(np.min(value)), float(np.max(value))
    return f"{low:g}" if low == high else f"{low:g} to {high:g}"


CALCULATIONS: dict[str, Calculation[..., Any]] = {}
"""Every declared calculation by id. Complete once `partingline.calc` is imported."""


def calculation(
    *,
    source: Citation,
    units: Mapping[str, str],
    gives: str,
    valid_for: Mapping[str, tuple[float, float]] | None = None,
    errata: str = "",
    example: Example | None = None,
    no_outside: str = "",
) -> Callable[[Callable[P, R]], Calculation[P, R]]:
    """Declare a pure, keyword-only function as a calculation; TypeError where the two differ."""

    def declare(function: Callable[P, R]) -> Calculation[P, R]:
        parameters = inspect.signature(function).parameters
        positional = [name for name, p in parameters.items() if p.kind is not p.KEYWORD_ONLY]
        if positional:
            raise TypeError(f"{function.__name__}: {', '.join(positional)} must be keyword-only")
        if set(parameters) != set(units):
            raise TypeError(f"{function.__name__}: units and signature differ in {set(parameters) ^ set(units)}")
        id_ = f"{function.__module__.rpartition('.')[2]}.{function.__name__}"
        if id_ in CALCULATIONS:
            raise TypeError(f"two calculations are called {id_}")
        made = Calculation(id_, function, source, units, gives, dict(valid_for or {}), errata, example, no_outside)
        CALCULATIONS[id_] = made
        return made

    return declare
