"""One switching cycle as curves in time: drain voltage, primary and secondary current, piece by piece.

Each piece is the closed form of which `cycle` keeps the duration and the integrals. The time starts at turn-on.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from partingline.calc.numbers import Array
from partingline.calc.powerstage import ring as rings
from partingline.calc.powerstage.cycle import Cycle, Point, moved
from partingline.calc.powerstage.stage import Flyback
from partingline.calc.powerstage.turn_off import Commutation, Overshoot, overshoot

SMOOTH, A_TURN = 48, 16
"""Samples of a piece, and of one turn of the leakage ring."""
FADED = 0.004
"""The leakage ring is followed until this share of the reflected voltage is left of it."""
Piece = tuple[Array, Array, Array, Array]
"""Time in s from the start of the piece, drain voltage in V, primary and secondary current in A."""


@dataclass(frozen=True, slots=True)
class Waveform:
    """A cycle's curves: arrays of one length over `time` in s; voltages in V, currents in A.

    The switch is on until `turn_off`, the drain has risen at `risen`, the secondary current ends at `demagnetised`
    and the switch turns on again at `period`, where the drain stands at `turn_on_voltage`.
    """

    time: Array
    drain: Array
    primary: Array
    secondary: Array
    turn_off: float
    risen: float
    demagnetised: float
    period: float
    turn_on_voltage: float

    def repeated(self, cycles: int) -> "Waveform":
        """The same curves for some cycles in a row; the marked instants stay those of the first."""
        time = np.concatenate([self.time + k * self.period for k in range(cycles)])
        drain, primary, secondary = (np.tile(values, cycles) for values in (self.drain, self.primary, self.secondary))
        return replace(self, time=time, drain=drain, primary=primary, secondary=secondary)


def waveform(stage: Flyback, cycle: Cycle, *, bulk_voltage: float, output_voltage: float) -> Waveform:
    """The curves of one cycle of floats, as `operating_point` and `control` give it.

    The leakage ring is damped by what the stage tells and at least as the drain's ring is: its damping is seldom
    known, and the losses in it are those of the same core and copper. ValueError where the cycle is none.
    """
    if not np.isfinite(float(cycle.frequency)):
        raise ValueError("a cycle without numbers has no waveform; expected one with reason 0")
    period = 1 / float(cycle.frequency)
    at = Point.of(stage, *(np.array([float(v)]) for v in (bulk_voltage, output_voltage, cycle.output_current)))
    off, _ = moved(stage, at, np.array([float(cycle.peak_current)]), np.array([period]))
    over = Overshoot(*_singles(overshoot(stage, at.bulk, off)))
    off = Commutation(*_singles(off))
    reflected = float(at.reflected[0])
    pieces = [
        _taken_over(stage, cycle, bulk_voltage, reflected),
        _on(stage, cycle, bulk_voltage, reflected),
        _rise(stage, cycle, bulk_voltage),
        *_commuted(stage, off, over, bulk_voltage, reflected),
        _decay(stage, cycle, off, over, bulk_voltage, reflected),
        _ring(stage, cycle, bulk_voltage, reflected),
    ]
    starts = np.concatenate([[0.0], np.cumsum([piece[0].max(initial=0.0) for piece in pieces])])
    time, drain, primary, secondary = (np.concatenate([piece[k] for piece in pieces]) for k in range(4))
    time = time + np.repeat(starts[:-1], [len(piece[0]) for piece in pieces])
    return Waveform(
        time, drain, primary, secondary, turn_off=float(starts[2]), risen=float(starts[3]),
        demagnetised=float(starts[-2]), period=float(starts[-1]), turn_on_voltage=float(cycle.turn_on_voltage),
    )  # fmt: skip


def _singles(values: Iterable[Array]) -> Iterator[Array]:
    return (np.asarray(value, dtype=float).ravel()[0] for value in values)


def _taken_over(stage: Flyback, cycle: Cycle, bulk: float, reflected: float) -> Piece:
    """Continuous mode: the leakage inductance takes the current over before the magnetising current can rise."""
    valley = float(cycle.valley_current)
    time = np.linspace(0.0, float(stage.leakage_inductance) * valley / (bulk + reflected), 2)
    return time, np.zeros(2), np.array([0.0, valley]), float(stage.turns_ratio) * np.array([valley, 0.0])


def _on(stage: Flyback, cycle: Cycle, bulk: float, reflected: float) -> Piece:
    """The current runs up towards bulk over resistance."""
    time, peak = np.linspace(0.0, float(cycle.on_time), SMOOTH), float(cycle.peak_current)
    resistance, inductance = max(float(stage.on_resistance), 1e-9), float(stage.primary_inductance)
    # From the end backwards: the peak is what the cycle was solved for.
    end = bulk / resistance
    current = end - (end - peak) * np.exp(resistance / inductance * (time[-1] - time))
    return time, float(stage.switch_resistance) * current, current, np.zeros_like(time)


def _rise(stage: Flyback, cycle: Cycle, bulk: float) -> Piece:
    """The current charges the drain node in resonance with the primary inductance."""
    inductance, capacitance = float(stage.primary_inductance), float(stage.drain_capacitance)
    time = np.linspace(0.0, float(cycle.rise_time), SMOOTH // 2)
    phase, impedance = time / np.sqrt(inductance * capacitance), np.sqrt(inductance / capacitance)
    peak = float(cycle.peak_current)
    drain = bulk * (1 - np.cos(phase)) + peak * impedance * np.sin(phase)
    return time, drain, peak * np.cos(phase) + bulk / impedance * np.sin(phase), np.zeros_like(time)


def _commuted(stage: Flyback, off: Commutation, over: Overshoot, bulk: float, reflected: float) -> Iterator[Piece]:
    """The leakage current lifts the drain to the clamp, then runs out into it at a constant voltage."""
    leakage = float(stage.leakage_inductance)
    wave = np.sqrt(leakage / float(stage.drain_capacitance))
    held = bulk + reflected + 0.5 * float(stage.loop_resistance) * off.start
    crest = float(over.ring_current) * wave
    whole = float(off.time)
    clamped = np.isfinite(over.clamp_level)
    left = np.sqrt(max(off.start**2 - (crest / wave) ** 2, 0.0)) if clamped else 0.0
    falling = leakage * left / crest
    lifting = np.linspace(0.0, whole - falling, SMOOTH // 2)
    reach = np.arcsin(min(crest / (off.start * wave), 1.0))
    phase = lifting / max(lifting[-1], 1e-15) * reach
    slope = (off.settled - off.start) / whole
    current = off.start * np.cos(phase)
    secondary = float(stage.turns_ratio) * np.maximum(off.start + slope * lifting - current, 0.0)
    yield lifting, held + off.start * wave * np.sin(phase), current, secondary
    if falling > 0:
        time = np.linspace(0.0, falling, 2)
        current = np.array([left, 0.0])
        moved_on = off.start + slope * (lifting[-1] + time) - current
        level = np.full(2, float(over.drain_peak)) if clamped else np.full(2, held + crest)
        yield time, level, current, float(stage.turns_ratio) * np.maximum(moved_on, 0.0)


def _decay(stage: Flyback, cycle: Cycle, off: Commutation, over: Overshoot, bulk: float, reflected: float) -> Piece:
    """The secondary current runs down; what the leakage inductance is left with rings on the drain."""
    length = max(float(cycle.demagnetisation_time - off.time), 0.0)
    omega = 1 / np.sqrt(float(stage.leakage_inductance) * float(stage.drain_capacitance))
    wave = np.sqrt(float(stage.leakage_inductance) / float(stage.drain_capacitance))
    fade = _ring_decay(stage, omega)
    swing = float(over.ring_current) * wave
    seen = min(length, np.log(max(swing / (FADED * reflected), 1.0)) / fade)
    turns = int(seen * omega / (2 * np.pi) * A_TURN) + 2
    time = np.union1d(np.linspace(0.0, length, SMOOTH), np.linspace(0.0, seen, turns))
    resistance, inductance = max(float(stage.loop_resistance), 1e-9), float(stage.magnetising_inductance)
    push = reflected / resistance
    magnetising = (off.settled + push) * np.exp(-resistance / inductance * time) - push
    ring = swing * np.exp(-fade * time)
    current = -ring / wave * np.sin(omega * time)
    drain = bulk + reflected + resistance * magnetising + ring * np.cos(omega * time)
    return time, drain, current, float(stage.turns_ratio) * np.maximum(magnetising - current, 0.0)


def _ring_decay(stage: Flyback, omega: float) -> float:
    told = 1 / (2 * float(stage.leakage_damping) * float(stage.drain_capacitance))
    told += float(stage.primary_winding_resistance + stage.loop_resistance) / (2 * float(stage.leakage_inductance))
    return max(told, omega / (2 * float(stage.ring_quality)), 1.0)


def _ring(stage: Flyback, cycle: Cycle, bulk: float, reflected: float) -> Piece:
    """The drain swings about the bulk voltage until the switch turns on."""
    one = [np.array([float(value)]) for value in (bulk, reflected)]
    ring = rings.ring_of(
        bulk=one[0], amplitude=one[1], inductance=stage.primary_inductance, capacitance=stage.drain_capacitance,
        quality=stage.ring_quality,
    )  # fmt: skip
    length = max(float(cycle.ring_time), 0.0)
    turns = length * float(np.ravel(ring.omega)[0]) / (2 * np.pi)
    time = np.linspace(0.0, length, int(SMOOTH * max(turns, 0.5)) + 2)
    state = rings.state_at(ring, time, stage.primary_inductance)
    nothing = np.zeros_like(time)
    if length == 0:
        return time[:0], nothing[:0], nothing[:0], nothing[:0]
    return time, state.voltage, state.current, nothing
