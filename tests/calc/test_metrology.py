"""Uncertainty and conformity against SciPy, Monte Carlo and the worked examples of the guides."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from partingline.calc import conformity, thermal, uncertainty
from partingline.calc.numbers import standard_normal_cdf, standard_normal_quantile

VALUE = st.floats(-100.0, 100.0)
U = st.floats(1e-3, 50.0)


@given(st.floats(-30.0, 30.0))
def test_normal_distribution_against_scipy(z: float) -> None:
    assert standard_normal_cdf(z) == pytest.approx(stats.norm.cdf(z), rel=1e-10, abs=1e-300)


@given(st.floats(1e-6, 1 - 1e-6))
def test_normal_quantile_against_scipy(p: float) -> None:
    assert standard_normal_quantile(p) == pytest.approx(stats.norm.ppf(p), rel=1e-9, abs=1e-12)


@given(VALUE, U, VALUE, st.floats(0.0, 100.0))
def test_conformity_two_sided_is_what_the_one_sided_leave(value: float, u: float, low: float, width: float) -> None:
    high = low + width
    two = conformity.conformity_two_sided(value=value, u=u, low=low, high=high)
    below = conformity.conformity_at_most(value=value, u=u, high=high)
    above = conformity.conformity_at_least(value=value, u=u, low=low)
    assert two == pytest.approx(below + above - 1, abs=1e-12)
    assert two == pytest.approx(stats.norm.cdf(high, value, u) - stats.norm.cdf(low, value, u), abs=1e-9)


def test_certain_values_step_at_the_limit() -> None:
    """Without uncertainty a value on the limit conforms."""
    assert conformity.conformity_at_most(value=1.0, u=0.0, high=1.0) == 1.0
    assert conformity.conformity_at_least(value=1.0, u=0.0, low=1.0) == 1.0
    assert conformity.conformity_at_least(value=0.999, u=0.0, low=1.0) == 0.0
    assert conformity.conformity_two_sided(value=1.0, u=0.0, low=1.0, high=1.0) == 1.0


@given(VALUE, U, st.floats(0.001, 0.4))
def test_acceptance_limit_carries_its_risk(limit: float, u: float, risk: float) -> None:
    """JCGM 106, 8.3.2: a value on the acceptance limit conforms with one minus the risk."""
    highest = conformity.acceptance_limit_at_most(limit=limit, u=u, false_acceptance=risk)
    assert conformity.conformity_at_most(value=highest, u=u, high=limit) == pytest.approx(1 - risk)
    lowest = conformity.acceptance_limit_at_least(limit=limit, u=u, false_acceptance=risk)
    assert conformity.conformity_at_least(value=lowest, u=u, low=limit) == pytest.approx(1 - risk)


@given(VALUE, VALUE, st.floats(0.55, 0.999))
def test_deciding_uncertainty_decides(value: float, limit: float, probability: float) -> None:
    u = conformity.deciding_uncertainty(value=value, limit=limit, probability=probability)
    if u > 1e-9:
        pc = conformity.conformity_at_most(value=value, u=u, high=limit)
        assert max(pc, 1 - pc) == pytest.approx(probability, rel=1e-6)


@pytest.mark.parametrize(
    ("degrees", "expected"), [(1, 12.71), (2, 4.30), (5, 2.57), (10, 2.23), (20, 2.09), (50, 2.01), (np.inf, 1.960)]
)
def test_coverage_factor_against_the_table_of_the_guide(degrees: float, expected: float) -> None:
    """JCGM 100:2008, table G.2, 95 %."""
    got = uncertainty.coverage_factor(degrees_of_freedom=degrees, probability=0.95)
    assert got == pytest.approx(expected, abs=0.006)
    assert got == pytest.approx(stats.t.ppf(0.975, degrees), rel=1e-8)


def test_resistance_and_reactance_with_and_without_correlation() -> None:
    """JCGM 100:2008, H.2: published u(R) 0.071, u(X) 0.295, u(Z) 0.236 Ω; without correlation they come out wrong."""
    v, i, phi = 4.9990, 19.6610e-3, 1.04446
    z = v / i
    r, x = z * np.cos(phi), z * np.sin(phi)
    slopes = [[r / v, -r / i, -x], [x / v, -x / i, r], [z / v, -z / i, 0.0]]
    u = [0.0032, 0.0095e-3, 0.00075]
    correlation = [[1, -0.36, 0.86], [-0.36, 1, -0.65], [0.86, -0.65, 1]]
    for row, published, alone in zip(slopes, (0.071, 0.295, 0.236), (0.194, 0.201, 0.204), strict=True):
        together = uncertainty.combined_uncertainty(sensitivities=row, uncertainties=u, correlation=correlation)
        assert together == pytest.approx(published, rel=0.02)
        assert uncertainty.combined_uncertainty(sensitivities=row, uncertainties=u) == pytest.approx(alone, rel=0.02)


def test_efficiency_uncertainty_against_monte_carlo() -> None:
    """JCGM 101 with NumPy's generator: 200,000 draws of the three readings."""
    rng = np.random.default_rng(7)
    n = 200_000
    v, i, p = rng.normal(20.05, 0.02, n), rng.normal(3.25, 0.01, n), rng.normal(72.2, 0.3, n)
    got = uncertainty.efficiency_uncertainty(
        output_voltage=20.05, output_current=3.25, input_power=72.2, u_output_voltage=0.02, u_output_current=0.01,
        u_input_power=0.3,
    )  # fmt: skip
    assert got.u == pytest.approx(float(np.std(v * i / p)), rel=0.01)


def test_what_the_guide_does_not_know_is_refused() -> None:
    with pytest.raises(ValueError, match="two observations"):
        uncertainty.type_a(observations=[[1.0]])
    with pytest.raises(ValueError, match="between 0 and 1"):
        uncertainty.coverage_factor(degrees_of_freedom=3.0, probability=95.0)
    with pytest.raises(ValueError, match="rectangular"):
        uncertainty.standard_uncertainty(half_width=1.0, shape="square")


@given(st.floats(15.0, 40.0), st.floats(1.0, 60.0), st.floats(60.0, 7200.0), st.floats(0.05, 3.0))
def test_three_points_of_an_exponential_give_it_back(start: float, rise: float, tau: float, spacing: float) -> None:
    final, interval = start + rise, spacing * tau
    points = [
        thermal.temperature_after(final=final, start=start, time=n * interval, time_constant=tau) for n in range(3)
    ]
    got = thermal.steady_state_from_three_points(first=points[0], second=points[1], third=points[2], interval=interval)
    assert got.temperature == pytest.approx(final, rel=1e-6)
    assert got.time_constant == pytest.approx(tau, rel=1e-5)


def test_readings_that_do_not_settle_give_no_number() -> None:
    got = thermal.steady_state_from_three_points(first=25.0, second=30.0, third=36.0, interval=60.0)
    assert np.isnan(got.temperature)
    assert np.isnan(got.time_constant)
