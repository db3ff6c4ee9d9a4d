"""Which single measurement would narrow the unknowns most."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from partingline.calc.numbers import Array


@dataclass(frozen=True, slots=True)
class Gain:
    """What a measurement would bring: information in nats, and by parameter the share of its spread that would stay."""

    name: str
    information: float
    left: dict[str, float]

    @property
    def narrows(self) -> str:
        """The parameter that it narrows most."""
        return min(self.left, key=lambda name: self.left[name])


def which_measurement(
    draws: Mapping[str, Array], predicted: Mapping[str, Array], uncertainty: Mapping[str, float]
) -> tuple[Gain, ...]:
    """Candidate measurements, the most useful first.

    `draws` are those of the parameters as they are known now, `predicted` what each candidate would read with them,
    `uncertainty` its standard uncertainty. The update is linear in the logarithms of the parameters (the first order
    of Bayes' rule): variance falls by cov²/(var + u²). KeyError where a candidate has no uncertainty.
    """
    logs = {name: np.log(values) for name, values in draws.items()}
    gains = [_gain(name, logs, reading, uncertainty[name]) for name, reading in predicted.items()]
    return tuple(sorted(gains, key=lambda gain: -gain.information))


def narrowing(
    spread: Array, unknown: Mapping[str, int], candidates: Mapping[str, tuple[Array, float]]
) -> tuple[Gain, ...]:
    """The same from a covariance of the parameters' logarithms (k, k), without draws; the most useful first.

    `unknown` names the rows that matter; a candidate is its slope over all parameters (k,) and its uncertainty, both
    of the logarithm of what it reads.
    """
    rows = list(unknown.values())
    before = np.linalg.slogdet(spread[np.ix_(rows, rows)])[1]
    gains = []
    for name, (slope, u) in candidates.items():
        moved = spread @ slope
        after = spread - np.outer(moved, moved) / (float(slope @ moved) + u**2)
        information = 0.5 * (before - np.linalg.slogdet(after[np.ix_(rows, rows)])[1])
        left = {one: float(np.sqrt(max(after[row, row] / spread[row, row], 0.0))) for one, row in unknown.items()}
        gains.append(Gain(name, float(information), left))
    return tuple(sorted(gains, key=lambda gain: -gain.information))


def _gain(name: str, logs: Mapping[str, Array], reading: Array, u: float) -> Gain:
    good = np.isfinite(reading)
    seen = reading[good] - reading[good].mean()
    explained, spread = _explained(logs, good, seen)
    noise = u**2 + max(spread - explained, 0.0)
    left = {}
    for parameter, values in logs.items():
        own = values[good] - values[good].mean()
        shared = float(np.mean(own * seen)) ** 2 / (spread + u**2)
        variance = float(np.mean(own**2))
        left[parameter] = float(np.sqrt(max(1 - shared / variance, 0.0))) if variance else 1.0
    return Gain(name, 0.5 * float(np.log1p(explained / noise)), left)


def _explained(logs: Mapping[str, Array], good: Array, seen: Array) -> tuple[float, float]:
    """The variance of the reading that the parameters explain linearly, and the whole."""
    matrix = np.stack([values[good] - values[good].mean() for values in logs.values()], axis=1)
    weights, *_ = np.linalg.lstsq(matrix, seen, rcond=None)
    return float(np.var(matrix @ weights)), float(np.var(seen))
