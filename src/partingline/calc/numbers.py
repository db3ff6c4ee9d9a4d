"""Numerical tools that work on whole arrays of draws."""

import dataclasses
import math
from collections.abc import Callable
from functools import cache
from statistics import NormalDist
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from partingline.calc.declare import Real

Array = NDArray[np.float64]
Record = TypeVar("Record")

_ERFC = np.frompyfunc(math.erfc, 1, 1)


def plain(values: Any) -> Real:
    """A plain float where the array has no axes, else the array itself."""
    real: Real = np.asarray(values, dtype=float)[()]
    return real


def bisect(function: Callable[[Array], Array], low: Array, high: Array, *, halvings: int = 55) -> Array:
    """The root of a function that rises from below zero at `low` to above zero at `high`, elementwise.

    NaN where the signs at the ends are not so.
    """
    bracketed = (function(low) <= 0) & (function(high) >= 0)
    for _ in range(halvings):
        middle = 0.5 * (low + high)
        above = function(middle) > 0
        low, high = np.where(above, low, middle), np.where(above, middle, high)
    return np.where(bracketed, 0.5 * (low + high), np.nan)


def gauss_legendre(function: Callable[[Array], Array], low: Array, high: Array) -> Array:
    """The integral of a smooth function between two arrays of bounds of shape (n,), with 48 nodes."""
    nodes, weights = _legendre()
    half, centre = 0.5 * (high - low), 0.5 * (high + low)
    return half * np.asarray(weights @ function(centre + half * nodes[:, np.newaxis]))


@cache
def _legendre() -> tuple[Array, Array]:
    nodes, weights = np.polynomial.legendre.leggauss(48)
    return np.asarray(nodes), np.asarray(weights)


def standard_normal_cdf(z: Real) -> Real:
    """Phi(z), elementwise."""
    return plain(0.5 * np.asarray(_ERFC(-np.asarray(z, dtype=float) / math.sqrt(2)), dtype=float))


def standard_normal_quantile(probability: float) -> float:
    """The z with Phi(z) = probability; ValueError outside 0 to 1."""
    return NormalDist().inv_cdf(probability)


def truthful(record: Record, *arguments: Any) -> Record:
    """The record with its fields in the arguments' common shape: floats where all arguments were scalars."""
    shape = np.broadcast_shapes(*(np.shape(argument) for argument in arguments))
    fields = dataclasses.fields(record)  # type: ignore[arg-type]
    shaped = {field.name: np.reshape(getattr(record, field.name), shape)[()] for field in fields}
    return dataclasses.replace(record, **shaped)  # type: ignore[type-var]
