"""The peak of a posterior by Gauss and Newton, and what the model looks like there: parameters in their logarithms."""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from partingline.calc.numbers import Array

STEPS = 12
ENOUGH = 3e-3
"""Gain in nats below which the peak is reached."""
Predict = Callable[[Array], Array]
"""Points of shape (parameters, points) to predictions of shape (measurements, points)."""


class Peak(NamedTuple):
    """Where the posterior is highest, with m measurements and k parameters.

    `at` (k,) logarithms; `spread` (k, k) their covariance there; `predicted` (m,) and `slopes` (m, k) of the model.
    """

    at: Array
    spread: Array
    predicted: Array
    slopes: Array


def posterior_peak(predict: Predict, centre: Array, sigma: Array, values: Array, weight: Array) -> Peak:
    """The peak for a normal prior (`centre`, `sigma`) and measured values with the inverse covariance `weight`.

    ValueError where the model has no prediction at the prior's centre.
    """

    def around(at: Array) -> tuple[Array, Array, float]:
        predicted, slopes = _slopes(predict, at)
        return predicted, slopes, float(log(at[:, np.newaxis], predicted[:, np.newaxis])[0])

    def log(points: Array, predicted: Array) -> Array:
        return log_posterior(points, predicted, centre, sigma, values, weight)

    at = centre.copy()
    predicted, slopes, now = around(at)
    if not np.all(np.isfinite(predicted)):
        raise ValueError("the model gives no number at the prior's medians: move them, or leave such points out")
    spread = _spread(slopes, weight, sigma)
    for _ in range(STEPS):
        move = spread @ (slopes.T @ weight @ (values - predicted) - (at - centre) / sigma**2)
        there = at + move
        found = around(there)
        if not found[2] > now:
            tries = at[:, np.newaxis] + move[:, np.newaxis] * 0.5 ** np.arange(1, 8)
            logs = log(tries, predict(tries))
            there = np.asarray(tries[:, int(np.argmax(logs))], dtype=float)
            found = around(there)
        if not found[2] > now:
            break
        gained, at, (predicted, slopes, now) = found[2] - now, there, found
        spread = _spread(slopes, weight, sigma)
        if gained < ENOUGH:
            break
    return Peak(at, spread, predicted, slopes)


def _slopes(predict: Predict, at: Array, step: float = 1e-3) -> tuple[Array, Array]:
    count = len(at)
    found = predict(
        at[:, np.newaxis] + step * np.concatenate([np.zeros((count, 1)), np.eye(count), -np.eye(count)], axis=1)
    )
    slopes = (found[:, 1 : count + 1] - found[:, count + 1 :]) / (2 * step)
    return np.asarray(found[:, 0], dtype=float), np.where(np.isfinite(slopes), slopes, 0.0)


def _spread(slopes: Array, weight: Array, sigma: Array) -> Array:
    spread = np.asarray(np.linalg.inv(slopes.T @ weight @ slopes + np.diag(1 / sigma**2)), dtype=float)
    return np.asarray(0.5 * (spread + spread.T), dtype=float)


def log_posterior(points: Array, predicted: Array, centre: Array, sigma: Array, values: Array, weight: Array) -> Array:
    """Up to a constant, for each column; -inf where the model gives no number."""
    gap = values[:, np.newaxis] - predicted
    fit = np.einsum("id,ij,jd->d", np.nan_to_num(gap), weight, np.nan_to_num(gap))
    known = np.sum(((points - centre[:, np.newaxis]) / sigma[:, np.newaxis]) ** 2, axis=0)
    return np.where(np.all(np.isfinite(predicted), axis=0), -0.5 * (fit + known), -np.inf)
