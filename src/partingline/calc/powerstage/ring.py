"""The drain after demagnetisation: it rings about the bulk voltage, may reach zero, and meets its valleys."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from partingline.calc.declare import Real
from partingline.calc.numbers import Array


class Ring(NamedTuple):
    """The ring of one cycle, as arrays.

    `amplitude` in V about the bulk; `omega` and `decay` in 1/s; where the drain reaches zero (`clipped`), it does so at
    `zero_at` s with `zero_current` A (negative), and the current is back at zero at `restart` s.
    """

    bulk: Array
    amplitude: Array
    impedance: Array
    omega: Array
    decay: Array
    clipped: NDArray[np.bool_]
    zero_at: Array
    zero_current: Array
    restart: Array


class RingState(NamedTuple):
    """Drain voltage in V, winding current in A and the charge in A s given back to the bulk by the body diode."""

    voltage: Array
    current: Array
    returned: Array


def ring_of(*, bulk: Array, amplitude: Array, inductance: Real, capacitance: Real, quality: Real) -> Ring:
    """The ring that starts at bulk + amplitude with no current.

    Damped exactly to first order in 1/Q; where it reaches zero, the body diode holds it there until the current is
    back at zero.
    """
    natural = 1 / np.sqrt(inductance * capacitance)
    decay = natural / (2 * np.asarray(quality))
    omega = np.sqrt(natural**2 - decay**2)
    clipped = np.asarray(amplitude * np.exp(-decay * np.pi / omega) > bulk)
    zero_at = np.zeros_like(amplitude)
    impedance = np.broadcast_to(np.sqrt(inductance / capacitance), amplitude.shape)
    current, restart = zero_at, zero_at
    if clipped.any():
        zero_at = np.where(clipped, _first_zero(bulk, amplitude, omega, decay), 0.0)
        current = np.where(clipped, -amplitude / impedance * np.exp(-decay * zero_at) * np.sin(omega * zero_at), 0.0)
        restart = zero_at - inductance * current / bulk
    return Ring(bulk, amplitude, impedance, omega, decay, clipped, zero_at, current, restart)


def valley_time(ring: Ring, valley: Real) -> Array:
    """When the current crosses zero upwards for the k-th time: the k-th valley."""
    turns = np.asarray(valley, dtype=float)
    if not ring.clipped.any():
        return np.asarray((2 * turns - 1) * np.pi / ring.omega)
    smooth = (2 * turns - 1) * np.pi / ring.omega
    return np.where(ring.clipped, ring.restart + 2 * (turns - 1) * np.pi / ring.omega, smooth)


def valley_state(ring: Ring, valley: Real, inductance: Real) -> RingState:
    """The state in the k-th valley, where the current is zero."""
    turns = np.asarray(valley, dtype=float)
    low = ring.bulk - ring.amplitude * _fall(ring, (2 * turns - 1))
    nothing = np.zeros_like(ring.amplitude)
    if not ring.clipped.any():
        return RingState(np.maximum(low, 0.0), nothing, nothing)
    after = ring.bulk * (1 - _fall(ring, 2 * (turns - 1)))
    voltage = np.where(ring.clipped, after, np.maximum(low, 0.0))
    return RingState(voltage, nothing, inductance * ring.zero_current**2 / (2 * ring.bulk))


def state_at(ring: Ring, time: Array, inductance: Real) -> RingState:
    """The state at a time after demagnetisation, anywhere in the ring."""
    free = _swing(ring.bulk, ring.amplitude, ring, time)
    if not ring.clipped.any():
        return RingState(np.maximum(free.voltage, 0.0), free.current, np.zeros_like(time))
    held_current = ring.zero_current + ring.bulk / inductance * (time - ring.zero_at)
    again = _swing(ring.bulk, -ring.bulk, ring, time - ring.restart)
    in_hold = ring.clipped & (time > ring.zero_at) & (time <= ring.restart)
    later = ring.clipped & (time > ring.restart)
    voltage = np.where(in_hold, 0.0, np.where(later, again.voltage, free.voltage))
    current = np.where(in_hold, held_current, np.where(later, again.current, free.current))
    given = inductance * (ring.zero_current**2 - np.where(later, 0.0, held_current) ** 2) / (2 * ring.bulk)
    returned = np.where(in_hold | later, given, 0.0)
    return RingState(np.maximum(voltage, 0.0), current, returned)


def _swing(bulk: Array, amplitude: Array, ring: Ring, time: Array) -> RingState:
    """A damped swing about the bulk voltage from an amplitude at rest."""
    fall = amplitude * np.exp(-ring.decay * time)
    phase = ring.omega * time
    sine = np.sin(phase)
    voltage = bulk + fall * (np.cos(phase) + ring.decay / ring.omega * sine)
    return RingState(voltage, -fall / ring.impedance * sine, np.zeros_like(time))


def _fall(ring: Ring, half_turns: Array) -> Array:
    return np.exp(-ring.decay * np.pi / ring.omega * half_turns)


def _first_zero(bulk: Array, amplitude: Array, omega: Array, decay: Array) -> Array:
    """When the drain first reaches zero: the undamped time, then two Newton steps."""
    with np.errstate(invalid="ignore"):
        time = np.arccos(np.clip(-bulk / amplitude, -1.0, 1.0)) / omega
        for _ in range(3):
            fall, phase = amplitude * np.exp(-decay * time), omega * time
            voltage = bulk + fall * (np.cos(phase) + decay / omega * np.sin(phase))
            slope = -fall * omega * np.sin(phase) * (1 + (decay / omega) ** 2)
            time = time - np.where(slope < 0, voltage / np.where(slope < 0, slope, 1.0), 0.0)
    return np.asarray(time)
