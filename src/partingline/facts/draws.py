"""Monte Carlo draws (JCGM 101:2008), shared by cause.

An array of draws has its estimate at index 0 and the random draws behind it, so that one evaluation of a calculation
gives both. Draws are stratified: each cause's draws fill the quantiles of its distribution evenly, which makes the
mean exact and the scatter of u(y) small at few draws.
"""

import math
import zlib
from collections.abc import Mapping
from functools import lru_cache
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from partingline.model import Interval, Number, Shape

Array = NDArray[np.float64]


class Draws:
    """A fixed number of draws per cause, the same in every run.

    `moved` shifts the draws of single causes, in half-widths or standard uncertainties: what a property test turns.
    """

    def __init__(self, count: int = 2000, moved: Mapping[str, float] | None = None) -> None:
        self.count = count
        self._moved = dict(moved or {})
        self._units: dict[tuple[str, Shape], Array] = {}

    def of(self, number: Number) -> Array:
        """Draws of a number, shape (count + 1,), in its unit."""
        drawn = np.full(self.count + 1, number.value)
        for component in number.components:
            drawn += component.width * self.unit(component.cause, component.shape)
        return drawn

    def within(self, interval: Interval, cause: str) -> Array:
        """Draws spread evenly over an interval, shape (count + 1,)."""
        middle, half = (interval.low + interval.high) / 2, (interval.high - interval.low) / 2
        return middle + half * self.unit(cause, Shape.RECTANGULAR)

    def unit(self, cause: str, shape: Shape) -> Array:
        """Draws of a cause in units of its width, estimate 0 at index 0; shape (count + 1,).

        The order hangs on the cause alone, so that a cause moves two values together whatever shape each gives it.
        """
        if (cause, shape) not in self._units:
            grid = _quantiles(self.count, shape)
            order = np.random.default_rng(zlib.crc32(cause.encode())).permutation(self.count)
            self._units[cause, shape] = np.concatenate(([0.0], grid[order])) + self._moved.get(cause, 0.0)
        return self._units[cause, shape]


@lru_cache(maxsize=16)
def _quantiles(count: int, shape: Shape) -> Array:
    p = (np.arange(count) + 0.5) / count
    if shape is Shape.NORMAL:
        inverse = NormalDist().inv_cdf
        z = np.array([inverse(float(x)) for x in p])
        return np.asarray(z / z.std())
    if shape is Shape.RECTANGULAR:
        return 2 * p - 1
    if shape is Shape.TRIANGULAR:
        return np.asarray(np.where(p < 0.5, np.sqrt(2 * p) - 1, 1 - np.sqrt(2 * (1 - p))))
    return np.asarray(np.sin(math.pi * (p - 0.5)))


def standard_uncertainty(drawn: Array) -> float:
    """Standard deviation of the draws behind the estimate (JCGM 101:2008, 7.6); dust below 1e-12 is taken as 0."""
    spread = float(np.std(drawn[1:]))
    return spread if spread > 1e-12 * abs(float(drawn[0])) else 0.0


def least_squares(units: Array, values: Array) -> Array:
    """The factors (causes,) by which `units` (causes, draws) come nearest to `values` (draws,).

    By the normal equations: draws of causes hardly correlate, so that these are as good as any, and much sooner done.
    A cause that nothing moves gets 0.
    """
    # Few causes on many draws: einsum does without the threads of a linear algebra library, which cost more here.
    squares, products = np.einsum("id,jd->ij", units, units), np.einsum("id,d->i", units, values)
    return np.asarray(np.linalg.lstsq(squares, products, rcond=None)[0], dtype=np.float64)
