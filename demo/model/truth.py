"""What the invented charger really is: every physical number in one place, in SI units.

The unit, its maker and every part in it are invented. Numbers are chosen as a designer would choose them,
except for the four planted faults, each marked FAULT here.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class InputStage:
    """From the plug pins to the bulk capacitors."""

    bridge_knee: float = 0.74  # V, one diode, extrapolated to zero current
    bridge_slope: float = 0.045  # ohm, one diode
    ntc_cold: float = 5.0  # ohm at 25 degC
    ntc_hot: float = 0.70  # ohm, in steady run
    filter_resistance: float = 0.90  # ohm: fuse, common-mode choke, traces
    mains_resistance: float = 0.25  # ohm, bench supply and wiring
    bulk: tuple[float, float] = (25.8e-6, 79.3e-6)  # F, before and after the differential choke
    bulk_esr: float = 0.30  # ohm at 100 Hz, both in parallel
    x_capacitance: float = 0.328e-6
    x_discharge: float = 1.994e6  # ohm, two resistors in series
    y_capacitance: float = 1.02e-9
    divider: float = 10e6  # ohm, the controller's view of the bulk voltage


@dataclass(frozen=True)
class Converter:
    """The quasi-resonant flyback converter."""

    primary_turns: int = 32
    secondary_turns: int = 6
    magnetising_inductance: float = 262e-6
    leakage_inductance: float = 1.16e-6
    drain_capacitance: float = 92e-12
    core_area: float = 86e-6  # m2
    clamp_overshoot: float = 37.0  # V above the plateau, settled at full load
    switch_resistance: float = 0.235  # ohm, hot: marked 150 mohm at 25 degC
    sense_resistance: float = 0.10
    primary_copper: float = 0.42  # ohm, at the switching frequency
    secondary_copper: float = 0.0175
    core_loss_at: tuple[float, float, float] = (0.84, 0.11, 100e3)  # W, T half swing, Hz
    rectifier_resistance: float = 0.0105  # ohm, hot
    rectifier_timing_loss: float = 0.17  # W at 100 kHz: body diode and gate drive
    controller_power: float = 0.35
    highest_frequency: float = 130e3
    lowest_peak_current: float = 0.92  # A: below it the frequency folds back
    output_esr: float = 0.0050  # ohm, two in parallel at 100 kHz
    output_capacitance: float = 1120e-6
    rectifier_ringing: float = 0.23  # share of the reflected step


@dataclass(frozen=True)
class Output:
    """From the output capacitors to the receptacles."""

    common_resistance: float = 0.010  # ohm, to the point where the ports branch
    port_resistance: float = 0.027  # ohm: two switch transistors, shunt, traces, contacts
    sense_offset: float = 0.14  # V above the offer at no load
    secondary_power: float = 0.135  # W: port controllers, regulator
    buck_efficiency: float = 0.944
    a1_voltage: float = 8.98  # V at no load, 9 V mode
    a1_resistance: float = 0.058


@dataclass(frozen=True)
class Idle:
    """No load, the C1 cable unplugged: loss items in watts."""

    standing: float = 0.0824  # controller in burst, port controllers, feedback
    burst_per_volt_squared: float = 2.90e-7  # of the peak of the mains: capacitive loss of the bursts


@dataclass(frozen=True)
class Case:
    """The case and its two thermal time constants."""

    length: float = 42.00e-3
    width: float = 40.02e-3
    height: float = 28.42e-3
    mass: float = 118.43e-3
    resistance: float = 6.72  # K/W, hottest face over ambient per watt lost
    fast_share: float = 0.35
    fast: float = 150.0  # s
    slow: float = 12.0 * 60
    ambient: float = 23.5


@dataclass(frozen=True)
class Barrier:
    """The insulation barrier on the main board, mm."""

    creepage: float = 4.32  # FAULT 2: reinforced insulation at 250 V, PD2, IIIa asks 5.0
    clearance: float = 4.06
    slot: float = 1.20  # width


@dataclass(frozen=True)
class Offer:
    """One fixed object of C1: volts, and amperes offered, at which the port trips, and on the label."""

    voltage: float
    current: float
    trip: float
    label_current: float


C1_OFFERS = (
    Offer(5.0, 3.0, 3.33, 3.0),
    Offer(9.0, 3.0, 3.32, 3.0),
    Offer(15.0, 2.4, 2.523, 3.0),  # FAULT 1: a 65 W source must offer 3 A, and the label says 3 A
    Offer(20.0, 3.25, 3.612, 3.25),
)
C1_PPS = (3.3, 21.0, 3.25)  # V, V, A
C1_RATED_POWER = 65.0
C1_SHARED_OFFERS = ((5.0, 3.0), (9.0, 3.0), (15.0, 3.0), (20.0, 2.25))  # while A1 is in use: 45 W
A1_OFFERS = ((5.0, 3.0), (9.0, 2.0), (12.0, 1.5))
A1_RATED_POWER = 18.0
LISTED_TOGETHER = 65.0  # W. FAULT 3: 45 W + 18 W is what is offered and delivered
LISTED_EFFICIENCY = 0.94  # FAULT 4: reached nowhere

INPUT_STAGE, CONVERTER, OUTPUT, IDLE, CASE, BARRIER = (
    InputStage(),
    Converter(),
    Output(),
    Idle(),
    Case(),
    Barrier(),
)
