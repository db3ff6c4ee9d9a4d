"""The steady temperature of a warming body, before or after it is reached: one or two time constants, by least squares.

T(t) = T∞ - A₁ e^(-t/τ₁) - A₂ e^(-t/τ₂): the step response of one or two thermal masses. Linear in T∞ and A, so that
only the time constants are searched (variable projection); uncertainties from the Jacobian at the solution (JCGM
100:2008, H.3 for the straight line), widened where neighbouring residuals resemble each other."""

import math
from dataclasses import dataclass

import numpy as np

from partingline.readers.logs.types import Floats

_POINTS = 400
_GRID = 28
_ROUNDS = 40


@dataclass(frozen=True, slots=True)
class WarmUp:
    """Steady value and its standard uncertainty; amplitudes and time constants (s), the slow one last.

    covariance: of (steady, amplitudes..., logarithms of the time constants...). residual: standard deviation about the
    curve. Temperatures in the unit of the input.
    """

    steady: float
    u_steady: float
    amplitudes: tuple[float, ...]
    time_constants: tuple[float, ...]
    covariance: Floats
    residual: float

    @property
    def slow(self) -> float:
        """The slow time constant in s."""
        return self.time_constants[-1]

    @property
    def u_slow(self) -> float:
        """Standard uncertainty of the slow time constant in s."""
        return self.slow * math.sqrt(max(0.0, float(self.covariance[-1, -1])))

    def left(self, time: float) -> float:
        """What is still missing from the steady value at a time."""
        return sum(a * math.exp(-time / tau) for a, tau in zip(self.amplitudes, self.time_constants, strict=True))

    def reaches(self, within: float) -> tuple[float, float]:
        """When the curve comes within a distance of its end for good, and the standard uncertainty of that, in s."""
        low, high = 0.0, 50.0 * self.slow
        if abs(self.left(0.0)) <= within:
            return 0.0, 0.0
        for _ in range(80):
            middle = (low + high) / 2
            low, high = (middle, high) if abs(self.left(middle)) > within else (low, middle)
        at = high
        slopes = [0.0]
        slopes += [math.exp(-at / tau) for tau in self.time_constants]
        slopes += [a * math.exp(-at / t) * at / t for a, t in zip(self.amplitudes, self.time_constants, strict=True)]
        rate = sum(a / t * math.exp(-at / t) for a, t in zip(self.amplitudes, self.time_constants, strict=True))
        gradient = np.array(slopes) / rate
        return at, math.sqrt(max(0.0, float(gradient @ self.covariance @ gradient)))


def fit_warm_up(time: Floats, temperature: Floats) -> WarmUp | None:
    """The curve through a warming (or cooling) record; None where it holds too little: fewer than 12 samples, no rise.

    time in s from the start of heating, of the same length as `temperature`; no NaN. The second time constant is kept
    where it lowers the Bayesian information criterion by more than 10 and differs from the first by more than a
    factor 2."""
    time, temperature = _thinned(time, temperature)
    if len(time) < 12 or float(np.ptp(time)) == 0.0:
        return None
    span = float(time[-1] - time[0])
    noise = float(np.median(np.abs(np.diff(temperature)))) / (0.6745 * math.sqrt(2))
    if abs(float(temperature[-3:].mean() - temperature[:3].mean())) < 5 * max(noise, 1e-9):
        return None
    grid = np.geomspace(max(2.0 * span / len(time), span / 500), 5.0 * span, _GRID)
    one = _refined(time, temperature, [float(grid[_best_one(time, temperature, grid)])])
    two = _refined(time, temperature, _best_two(time, temperature, grid))
    if one is None or two is None:
        return one or two
    n = len(time)
    gain = 2 * n * math.log(max(one.residual, 1e-12) / max(two.residual, 1e-12)) - 2 * math.log(n)
    apart = two.time_constants[1] > 2 * two.time_constants[0] and two.amplitudes[0] * two.amplitudes[1] > 0
    return two if gain > 10 and apart else one


