"""The probability that a limit is kept, and where to accept, by JCGM 106."""

from typing import Any

import numpy as np

from partingline.calc.declare import Example, Real, calculation
from partingline.calc.numbers import standard_normal_cdf, standard_normal_quantile
from partingline.sources import cite


@calculation(
    source=cite("jcgm-106", "7.4", "S2"),
    units={"value": "", "u": "", "low": "", "high": ""},
    gives="1",
    example=Example({"value": 13.6, "u": 1.8, "low": 12.5, "high": 16.3}, 0.663, 0.001, "JCGM 106:2012, 7.4"),
)
def conformity_two_sided(*, value: Real, u: Real, low: Real, high: Real) -> Real:
    """The probability that the true value lies between two limits, for a normal state of knowledge."""
    return _phi(high, value, u) + _phi(value, low, u) - 1.0


@calculation(
    source=cite("jcgm-106", "7.3.3", "M"),
    units={"value": "", "u": "", "high": ""},
    gives="1",
    example=Example({"value": -5.47, "u": 0.05, "high": -5.40}, 0.92, 0.002, "JCGM 106:2012, 7.3.3, example 1"),
)
def conformity_at_most(*, value: Real, u: Real, high: Real) -> Real:
    """The probability that the true value does not exceed an upper limit."""
    return _phi(high, value, u)


@calculation(
    source=cite("jcgm-106", "7.3.3", "M"),
    units={"value": "", "u": "", "low": ""},
    gives="1",
    example=Example({"value": 509.7, "u": 8.6, "low": 490.0}, 0.989, 0.001, "JCGM 106:2012, 7.3.3, example 2"),
)
def conformity_at_least(*, value: Real, u: Real, low: Real) -> Real:
    """The probability that the true value does not fall below a lower limit."""
    return _phi(value, low, u)


@calculation(
    source=cite("jcgm-106", "8.3.2", "S2"),
    units={"limit": "", "u": "", "false_acceptance": "1"},
    gives="unit of the limit",
    example=Example(
        {"limit": 0.1, "u": 0.005, "false_acceptance": 0.05},
        0.1 - 1.645 * 0.005,
        1e-4,
        "guard band of 1.645 u",
    ),
)
def acceptance_limit_at_most(*, limit: Real, u: Real, false_acceptance: float = 0.05) -> Real:
    """The largest measured value that may be accepted under an upper limit with a given risk."""
    return limit - standard_normal_quantile(1 - false_acceptance) * u


@calculation(
    source=cite("jcgm-106", "8.3.2", "S2"),
    units={"limit": "", "u": "", "false_acceptance": "1"},
    gives="unit of the limit",
    example=Example(
        {"limit": 0.88, "u": 0.002, "false_acceptance": 0.05},
        0.88 + 1.645 * 0.002,
        1e-5,
        "guard band of 1.645 u",
    ),
)
def acceptance_limit_at_least(*, limit: Real, u: Real, false_acceptance: float = 0.05) -> Real:
    """The smallest measured value that may be accepted above a lower limit with a given risk."""
    return limit + standard_normal_quantile(1 - false_acceptance) * u


@calculation(
    source=cite("jcgm-106", "8.3.3", "M"),
    units={"limit": "", "relative_u": "1", "probability": "1"},
    gives="unit of the limit",
    example=Example(
        {"limit": 100.0, "relative_u": 0.02, "probability": 0.999},
        107.0,
        0.005,
        "JCGM 106:2012, 8.3.3: speed trap, 106.6 rounded up to 107 km/h",
    ),
)
def rejection_limit_relative(*, limit: Real, relative_u: Real, probability: float) -> Real:
    """The value from which a limit is exceeded with a probability, where u is a share of the value."""
    return limit / (1 - standard_normal_quantile(probability) * relative_u)


@calculation(
    source=cite("jcgm-106", "7.3", "C"),
    units={"value": "", "limit": "", "probability": "1"},
    gives="unit of the limit",
    example=Example({"value": 0.092, "limit": 0.1, "probability": 0.95}, 0.00486, 0.001, "0.008/1.645", outside=False),
    no_outside="7.3 solved for u",
)
def deciding_uncertainty(*, value: Real, limit: Real, probability: float = 0.95) -> Real:
    """The standard uncertainty that would decide a value against one limit with a probability."""
    return np.abs(limit - value) / standard_normal_quantile(probability)


def _phi(limit: Any, value: Any, u: Any) -> Real:
    """Phi((limit - value)/u); a step where u is 0, with equality inside."""
    distance, spread = np.broadcast_arrays(np.asarray(limit, float) - value, np.asarray(u, float))
    with np.errstate(divide="ignore", invalid="ignore"):
        z = np.where(spread > 0, distance / spread, np.where(distance >= 0, np.inf, -np.inf))
    return standard_normal_cdf(z[()])
