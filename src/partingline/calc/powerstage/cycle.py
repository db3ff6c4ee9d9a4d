"""One switching cycle for a given peak current, in closed form: the model of leakage, clamp, ring and resistances."""

from dataclasses import dataclass

import numpy as np

from partingline.calc.declare import Real
from partingline.calc.numbers import Array
from partingline.calc.powerstage import ring as rings
from partingline.calc.powerstage.ramp import Ramp, ramp
from partingline.calc.powerstage.stage import Flyback
from partingline.calc.powerstage.turn_off import Commutation, commute, overshoot, rise_time, risen_current

ON_CLOCK = 1e-7
"""How near the clock a turn-on in the ring must come, of a period."""
CYCLE_FIELDS = (
    "frequency Hz, on_time s, rise_time s, demagnetisation_time s, ring_time s, peak_current A, start_current A, "
    "valley_current A, winding_peak_current A, secondary_peak_current A, switch_current A, winding_current A, "
    "secondary_current A, output_current A, input_power W, drain_peak_voltage V, turn_on_voltage V, clamp_voltage V, "
    "clamp_charge C, clamp_loss W, turn_on_loss W, leakage_ring_loss W, ring_loss W, reflected_voltage V, "
    "mode 1, reason 1"
)


@dataclass(frozen=True, slots=True)
class Cycle:
    """One switching cycle; every field is an array of the points' shape, or a float. NaN: the model does not hold.

    Currents without `peak` are RMS; `switch_current` counts the on time alone, without the discharge of the drain
    node. `start_current` is the winding current at turn-on (negative in a ring), `valley_current` the least
    magnetising current of continuous mode. `mode` and `reason` are numbers of `modes`.
    """

    frequency: Real
    on_time: Real
    rise_time: Real
    demagnetisation_time: Real
    ring_time: Real
    peak_current: Real
    start_current: Real
    valley_current: Real
    winding_peak_current: Real
    secondary_peak_current: Real
    switch_current: Real
    winding_current: Real
    secondary_current: Real
    output_current: Real
    input_power: Real
    drain_peak_voltage: Real
    turn_on_voltage: Real
    clamp_voltage: Real
    clamp_charge: Real
    clamp_loss: Real
    turn_on_loss: Real
    leakage_ring_loss: Real
    ring_loss: Real
    reflected_voltage: Real
    mode: Real = 0.0
    reason: Real = 0.0


@dataclass(frozen=True, slots=True)
class Point:
    """Where a cycle is computed: flat arrays of bulk, output and reflected voltage in V and load current in A."""

    bulk: Array
    output: Array
    load: Array
    reflected: Array

    @classmethod
    def of(cls, stage: Flyback, bulk: Array, output: Array, load: Array) -> "Point":
        """With the reflected voltage at no current; the mean of the ripple is at the load current."""
        sagged = output + stage.rectifier_drop - stage.output_esr * load
        return cls(bulk, output, load, np.asarray(stage.turns_ratio * sagged))


@dataclass(frozen=True, slots=True)
class Flow:
    """What a cycle comes from: its pieces in time, before RMS values and losses are drawn from them."""

    peak: Array
    on: Ramp
    wait: Real
    rise_time: Array
    off: Commutation
    decay: Ramp
    ring_time: Array
    state: rings.RingState
    valley: Array
    period: Array

    @property
    def demagnetisation(self) -> Array:
        """Commutation and decay."""
        return np.asarray(self.off.time + self.decay.time)

    def load(self, stage: Flyback) -> Array:
        """The mean secondary current."""
        charge = self.off.charge + self.decay.charge + 0.5 * self.valley * self.wait
        return np.asarray(stage.turns_ratio * charge / self.period)


def in_valley_of(stage: Flyback, at: Point, valley: Real) -> tuple[Array, rings.RingState]:
    """How long the drain rings to its k-th valley, and the state there; neither hangs on the peak current."""
    ring = _ring(stage, at)
    return rings.valley_time(ring, valley), rings.valley_state(ring, valley, stage.primary_inductance)


def valley_flow(stage: Flyback, at: Point, peak: Array, ringing: tuple[Array, rings.RingState]) -> Flow:
    """The pieces of a cycle that turns on in a valley."""
    wait, state = ringing
    on = _on(stage, at, state.current, peak)
    falling = stage.magnetising_inductance * peak / (at.reflected + 0.5 * stage.loop_resistance * peak)
    off, decay = moved(stage, at, peak, on.time + falling + wait)
    risen = rise_time(stage, at.bulk, at.reflected, peak, off.start)
    whole = on.time + risen + off.time + decay.time + wait
    return Flow(peak, on, 0.0, risen, off, decay, wait, state, np.zeros_like(peak), whole)


def moved(stage: Flyback, at: Point, peak: Array, period: Array) -> tuple[Commutation, Ramp]:
    """From turn-off to the end of the secondary current: commutation and decay."""
    off = commute(stage, at.reflected, risen_current(stage, at.bulk, at.reflected, peak), period)
    return off, _fall(stage, at.reflected, 0.0, off.settled)


def delivered(stage: Flyback, off: Commutation, decay: Ramp) -> Array:
    """The charge to the output in a discontinuous cycle, A s."""
    return np.asarray(stage.turns_ratio * (off.charge + decay.charge))


