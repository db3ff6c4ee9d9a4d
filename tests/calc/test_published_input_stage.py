"""Published worked examples of the mains side: AN-17, iW1688, Ametherm, infoneva, Cosel."""

import numpy as np
import pytest

from partingline.calc import capacitors, lifetime, mains, supply, valley
from tests.calc.published import Published

AN17 = "Power Integrations AN-17 (C, 6/96), page 8"
IW1688 = "iWatt iW1688 data sheet, section 10"
AMETHERM = "Ametherm, selecting an inrush current limiter"
COSEL = "Cosel FAQ a0057"


def an17(drop: float) -> float:
    return mains.rectifier_cycle(
        power=15 / 0.8, capacitance=33e-6, mains_voltage=85.0, mains_frequency=60.0, bridge_drop=drop
    ).valley_voltage


CASES = [
    Published(
        AN17, "valley by the note's formula", 93.0, 0.005,
        lambda: valley.valley_voltage_estimate_fixed_conduction(
            output_power=15.0, efficiency=0.8, capacitance=33e-6, mains_voltage=85.0, mains_frequency=60.0,
            conduction_time=3.2e-3,
        ),
    ),
    Published(
        AN17, "valley, exact", 93.0, 0.02, lambda: an17(0.0), 86.354,
        "method differs: the bridge conducts for 2.32 ms, not for the assumed 3.2 ms, so the note is 7 % optimistic",
    ),
    Published(
        AN17, "valley, exact with a bridge drop of 1.7 V", 93.0, 0.02, lambda: an17(1.7), 84.201,
        "method differs: as above, and the note leaves the bridge drop out",
    ),
    Published(AN17, "bulk voltage at 265 V", 375.0, 0.002, lambda: mains.peak_bulk_voltage(mains_voltage=265.0)),
    Published(
        IW1688, "valley with 13.6 µF", 93.0, 0.005,
        lambda: valley.valley_voltage_estimate(
            power=5.7143, capacitance=13.6e-6, mains_voltage=125 / np.sqrt(2), mains_frequency=60.0,
            conduction_share=0.0,
        ),
    ),
    Published(
        IW1688, "valley, exact", 93.0, 0.02,
        lambda: mains.rectifier_cycle(
            power=5.7143, capacitance=13.6e-6, mains_voltage=125 / np.sqrt(2), mains_frequency=60.0
        ).valley_voltage,
        100.65,
        "method differs: the sheet lets the capacitor discharge for a full half cycle, 8 % pessimistic",
    ),
    Published(
        AMETHERM, "peak of 480 V + 10 % (with 1.414)", 746.59, 2e-4,
        lambda: mains.peak_bulk_voltage(mains_voltage=528.0),
    ),
    Published(
        AMETHERM, "energy (printed product with 736.59 V gives 637.5 J)", 655.0, 0.001,
        lambda: capacitors.stored_energy(capacitance=2350e-6, voltage=746.59),
    ),
    Published(
        AMETHERM, "energy as its printed product", 655.0, 0.005,
        lambda: capacitors.stored_energy(capacitance=2350e-6, voltage=736.59), 637.5,
        "DISAGREE: the text prints 736.59 V inside the product; its result follows from 746.59 V",
    ),
    Published(
        AMETHERM, "least resistance", 25.0, 0.006, lambda: supply.inrush_resistance(peak_voltage=746.59, current=30.0)
    ),
    Published(
        AMETHERM, "least resistance as its printed quotient", 25.0, 0.01,
        lambda: supply.inrush_resistance(peak_voltage=246.59, current=30.0), 8.2197,
        "DISAGREE: the text prints 246.59 V in the quotient; its result follows from 746.59 V",
    ),
    Published(
        "infoneva note on buffer capacity", "100 W for 20 ms from 400 to 300 V", 57.1e-6, 0.001,
        lambda: supply.hold_up_capacitance(time=0.02, start_voltage=400.0, lowest_voltage=300.0, power=100.0),
    ),
    *(
        Published(
            COSEL, f"life at {temperature:g} °C", hours, 1e-9,
            lambda t=temperature: lifetime.life_10k(rated_life=1000.0, rated_temperature=105.0, temperature=t),
        )
        for temperature, hours in ((45.0, 64000.0), (55.0, 32000.0), (65.0, 16000.0))
    ),
    Published(
        COSEL, "equivalent constant temperature", 57.2, 0.001,
        lambda: lifetime.equivalent_temperature(
            life=lifetime.life_mission_profile(hours=[8.0, 8.0, 8.0], lives=[64e3, 32e3, 16e3]),
            rated_life=1000.0, rated_temperature=105.0,
        ),
    ),
]  # fmt: skip


@pytest.mark.parametrize("case", CASES, ids=str)
def test_published_number(case: Published) -> None:
    case.check()


def test_the_logarithmic_hold_up_form_met_on_the_web_is_wrong_for_constant_power() -> None:
    """A page gives C V ln(V/Vmin)/P: 0.68 ms for 4.7 mF, 12 to 9 V, 24 W, where the energy lasts 6.17 ms."""
    right = supply.hold_up_time(capacitance=4.7e-3, start_voltage=12.0, lowest_voltage=9.0, power=24.0)
    assert right == pytest.approx(6.17e-3, rel=1e-3)
    assert 4.7e-3 * 12 * np.log(12 / 9) / 24 == pytest.approx(0.68e-3, rel=0.01)