def _thinned(time: Floats, values: Floats) -> tuple[Floats, Floats]:
    block = -(-len(time) // _POINTS)
    whole = len(time) // block * block if block else 0
    if block <= 1:
        return time, values
    return time[:whole].reshape(-1, block).mean(axis=1), values[:whole].reshape(-1, block).mean(axis=1)


def _design(time: Floats, taus: Floats) -> Floats:
    return np.column_stack([np.ones_like(time), *(-np.exp(-time / tau) for tau in taus)])


def _best_one(time: Floats, values: Floats, grid: Floats) -> int:
    squares = [_squares(time, values, np.array([tau])) for tau in grid]
    return int(np.argmin(squares))


def _best_two(time: Floats, values: Floats, grid: Floats) -> list[float]:
    """The best pair of the grid, by the normal equations of all pairs at once."""
    columns = _design(time, grid)
    gram, right = columns.T @ columns, columns.T @ (values - values.mean())
    first, second = np.triu_indices(len(grid), 2)
    picked = np.column_stack([np.zeros_like(first), first + 1, second + 1])
    blocks = gram[picked[:, :, None], picked[:, None, :]] + 1e-9 * np.eye(3)
    rights = right[picked]
    solved = np.linalg.solve(blocks, rights[:, :, None])[:, :, 0]
    best = int(np.argmax(np.einsum("ij,ij->i", solved, rights)))
    return [float(grid[first[best]]), float(grid[second[best]])]


def _squares(time: Floats, values: Floats, taus: Floats) -> float:
    design = _design(time, taus)
    solved = np.linalg.lstsq(design, values, rcond=None)[0]
    rest = values - design @ solved
    return float(rest @ rest)


def _refined(time: Floats, values: Floats, start: list[float]) -> WarmUp | None:
    """Levenberg-Marquardt on the logarithms of the time constants, the linear parameters solved anew in each round."""
    logs, damping = np.log(np.array(start)), 1e-3
    low, high = math.log(float(np.ptp(time)) / 2000), math.log(float(np.ptp(time)) * 20)
    best = _squares(time, values, np.exp(logs))
    for _ in range(_ROUNDS):
        design, linear, jacobian = _jacobian(time, values, np.exp(logs))
        rest = values - design @ linear
        normal = jacobian.T @ jacobian
        lhs = normal + damping * np.diag(np.diag(normal) + 1e-12)
        step = np.linalg.lstsq(lhs, jacobian.T @ rest, rcond=None)[0][1 + len(logs) :]
        trial = np.clip(logs + np.clip(step, -0.7, 0.7), low, high)
        squares = _squares(time, values, np.exp(trial))
        if squares < best:
            done = best - squares < 1e-10 * best
            logs, best, damping = trial, squares, max(damping / 5, 1e-9)
            if done:
                break
        else:
            damping *= 8
            if damping > 1e6:
                break
    return _result(time, values, np.sort(np.exp(logs)))


def _jacobian(time: Floats, values: Floats, taus: Floats) -> tuple[Floats, Floats, Floats]:
    """Design matrix, its solution, and the derivatives by (steady, amplitudes, log τ)."""
    design = _design(time, taus)
    linear = np.asarray(np.linalg.lstsq(design, values, rcond=None)[0], np.float64)
    curved = [a * np.exp(-time / tau) * -time / tau for a, tau in zip(linear[1:], taus, strict=True)]
    return design, linear, np.column_stack([design, *curved])


def _result(time: Floats, values: Floats, taus: Floats) -> WarmUp | None:
    design, linear, jacobian = _jacobian(time, values, taus)
    rest = values - design @ linear
    free = len(time) - jacobian.shape[1]
    variance = float(rest @ rest) / max(free, 1)
    rho = float(rest[1:] @ rest[:-1] / max(float(rest @ rest), 1e-30))
    widen = (1 + rho) / (1 - rho) if 2 / math.sqrt(len(rest)) < rho < 0.98 else 1.0
    covariance = np.linalg.pinv(jacobian.T @ jacobian, rcond=1e-14) * variance * widen
    if not np.isfinite(covariance).all():
        return None
    return WarmUp(
        steady=float(linear[0]),
        u_steady=math.sqrt(max(0.0, float(covariance[0, 0]))),
        amplitudes=tuple(float(a) for a in linear[1:]),
        time_constants=tuple(float(tau) for tau in taus),
        covariance=covariance,
        residual=math.sqrt(variance),
    )