def timed_flow(stage: Flyback, at: Point, peak: Array, period: Array, off: Commutation, decay: Ramp) -> Flow:
    """The pieces of a discontinuous cycle on a clock: turn-on meets the ring wherever it is then."""
    ring = _ring(stage, at)
    risen = rise_time(stage, at.bulk, at.reflected, peak, off.start)
    after = period - risen - off.time - decay.time
    on = _on(stage, at, 0.0, peak)
    left = after - on.time
    for _ in range(5):
        state = rings.state_at(ring, np.maximum(left, 0.0), stage.primary_inductance)
        on = _on(stage, at, state.current, peak)
        late = after - on.time - left
        if not np.any(np.abs(late) > ON_CLOCK * period):
            break
        # Newton: a later turn-on changes the start current by (V - v) / L, and that the on time.
        left = left + late / np.maximum(state.voltage / at.bulk, 0.4)
    return Flow(peak, on, 0.0, risen, off, decay, after - on.time, state, np.zeros_like(peak), period)


def continuous_flow(stage: Flyback, at: Point, peak: Array, valley: Array) -> Flow:
    """The pieces of a continuous cycle between two currents."""
    reflected = at.reflected
    start = risen_current(stage, at.bulk, reflected, peak)
    risen = rise_time(stage, at.bulk, reflected, peak, start)
    wait = stage.leakage_inductance * valley / (at.bulk + reflected)
    low = valley - reflected / stage.magnetising_inductance * wait
    on = _on(stage, at, low, peak)
    rough = _fall(stage, reflected, valley, start)
    off = commute(stage, reflected, start, on.time + risen + rough.time + wait)
    decay = _fall(stage, reflected, valley, off.settled)
    period = on.time + risen + off.time + decay.time + wait
    nothing = np.zeros_like(peak)
    state = rings.RingState(at.bulk + reflected + stage.loop_resistance * valley, nothing, nothing)
    return Flow(peak, on, wait, risen, off, decay, nothing, state, valley, period)


def described(stage: Flyback, at: Point, flow: Flow, mode: Array, reason: Array) -> Cycle:
    """RMS values, losses and stresses of a cycle from its pieces."""
    f, c, off, over = 1 / flow.period, stage.drain_capacitance, flow.off, overshoot(stage, at.bulk, flow.off)
    top = np.sqrt(flow.peak**2 + (at.bulk / stage.drain_impedance) ** 2)
    damping = 1 / (2 * stage.leakage_damping * c)
    damping = damping + (stage.primary_winding_resistance + stage.loop_resistance) / (2 * stage.leakage_inductance)
    damping = np.maximum(damping, 1.0)
    left = over.ring_current**2 / (4 * damping) * -np.expm1(-2 * damping * flow.decay.time)
    beat = 2 * off.settled * over.ring_current * _ring_area(stage, damping)
    secondary = over.commuted_square + flow.decay.square + left + beat
    secondary = secondary + flow.valley**2 * flow.wait / 3
    reflected = at.reflected
    crest = (flow.peak**2 + 4 * top**2 + off.start**2) / 6 * flow.rise_time
    swing = reflected**2 * c / stage.primary_inductance * 0.5 * flow.ring_time
    winding = flow.on.square + crest + swing + left + off.start**2 * off.time / 3
    swung = 0.5 * c * (reflected**2 - (flow.state.voltage - at.bulk) ** 2)
    swung = swung - 0.5 * stage.primary_inductance * flow.state.current**2 - at.bulk * flow.state.returned
    swung = np.where(flow.ring_time > 0, np.maximum(swung, 0.0), 0.0)
    ringing = 0.5 * stage.leakage_inductance * over.ring_current**2 + over.damped_energy
    level = np.nan_to_num(over.clamp_level + stage.clamp_diode_drop)
    charge = flow.on.charge + c * flow.state.voltage - flow.state.returned
    return Cycle(
        frequency=f, on_time=flow.on.time, rise_time=flow.rise_time, demagnetisation_time=flow.demagnetisation,
        ring_time=flow.ring_time, peak_current=flow.peak, start_current=flow.state.current,
        valley_current=flow.valley, winding_peak_current=top,
        secondary_peak_current=stage.turns_ratio * (off.settled + over.ring_current),
        switch_current=np.sqrt(flow.on.square * f), winding_current=np.sqrt(winding * f),
        secondary_current=stage.turns_ratio * np.sqrt(secondary * f), output_current=flow.load(stage),
        input_power=at.bulk * (charge + flow.valley * flow.wait / 2) * f, drain_peak_voltage=over.drain_peak,
        turn_on_voltage=flow.state.voltage, clamp_voltage=over.clamp_level, clamp_charge=off.clamp_charge,
        clamp_loss=(level * off.clamp_charge + off.refilled_energy) * f,
        turn_on_loss=0.5 * c * flow.state.voltage**2 * f,
        leakage_ring_loss=ringing * f, ring_loss=swung * f,
        reflected_voltage=reflected, mode=mode, reason=reason,
    )  # fmt: skip


def _ring_area(stage: Flyback, damping: Real) -> Real:
    """The time integral of the leakage ring per ampere of its amplitude, in s: it beats with the decaying current."""
    natural = 1 / (stage.leakage_inductance * stage.drain_capacitance)
    return np.sqrt(natural) / (natural + damping**2)


def _on(stage: Flyback, at: Point, low: Real, high: Array) -> Ramp:
    return ramp(
        low, high, voltage=at.bulk, inductance=stage.primary_inductance, resistance=stage.on_resistance, rising=True
    )


def _fall(stage: Flyback, reflected: Array, low: Real, high: Array) -> Ramp:
    return ramp(
        low, high, voltage=reflected, inductance=stage.magnetising_inductance, resistance=stage.loop_resistance,
        rising=False,
    )  # fmt: skip


def _ring(stage: Flyback, at: Point) -> rings.Ring:
    return rings.ring_of(
        bulk=at.bulk, amplitude=at.reflected, inductance=stage.primary_inductance, capacitance=stage.drain_capacitance,
        quality=stage.ring_quality,
    )  # fmt: skip
