"""The peak of a posterior by Gauss and Newton, and what the model looks like there: parameters in their logarithms."""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from partingline.calc.numbers import Array

STEPS = 12
ENOUGH = 1e-4
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
    at, step = centre.copy(), 1e-3
    count = len(centre)
    prior = np.diag(1 / sigma**2)
    for turn in range(STEPS):
        around = at[:, np.newaxis] + step * np.concatenate(
            [np.zeros((count, 1)), np.eye(count), -np.eye(count)], axis=1
        )
        found = predict(around)
        if turn == 0 and not np.all(np.isfinite(found[:, 0])):
            raise ValueError("the model gives no number at the prior's medians: move them, or leave such points out")
        slopes = (found[:, 1 : count + 1] - found[:, count + 1 :]) / (2 * step)
        slopes = np.where(np.isfinite(slopes), slopes, 0.0)
        spread = np.asarray(np.linalg.inv(slopes.T @ weight @ slopes + prior), dtype=float)
        pull = slopes.T @ weight @ (values - found[:, 0]) - (at - centre) / sigma**2
        tries = at[:, np.newaxis] + (spread @ pull)[:, np.newaxis] * 0.5 ** np.arange(8)
        logs = log_posterior(tries, predict(tries), centre, sigma, values, weight)
        now = log_posterior(at[:, np.newaxis], found[:, :1], centre, sigma, values, weight)[0]
        best = int(np.argmax(logs))
        if not logs[best] > now + ENOUGH:
            break
        at = np.asarray(tries[:, best], dtype=float)
    return Peak(at, np.asarray(0.5 * (spread + spread.T), dtype=float), np.asarray(found[:, 0], dtype=float), slopes)


def log_posterior(points: Array, predicted: Array, centre: Array, sigma: Array, values: Array, weight: Array) -> Array:
    """Up to a constant, for each column; -inf where the model gives no number."""
    gap = values[:, np.newaxis] - predicted
    fit = np.einsum("id,ij,jd->d", np.nan_to_num(gap), weight, np.nan_to_num(gap))
    known = np.sum(((points - centre[:, np.newaxis]) / sigma[:, np.newaxis]) ** 2, axis=0)
    return np.where(np.all(np.isfinite(predicted), axis=0), -0.5 * (fit + known), -np.inf)
