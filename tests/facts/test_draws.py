"""Draws by cause. Sources: JCGM 100:2008, 4.3 (standard uncertainty of each shape), JCGM 101:2008, 6.4 (the shapes) and
7.6 (estimate and spread from draws). scipy.stats is the independent reference.
"""

import math

import numpy as np
import pytest
from scipy import stats

from partingline.facts.draws import Draws, standard_uncertainty
from partingline.model import Component, Interval, Number, Shape

COUNT = 2000
REFERENCE = {
    Shape.NORMAL: (stats.norm(), 1.0, "JCGM 101:2008, 6.4.7"),
    Shape.RECTANGULAR: (stats.uniform(-1, 2), 1 / math.sqrt(3), "JCGM 100:2008, 4.3.7"),
    Shape.TRIANGULAR: (stats.triang(0.5, -1, 2), 1 / math.sqrt(6), "JCGM 100:2008, 4.3.9"),
    Shape.ARCSINE: (stats.arcsine(-1, 2), 1 / math.sqrt(2), "JCGM 101:2008, 6.4.6"),
}


@pytest.mark.parametrize("shape", Shape)
def test_moments_of_each_shape(shape: Shape) -> None:
    reference, u, _ = REFERENCE[shape]
    drawn = Draws(COUNT).unit("a cause", shape)[1:]
    assert Component("a cause", -3.0, shape).u == pytest.approx(3 * u)
    assert drawn.mean() == pytest.approx(0.0, abs=1e-12)
    assert drawn.std() == pytest.approx(u, rel=2e-3)
    assert drawn.std() == pytest.approx(reference.std(), rel=2e-3)
    assert stats.kurtosis(drawn) == pytest.approx(float(reference.stats(moments="k")), abs=0.05)


@pytest.mark.parametrize("shape", Shape)
def test_every_stratum_holds_one_draw(shape: Shape) -> None:
    """Stratified sampling: one draw in each of the equally probable strata; own definition in `facts/draws.py`."""
    drawn = Draws(COUNT).unit("a cause", shape)[1:]
    if shape is Shape.NORMAL:
        drawn = drawn * stats.norm.ppf((np.arange(COUNT) + 0.5) / COUNT).std()
    strata = np.floor(REFERENCE[shape][0].cdf(drawn) * COUNT).astype(int)
    assert sorted(strata) == list(range(COUNT))


def test_estimate_stands_first_and_runs_repeat() -> None:
    number = Number(5.0, (Component("a", 0.3), Component("b", 0.2, Shape.ARCSINE)))
    first, again = Draws(COUNT).of(number), Draws(COUNT).of(number)
    assert first.shape == (COUNT + 1,)
    assert first[0] == 5.0
    assert np.array_equal(first, again)


def test_independent_causes_combine_in_quadrature() -> None:
    """JCGM 100:2008, eq. (10); correlation of 2000 permuted draws scatters by 1/sqrt(2000) = 0.022 (4 σ)."""
    draws = Draws(COUNT)
    one, two = draws.unit("one", Shape.NORMAL)[1:], draws.unit("two", Shape.RECTANGULAR)[1:]
    assert abs(np.corrcoef(one, two)[0, 1]) < 4 / math.sqrt(COUNT)
    number = Number(1.0, (Component("one", 0.3), Component("two", 0.4 * math.sqrt(3), Shape.RECTANGULAR)))
    assert standard_uncertainty(draws.of(number)) == pytest.approx(0.5, rel=0.05)


def test_a_ratio_of_two_readings_of_one_meter_knows_it() -> None:
    """JCGM 100:2008, 5.2 and F.1.2.3: a gain that both readings share drops out of their ratio."""
    draws = Draws(COUNT)
    a, b = (draws.of(Number(v, (Component("meter/gain", 0.01 * v),))) for v in (20.0, 5.0))
    assert standard_uncertainty(a / b) == 0.0
    c = draws.of(Number(5.0, (Component("other meter/gain", 0.05),)))
    assert standard_uncertainty(a / c) == pytest.approx(4 * 0.01 * math.sqrt(2), rel=0.06)


def test_a_cause_is_shared_whatever_its_shape() -> None:
    """Own definition: `Number.u` and the comparison of statements add what one cause does, and so must its draws."""
    draws = Draws(COUNT)
    number = Number(0.0, (Component("one", 1.0), Component("one", math.sqrt(3), Shape.RECTANGULAR)))
    assert number.u == pytest.approx(2.0)
    assert standard_uncertainty(draws.of(number)) == pytest.approx(2.0, rel=0.02)
    opposed = Number(0.0, (Component("one", 1.0), Component("one", -1.0)))
    assert opposed.u == 0.0
    assert standard_uncertainty(draws.of(opposed)) == 0.0


def test_an_interval_is_filled_evenly() -> None:
    """JCGM 101:2008, 6.4.2: only bounds are known."""
    drawn = Draws(COUNT).within(Interval(100.0, 240.0), "mains")
    assert drawn[0] == 170.0
    assert drawn.min() == pytest.approx(100.0, abs=0.1)
    assert drawn.max() == pytest.approx(240.0, abs=0.1)
    assert standard_uncertainty(drawn) == pytest.approx(140 / math.sqrt(12), rel=1e-3)


def test_a_product_against_the_law_of_propagation() -> None:
    """JCGM 100:2008, 5.1.6, eq. (12): relative uncertainties of a product add in quadrature."""
    draws = Draws(COUNT)
    volts, amps = draws.of(Number(20.0, (Component("V", 0.02),))), draws.of(Number(3.25, (Component("A", 0.013),)))
    assert standard_uncertainty(volts * amps) == pytest.approx(65 * math.hypot(0.001, 0.004), rel=0.03)


def test_numerical_dust_is_no_uncertainty() -> None:
    assert standard_uncertainty(np.array([1.0, 1.0 + 1e-15, 1.0 - 1e-15])) == 0.0
