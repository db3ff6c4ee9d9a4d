"""The uncertainty of a measurement by the GUM."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from partingline.calc.declare import Example, Real, calculation
from partingline.sources import cite

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class TypeA:
    """Means, standard uncertainties of the means, their correlation matrix, and the degrees of freedom."""

    mean: Array
    u: Array
    correlation: Array
    degrees_of_freedom: int


H2 = {
    "observations": [
        [5.007, 4.994, 5.005, 4.990, 4.999],
        [0.019663, 0.019639, 0.019640, 0.019685, 0.019678],
        [1.0456, 1.0438, 1.0468, 1.0428, 1.0433],
    ]
}


@calculation(
    source=cite("jcgm-100", "4.2 and 5.2.3", "S2"),
    units={"observations": ""},
    gives="mean and u in the unit of the observations, correlation 1, degrees_of_freedom 1",
    example=Example(
        H2,
        {"mean": [4.9990, 0.0196610, 1.04446], "u": [0.0032, 0.0000095, 0.00075]},
        0.01,
        "JCGM 100:2008, H.2, table H.2",
    ),
)
def type_a(*, observations: ArrayLike) -> TypeA:
    """Repeated observations, one row a quantity, simultaneous ones in one column.

    ValueError for fewer than two.
    """
    data = np.atleast_2d(np.asarray(observations, dtype=float))
    n = data.shape[1]
    if n < 2:
        raise ValueError("type A needs at least two observations of each quantity")
    covariance = np.atleast_2d(np.cov(data)) / n
    u = np.sqrt(np.diag(covariance))
    with np.errstate(invalid="ignore", divide="ignore"):
        correlation = np.where(np.outer(u, u) > 0, covariance / np.outer(u, u), np.eye(len(u)))
    return TypeA(mean=data.mean(axis=1), u=u, correlation=correlation, degrees_of_freedom=n - 1)


@calculation(
    source=cite("jcgm-100", "eq. 13 and 16", "S2"),
    units={"sensitivities": "", "uncertainties": "", "correlation": "1"},
    gives="unit of the result",
    example=Example(
        {"sensitivities": [1.0, 1.0, 1.0, 1.0], "uncertainties": [25.0, 9.7, 2.9, 16.6], "correlation": None},
        32.0,
        0.02,
        "JCGM 100:2008, H.1.4: 32 nm from contributions of 25, 9.7, 2.9 and 16.6 nm",
    ),
)
def combined_uncertainty(
    *, sensitivities: ArrayLike, uncertainties: ArrayLike, correlation: ArrayLike | None = None
) -> float:
    """The combined standard uncertainty; inputs are independent unless a correlation matrix is given."""
    parts = np.asarray(sensitivities, dtype=float) * np.asarray(uncertainties, dtype=float)
    r = np.eye(len(parts)) if correlation is None else np.asarray(correlation, dtype=float)
    return float(np.sqrt(max(parts @ r @ parts, 0.0)))


@calculation(
    source=cite("jcgm-100", "eq. 14 and H.2, eq. H.9", "S2"),
    units={"sensitivities": "", "uncertainties": "", "correlation": "1"},
    gives="covariance matrix in the units of the results",
    example=Example(
        {"sensitivities": [[1.0, 0.0], [1.0, 1.0]], "uncertainties": [3.0, 4.0], "correlation": None},
        [[9.0, 9.0], [9.0, 25.0]],
        0.0,
        "arithmetic",
        outside=False,
    ),
    no_outside="the test of JCGM 100, H.2 uses it: r(R,X) -0.588, r(R,Z) -0.485, r(X,Z) 0.993",
)
def combined_covariance(
    *, sensitivities: ArrayLike, uncertainties: ArrayLike, correlation: ArrayLike | None = None
) -> Array:
    """The covariance of several results of the same inputs, one row of sensitivities a result."""
    u = np.asarray(uncertainties, dtype=float)
    parts = np.atleast_2d(np.asarray(sensitivities, dtype=float)) * u
    r = np.eye(len(u)) if correlation is None else np.asarray(correlation, dtype=float)
    return np.asarray(parts @ r @ parts.T)


@calculation(
    source=cite("jcgm-100", "G.4.1, eq. G.2b", "S2"),
    units={"contributions": "", "degrees_of_freedom": "1"},
    gives="1",
    example=Example(
        {"contributions": [25.0, 9.7, 2.9, 16.6], "degrees_of_freedom": [18.0, 25.6, 50.0, 2.0]},
        16.7,
        0.01,
        "JCGM 100:2008, H.1.6: 16.7, truncated to 16",
    ),
)
def effective_degrees_of_freedom(*, contributions: ArrayLike, degrees_of_freedom: ArrayLike) -> float:
    """The Welch-Satterthwaite formula for independent contributions |c_i| u_i; degrees may be infinite."""
    fourth = np.asarray(contributions, dtype=float) ** 2
    below = np.sum(fourth**2 / np.asarray(degrees_of_freedom, dtype=float))
    return float(np.sum(fourth) ** 2 / below) if below > 0 else math.inf


@calculation(
    source=cite("jcgm-100", "table G.2", "S2"),
    units={"degrees_of_freedom": "1", "probability": "1"},
    gives="1",
    example=Example({"degrees_of_freedom": 16.0, "probability": 0.99}, 2.92, 0.001, "JCGM 100:2008, table G.2"),
)
def coverage_factor(*, degrees_of_freedom: float, probability: float = 0.95) -> float:
    """Student's factor of a symmetric interval. ValueError outside 0 < probability < 1."""
    if not 0 < probability < 1:
        raise ValueError(f"probability {probability:g}: expected a value between 0 and 1")
    from scipy.special import ndtri, stdtrit

    upper = (1 + probability) / 2
    return float(ndtri(upper) if math.isinf(degrees_of_freedom) else stdtrit(degrees_of_freedom, upper))


