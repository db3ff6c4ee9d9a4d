"""An inrush limiter in its own heat: both laws hold at the resistance found."""

import numpy as np
import pytest

from partingline.calc.thermistor import warm_resistance


@pytest.mark.parametrize("current", [0.2, 1.0, 3.0])
def test_heat_and_resistance_agree(current: float) -> None:
    """I² R = δ (T - Ta) at the temperature at which the B value law (IEC 60539-1, from memory) gives R."""
    given = {"cold_resistance": 5.0, "ambient_temperature": 40.0, "beta": 3000.0, "dissipation": 0.015}
    resistance = float(warm_resistance(current=current, **given))
    kelvin = 1 / (1 / 298.15 + np.log(resistance / 5.0) / 3000.0)
    assert current**2 * resistance == pytest.approx(0.015 * (kelvin - 313.15), rel=1e-6)


def test_a_maker_s_ratio_of_hot_to_cold() -> None:
    """TDK (read): hot resistance of inrush limiters is a tenth to a fiftieth of the cold one at the rated current."""
    hot = float(
        warm_resistance(cold_resistance=5.0, current=4.0, ambient_temperature=25.0, beta=3000.0, dissipation=0.017)
    )
    assert 10 < 5.0 / hot < 50
