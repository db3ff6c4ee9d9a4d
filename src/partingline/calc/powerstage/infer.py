"""Reading the design backwards: unknown parameters of a converter from what was measured outside.

Bayes with positive parameters in their logarithms: Gauss and Newton find the peak of the posterior, then draws of a
wide Student proposal about it are weighted by the true posterior (importance sampling), so that its shape need not be
normal; the proposal is moved and reshaped by its own weighted draws a few times (population Monte Carlo). Nothing here
knows the flyback: `backwards.flyback_model` does.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from partingline.calc.numbers import Array
from partingline.calc.powerstage.peak import log_posterior, posterior_peak

Model = Callable[[Mapping[str, Array]], Array]
"""Parameters by name, each of shape (draws,), to predictions of shape (measurements, draws)."""

DEGREES = 6
WIDEN = 1.2
ADAPTATIONS = 5
AIM = 0.1


@dataclass(frozen=True, slots=True)
class Prior:
    """What is thought of a positive parameter before: its median, and the factor that holds 68 % on each side."""

    median: float
    factor: float

    @property
    def sigma(self) -> float:
        """The standard deviation of the logarithm."""
        return float(np.log(self.factor))


@dataclass(frozen=True)
class Measured:
    """Values with their covariance, model error included."""

    values: Array
    covariance: Array


@dataclass(frozen=True)
class Posterior:
    """Equally weighted draws by parameter, the draws of the predictions, and how far they can be trusted.

    `effective` is the share of the proposals that counts (Kish); `misfit` the squared distance of the measurements
    from the best prediction in units of their uncertainty, to be compared with their number.
    """

    draws: dict[str, Array]
    predicted: Array
    effective: float
    misfit: float

    def interval(self, name: str, probability: float = 0.9) -> tuple[float, float]:
        """The central interval of a parameter."""
        low, high = np.quantile(self.draws[name], [(1 - probability) / 2, (1 + probability) / 2])
        return float(low), float(high)

    def correlation(self, one: str, other: str) -> float:
        """Of the logarithms of two parameters."""
        return float(np.corrcoef(np.log(self.draws[one]), np.log(self.draws[other]))[0, 1])


def infer(
    priors: Mapping[str, Prior], model: Model, measured: Measured, *, draws: int = 2000, seed: int = 1
) -> Posterior:
    """The posterior of the parameters. ValueError where the model has no prediction at the prior's medians."""
    names = list(priors)
    centre = np.log([priors[name].median for name in names])
    sigma = np.array([priors[name].sigma for name in names])
    weight = np.asarray(np.linalg.inv(measured.covariance), dtype=float)

    def predict(points: Array) -> Array:
        return model({name: np.exp(points[index]) for index, name in enumerate(names)})

    def weigh(points: Array, predicted: Array) -> Array:
        return log_posterior(points, predicted, centre, sigma, measured.values, weight)

    peak, spread, *_ = posterior_peak(predict, centre, sigma, measured.values, weight)
    rng = np.random.default_rng(seed)
    for turn in range(ADAPTATIONS):
        last = turn == ADAPTATIONS - 1
        points, logs_of_proposal = _proposed(rng, peak, spread, (4 if last else 1) * draws)
        predicted = predict(points)
        logs = weigh(points, predicted)
        ratio = np.where(np.isfinite(logs), logs - logs_of_proposal, -np.inf)
        shares = _tempered(ratio, 0.0 if last else AIM)
        if not last:
            peak = points @ shares
            apart = points - peak[:, np.newaxis]
            spread = (apart * shares) @ apart.T + 1e-3 * np.diag(np.diag(spread))
    best = int(np.argmax(logs))
    gap = measured.values - predicted[:, best]
    chosen = rng.choice(4 * draws, size=draws, p=shares)
    return Posterior(
        draws={name: np.exp(points[index, chosen]) for index, name in enumerate(names)},
        predicted=predicted[:, chosen],
        effective=float(1 / np.sum(shares**2) / (4 * draws)),
        misfit=float(gap @ weight @ gap),
    )


def _proposed(rng: np.random.Generator, peak: Array, spread: Array, count: int) -> tuple[Array, Array]:
    """Draws of a wide Student distribution, a column each, and the logarithm of its density up to a constant."""
    size = len(peak)
    student = rng.standard_normal((size, count)) * np.sqrt(DEGREES / rng.chisquare(DEGREES, count))
    points = peak[:, np.newaxis] + WIDEN * np.linalg.cholesky(spread) @ student
    return points, -0.5 * (DEGREES + size) * np.log1p(np.sum(student**2, axis=0) / DEGREES)


def _tempered(ratio: Array, aim: float) -> Array:
    """Weights that add up to 1, their logarithms shrunk until a share `aim` of them counts."""
    power = 1.0
    for _ in range(20):
        shares = np.exp(power * (ratio - ratio.max()))
        shares /= shares.sum()
        if 1 / np.sum(shares**2) >= aim * len(ratio):
            break
        power *= 0.7
    return np.asarray(shares, dtype=float)