_DIVISORS = {"normal": 1.0, "rectangular": math.sqrt(3), "triangular": math.sqrt(6), "arcsine": math.sqrt(2)}


@calculation(
    source=cite("jcgm-100", "4.3.7 and 4.3.9", "S2"),
    units={"half_width": "", "shape": ""},
    gives="unit of the half-width",
    example=Example(
        {"half_width": 1e-6, "shape": "rectangular"},
        0.58e-6,
        0.006,
        "JCGM 100:2008, H.1.3.4: ±1e-6 gives 0.58e-6",
    ),
)
def standard_uncertainty(*, half_width: Real, shape: str = "rectangular") -> Real:
    """The standard uncertainty of bounds: normal (already u), rectangular, triangular or arcsine.

    ValueError else.
    """
    if shape not in _DIVISORS:
        raise ValueError(f"shape {shape!r}: expected one of {', '.join(_DIVISORS)}")
    return half_width / _DIVISORS[shape]


@calculation(
    source=cite("common-practice", "makers' accuracy statements", "P"),
    units={"reading": "", "range": "", "of_reading": "1", "of_range": "1"},
    gives="unit of the reading",
    example=Example(
        {"reading": 20.0, "range": 100.0, "of_reading": 0.00025, "of_range": 0.00005},
        0.010,
        1e-9,
        "ours",
        outside=False,
    ),
    no_outside="the definition of '% of reading + % of range'",
)
def accuracy_half_width(*, reading: Real, range: Real, of_reading: Real, of_range: Real) -> Real:
    """The half-width of a '% of reading + % of range' statement; rectangular unless the maker states a k."""
    return np.abs(reading) * of_reading + np.abs(range) * of_range


@calculation(
    source=cite("jcgm-100", "F.2.2.1", "S2"),
    units={"step": ""},
    gives="unit of the step",
    example=Example({"step": 1.0}, 0.29, 0.01, "JCGM 100:2008, F.2.2.1: 0.29 of the step"),
)
def resolution_uncertainty(*, step: Real) -> Real:
    """The standard uncertainty of a digital indication with a step."""
    return step / math.sqrt(12)


@dataclass(frozen=True, slots=True)
class EfficiencyUncertainty:
    """The efficiency as a fraction, its standard and its expanded (k = 2) uncertainty."""

    efficiency: Real
    u: Real
    expanded: Real


@calculation(
    source=cite("jcgm-100", "5.1.6: relative squares of a product", "S2"),
    units={
        "output_voltage": "V",
        "output_current": "A",
        "input_power": "W",
        "u_output_voltage": "V",
        "u_output_current": "A",
        "u_input_power": "W",
    },
    gives="efficiency 1, u 1, expanded 1",
    example=Example(
        {
            "output_voltage": 20.05,
            "output_current": 3.25,
            "input_power": 72.2,
            "u_output_voltage": 0.0100125 / math.sqrt(3),
            "u_output_current": 0.00575 / math.sqrt(3),
            "u_input_power": 0.2222 / math.sqrt(3),
        },
        {"efficiency": 0.902528, "u": 0.001868, "expanded": 0.003736},
        2e-4,
        "ours",
        outside=False,
    ),
    no_outside="formula of the guide; held against Monte Carlo",
)
def efficiency_uncertainty(
    *,
    output_voltage: Real,
    output_current: Real,
    input_power: Real,
    u_output_voltage: Real,
    u_output_current: Real,
    u_input_power: Real,
) -> EfficiencyUncertainty:
    """Efficiency and its uncertainty where the three readings are independent.

    Points of one meter correlate: the mean of four points does not gain by averaging.
    """
    value = output_voltage * output_current / input_power
    relative = np.sqrt(
        (u_output_voltage / output_voltage) ** 2
        + (u_output_current / output_current) ** 2
        + (u_input_power / input_power) ** 2
    )
    u = value * relative
    return EfficiencyUncertainty(efficiency=value, u=u, expanded=2 * u)
