"""How the charger behaves, from `truth`: bridge cycle, converter losses item by item, temperatures.

Bridge and bulk capacitor: time march with source resistance (Kirchhoff). Converter: lossless quasi-resonant
cycle with discontinuous mode above the frequency limit, then each loss from the currents of that cycle.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from model.truth import CASE, CONVERTER, IDLE, INPUT_STAGE, OUTPUT


@dataclass(frozen=True)
class Mains:
    """RMS volts and hertz."""

    voltage: float
    frequency: float


@dataclass(frozen=True)
class Line:
    """The mains side at one load. Amperes RMS, volts, watts."""

    current: float
    bridge_loss: float
    resistance_loss: float
    bulk_loss: float
    bulk_mean: float
    bulk_valley: float


@dataclass(frozen=True)
class Operation:
    """One operating point of the unit: `losses` add up to `input_power - output_power`."""

    output_power: float
    port_voltage: float
    input_power: float
    line: Line
    losses: Mapping[str, float]
    frequency: float
    primary_peak: float
    apparent_power: float


@cache
def line_cycle(mains: Mains, power: float, steps: int = 1500) -> Line:
    """Steady bridge cycle with a constant-power load, settled over eight half cycles."""
    stage = INPUT_STAGE
    peak, capacitance = math.sqrt(2) * mains.voltage, sum(stage.bulk)
    resistance = stage.ntc_hot + stage.filter_resistance + stage.mains_resistance + 2 * stage.bridge_slope
    own = stage.ntc_hot + stage.filter_resistance
    dt = 0.5 / mains.frequency / steps
    volts = 0.94 * peak
    squares = mean = ripple = sum_volts = 0.0
    valley = peak
    for _ in range(8):
        squares = mean = ripple = sum_volts = 0.0
        valley = peak
        for step in range(steps):
            source = peak * abs(math.sin(math.pi * (step + 0.5) / steps)) - 2 * stage.bridge_knee
            drawn = power / volts
            amps = max(0.0, (source - volts) / resistance)
            volts += (amps - drawn) * dt / capacitance
            squares, mean = squares + amps * amps, mean + amps
            ripple += (amps - drawn) ** 2
            sum_volts += volts
            valley = min(valley, volts)
    rms2, mean, ripple = squares / steps, mean / steps, ripple / steps
    return Line(
        current=math.sqrt(rms2),
        bridge_loss=2 * (stage.bridge_knee * mean + stage.bridge_slope * rms2),
        resistance_loss=own * rms2,
        bulk_loss=stage.bulk_esr * ripple,
        bulk_mean=sum_volts / steps,
        bulk_valley=valley,
    )


def _cycle(bulk: float, secondary_voltage: float, power: float) -> tuple[float, float, float, float]:
    """Frequency, peak current, on time and demagnetisation time of the lossless cycle for `power`."""
    c = CONVERTER
    reflected = c.primary_turns / c.secondary_turns * secondary_voltage
    slope = 1 / bulk + 1 / reflected
    ring = math.pi * math.sqrt(c.magnetising_inductance * c.drain_capacitance)
    b = power * c.magnetising_inductance * slope
    peak = (b + math.sqrt(b * b + 2 * c.magnetising_inductance * power * ring)) / c.magnetising_inductance
    frequency = 1 / (c.magnetising_inductance * peak * slope + ring)
    if frequency > c.highest_frequency:
        frequency = c.highest_frequency
        peak = math.sqrt(2 * power / (c.magnetising_inductance * frequency))
    if peak < c.lowest_peak_current:
        peak = c.lowest_peak_current
        frequency = 2 * power / (c.magnetising_inductance * peak**2)
    on, off = (c.magnetising_inductance * peak / side for side in (bulk, reflected))
    return frequency, peak, on, off


Settled = tuple[dict[str, float], float, float]  # losses, switching frequency, primary peak current


def _converter_losses(bulk: float, secondary_voltage: float, power: float, output_current: float) -> Settled:
    c = CONVERTER
    ratio = c.primary_turns / c.secondary_turns
    reflected = ratio * secondary_voltage
    frequency, peak, on, off = _cycle(bulk, secondary_voltage, power)
    primary2 = peak**2 * on * frequency / 3
    secondary2 = (ratio * peak) ** 2 * off * frequency / 3
    valley = max(0.0, bulk - reflected)
    flux = c.magnetising_inductance * peak / (2 * c.primary_turns * c.core_area)
    watts, at_flux, at_frequency = c.core_loss_at
    duty = max(1e-9, (on + off) * frequency)
    clamp = reflected + c.clamp_overshoot
    losses = {
        "clamp": 0.5 * c.leakage_inductance * peak**2 * frequency * clamp / c.clamp_overshoot,
        "switch conduction": (c.switch_resistance + c.sense_resistance) * primary2,
        "switch turn-on": 0.5 * c.drain_capacitance * valley**2 * frequency,
        "transformer copper": c.primary_copper * primary2 + c.secondary_copper * secondary2,
        "transformer core": watts * (flux / at_flux) ** 2.5 * (frequency / at_frequency) ** 1.4 * duty,
        "rectifier": c.rectifier_resistance * secondary2 + c.rectifier_timing_loss * frequency / 1e5,
        "output capacitors": c.output_esr * max(0.0, secondary2 - output_current**2),
        "primary controller": c.controller_power * (0.7 + 0.3 * frequency / c.highest_frequency),
    }
    return losses, frequency, peak


def port_voltage(offer: float, current: float, other_current: float = 0.0) -> float:
    """Volts at the receptacle of C1; `other_current` is what A1 draws from the common rail."""
    drop = OUTPUT.port_resistance * current + OUTPUT.common_resistance * (current + other_current)
    return offer + OUTPUT.sense_offset - drop


@cache
def operate(mains: Mains, offer: float, current: float, a1_current: float = 0.0) -> Operation:
    """The unit with `current` drawn from C1 at the offer, and `a1_current` from A1 in its 9 V mode."""
    a1_volts = OUTPUT.a1_voltage - OUTPUT.a1_resistance * a1_current
    a1_power = a1_volts * a1_current
    rail = offer + OUTPUT.sense_offset
    a1_rail = a1_power / OUTPUT.buck_efficiency / rail
    volts = port_voltage(offer, current, a1_rail)
    delivered = volts * current + a1_power
    losses = {
        "output path": OUTPUT.port_resistance * current**2 + OUTPUT.common_resistance * (current + a1_rail) ** 2,
        "port controllers": OUTPUT.secondary_power,
    }
    total = current + a1_rail
    losses["buck converter"] = rail * total - sum((delivered, losses["output path"]))
    power = rail * total + losses["port controllers"]
    items, frequency, peak = _settle(mains, rail, power, total)
    losses |= items
    line = line_cycle(mains, round(delivered + sum(losses.values()), 4))
    losses |= _input_losses(mains, line)
    input_power = delivered + sum(losses.values())
    return Operation(delivered, volts, input_power, line, losses, frequency, peak, mains.voltage * line.current)


def _settle(mains: Mains, rail: float, power: float, current: float) -> Settled:
    """Converter losses at the mean bulk voltage, which itself depends on them."""
    lost, items, frequency, peak = 0.06 * power, {"": 0.0}, 0.0, 0.0
    for _ in range(4):
        bulk = line_cycle(mains, round(power + lost, 4)).bulk_mean
        items, frequency, peak = _converter_losses(bulk, rail, power + 0.5 * lost, current)
        lost = sum(items.values())
    return items, frequency, peak


def _input_losses(mains: Mains, line: Line) -> dict[str, float]:
    stage = INPUT_STAGE
    return {
        "bridge": line.bridge_loss,
        "inrush limiter and filter": line.resistance_loss,
        "bulk capacitors": line.bulk_loss,
        "discharge resistors": mains.voltage**2 / stage.x_discharge + line.bulk_mean**2 / stage.divider,
    }


def idle_power(mains: Mains) -> float:
    """Input watts with nothing connected: C1 is cold, the converter bursts."""
    peak2 = 2 * mains.voltage**2
    resistors = mains.voltage**2 / INPUT_STAGE.x_discharge + peak2 / INPUT_STAGE.divider
    return IDLE.standing + IDLE.burst_per_volt_squared * peak2 + resistors


def rise(seconds: float, watts: float) -> float:
    """Kelvin of the hottest face over ambient after a step of lost power from cold."""
    final = CASE.resistance * watts
    left = CASE.fast_share * math.exp(-seconds / CASE.fast) + (1 - CASE.fast_share) * math.exp(-seconds / CASE.slow)
    return final * (1 - left)


def time_to_steady(watts: float, within: float = 1.0) -> float:
    """Seconds until the hottest face is within `within` kelvin of its end: the slow time constant decides."""
    return CASE.slow * math.log((1 - CASE.fast_share) * CASE.resistance * watts / within)


def switch_peak(mains: Mains, offer: float) -> float:
    """Drain volts at the peak of the mains, light load on the bulk capacitors."""
    c = CONVERTER
    return math.sqrt(2) * mains.voltage + c.primary_turns / c.secondary_turns * offer + c.clamp_overshoot


def rectifier_peak(mains: Mains, offer: float) -> float:
    """Rectifier volts: output plus the reflected step with its ringing."""
    c = CONVERTER
    step = math.sqrt(2) * mains.voltage * c.secondary_turns / c.primary_turns
    return offer + step * (1 + c.rectifier_ringing)


def ripple(operation: Operation) -> float:
    """Volts peak to peak at the port: the peak of the secondary current in the capacitors' resistance."""
    c = CONVERTER
    return c.output_esr * c.primary_turns / c.secondary_turns * operation.primary_peak
