"""Reading the design backwards: coverage on the demonstration's converter, exactness where it can be known.

The demonstration's physics is another model (lossless cycle at the mean bulk voltage) than the one that reads it.
"""

import numpy as np
import pytest

from partingline.calc.powerstage.backwards import flyback_model, measured_with_model_error, trade_priors
from partingline.calc.powerstage.infer import Measured, Prior, infer
from partingline.calc.powerstage.which_measurement import which_measurement
from tests.calc.powerstage.converter import known, readings, truth


def coverage(repetitions: int, draws: int) -> dict[str, float]:
    """The share of repetitions whose 90 % interval holds the hidden value, by parameter."""
    hidden, hits = truth(), dict.fromkeys(truth(), 0)
    for repetition in range(repetitions):
        seen = readings(np.random.default_rng(1000 + repetition))
        priors = trade_priors(output_voltage=20.0, output_power=65.0, core_area=86e-6)
        got = infer(priors, flyback_model(known(), seen), measured_with_model_error(seen), draws=draws, seed=repetition)
        for name, value in hidden.items():
            low, high = got.interval(name)
            hits[name] += low <= value <= high
    return {name: count / repetitions for name, count in hits.items()}


def test_the_posterior_covers_the_hidden_values() -> None:
    assert min(coverage(6, 250).values()) >= 0.8


@pytest.mark.prove
@pytest.mark.timeout(3000)
def test_the_posterior_covers_the_hidden_values_in_200_repetitions() -> None:
    found = coverage(200, 500)
    assert min(found.values()) >= 0.9, found


def test_the_measurements_narrow_the_priors() -> None:
    seen = readings(np.random.default_rng(3))
    priors = trade_priors(output_voltage=20.0, output_power=65.0, core_area=86e-6)
    got = infer(priors, flyback_model(known(), seen), measured_with_model_error(seen), draws=800)
    for name in ("turns_ratio", "magnetising_inductance"):
        assert np.std(np.log(got.draws[name])) < 0.6 * priors[name].sigma, name
    assert got.effective > 0.02
    assert got.misfit < 3 * len(seen)


def test_a_linear_problem_gives_the_normal_posterior() -> None:
    """One parameter, y = log x with variance s²: precision adds (Bayes, conjugate normal)."""
    prior = {"x": Prior(2.0, float(np.exp(0.5)))}
    measured = Measured(np.array([1.0]), np.array([[0.09]]))
    got = infer(prior, lambda p: np.log(p["x"])[np.newaxis], measured, draws=20000)
    precision = 1 / 0.25 + 1 / 0.09
    mean = (np.log(2.0) / 0.25 + 1.0 / 0.09) / precision
    drawn = np.log(got.draws["x"])
    assert drawn.mean() == pytest.approx(mean, abs=0.01)
    assert drawn.std() == pytest.approx(precision**-0.5, rel=0.03)
    assert got.effective > 0.5


def test_intervals_of_random_truths_are_covered_as_often_as_they_say() -> None:
    """Truths drawn from the prior, two parameters of which only a product and a sum are seen: calibration of Bayes."""
    rng = np.random.default_rng(8)
    priors = {"a": Prior(1.0, 1.5), "b": Prior(3.0, 1.5)}
    u = np.diag([0.05, 0.2]) ** 2
    inside = 0
    for repetition in range(200):
        a, b = np.exp(rng.normal(np.log([1.0, 3.0]), np.log(1.5)))
        values = np.array([a * b, a + b]) + rng.normal(0, [0.05, 0.2])
        got = infer(
            priors,
            lambda p: np.stack([p["a"] * p["b"], p["a"] + p["b"]]),
            Measured(values, u),
            draws=300,
            seed=repetition,
        )
        low, high = got.interval("a")
        inside += low <= a <= high
    assert 168 <= inside <= 192, "90 % of 200, within three standard deviations"


def test_the_most_useful_measurement_is_the_one_that_shows_the_unknown() -> None:
    rng = np.random.default_rng(2)
    draws = {"x": np.exp(rng.normal(0, 0.5, 4000)), "y": np.exp(rng.normal(0, 0.1, 4000))}
    predicted = {"shows x": draws["x"], "shows y": draws["y"], "shows nothing": rng.normal(0, 1e-9, 4000)}
    gains = which_measurement(draws, predicted, {"shows x": 0.05, "shows y": 0.05, "shows nothing": 0.05})
    assert [gain.name for gain in gains] == ["shows x", "shows y", "shows nothing"]
    assert gains[0].narrows == "x"
    assert gains[0].left["x"] < 0.5
    assert gains[0].left["y"] == pytest.approx(1.0, abs=0.01)
    assert gains[2].information == pytest.approx(0.0, abs=1e-3)
