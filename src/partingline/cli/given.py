"""Inputs of a calculation as people type them: `capacitance='82 µF'`, `efficiencies=0.88,0.89`, `board=no`."""

import inspect
import json
import math
from collections.abc import Iterable
from difflib import get_close_matches
from typing import Any, get_args

import numpy as np
from numpy.typing import ArrayLike

from partingline.calc.declare import Calculation
from partingline.readers.quantities import QuantityError, parse_quantity

Declared = Calculation[..., Any]
_YES = {"yes": True, "true": True, "1": True, "no": False, "false": False, "0": False}


def given_inputs(one: Declared, texts: Iterable[str]) -> dict[str, Any]:
    """The arguments in SI units; ValueError says which input is not understood or lacking, and what was expected."""
    parameters = inspect.signature(one.function, eval_str=True).parameters
    given: dict[str, Any] = {}
    for text in texts:
        name, equals, value = text.partition("=")
        name = name.strip()
        if not equals or name not in parameters:
            near = get_close_matches(name, parameters, n=1)
            hint = f"; did you mean '{near[0]}'?" if near else ""
            raise ValueError(f"'{text}': expected NAME=QUANTITY with NAME one of {', '.join(parameters)}{hint}")
        if name in given:
            raise ValueError(f"'{text}': {name} is given twice")
        given[name] = _read(name, value.strip(), one.units[name], parameters[name].annotation)
    required = [name for name, parameter in parameters.items() if parameter.default is inspect.Parameter.empty]
    if lacking := [name for name in required if name not in given]:
        told = ", ".join(f"{name} in {one.units[name]}" if one.units[name] else name for name in lacking)
        raise ValueError(f"{one.id} needs {told} as well")
    return given


def _read(name: str, text: str, unit: str, annotation: Any) -> Any:
    if not text:
        raise ValueError(f"{name}: nothing after the equals sign; expected a value{f' in {unit}' if unit else ''}")
    if annotation is str:
        return text
    if annotation is bool:
        if text.casefold() not in _YES:
            raise ValueError(f"{name}: '{text}'; expected yes or no")
        return _YES[text.casefold()]
    if set(get_args(ArrayLike)) <= set(get_args(annotation)):
        return _several(name, text, unit)
    value = _number(name, text, unit)
    if annotation is int:
        if value != round(value):
            raise ValueError(f"{name}: '{text}'; expected a whole number")
        return round(value)
    return value


def _several(name: str, text: str, unit: str) -> Any:
    """A list with commas or semicolons; a table as JSON writes it, `[[1, 2], [3, 4]]`."""
    if text.startswith("["):
        try:
            table = np.array(json.loads(text), dtype=float)
        except (ValueError, TypeError):
            raise ValueError(f"{name}: '{text}'; expected numbers such as [[1, 2], [3, 4]]") from None
        return table
    pieces = text.split(";") if ";" in text else text.split(",")
    return np.array([_number(name, piece.strip(), unit) for piece in pieces])


def _number(name: str, text: str, unit: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = _quantity(name, text, unit)
    if not math.isfinite(value):
        raise ValueError(f"{name}: '{text}'; expected a number")
    return value


def _quantity(name: str, text: str, unit: str) -> float:
    try:
        quantity = parse_quantity(text, unit={"degC": "°C", "": "1"}.get(unit, unit))
    except QuantityError as error:
        raise ValueError(f"{name}: {error}") from None
    if quantity.sense == "within":
        raise ValueError(f"{name}: '{text}' is a range; expected one value")
    return quantity.value
