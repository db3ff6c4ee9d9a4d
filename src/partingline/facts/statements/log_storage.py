"""Power banks: energy and charge that each port gives until it cuts off, and what it takes to recharge."""

from collections.abc import Iterator

import numpy as np

from partingline.facts.statements.log_source import LogSource
from partingline.model import Component, Key, Number, Route, Sense, Shape, Statement
from partingline.readers.logs.types import Floats, Ints

CUT_OFF = 0.5
"""A port has cut off where its voltage stays below this share of what it began with."""


def discharge(source: LogSource) -> Iterator[Statement]:
    """`port:P/delivered_energy` and `delivered_charge` at the offer, `with` the other ports in use; `at least` where
    the record ends before the port cuts off; `port_voltage` under the contract where one is told."""
    log, entry = source.log, source.log.entry
    if not entry.ports:
        source.problem("no port is named", 'port = "C1"', "Add it; until then the record gives no facts.")
        return
    for port in entry.ports:
        channel = "" if port == entry.ports[0] else port
        volts, amps = log.values("port_voltage", channel), log.values("output_current", channel)
        if volts is None or amps is None:
            source.problem(f"voltage or current of {port} is missing", "a column of each", "Pin them in logs.toml.")
            continue
        good = np.flatnonzero(np.isfinite(volts) & np.isfinite(amps))
        if len(good) < 10:
            source.problem(f"{len(good)} samples of {port}", "10 or more", "Record until the port cuts off.")
            continue
        others = "+".join(sorted(other for other in entry.ports if other != port))
        at: dict[str, float | str] = {"with": others} if others else {}
        at |= {} if entry.offer_v is None or channel else {"offer": entry.offer_v}
        yield from _delivered(source, f"port:{port}", at, channel, good, volts[good], amps[good])
        if "offer" in at:
            yield from _held(source, Key.of(f"port:{port}", "port_voltage", **at), channel, good, volts[good])


def _delivered(
    source: LogSource, subject: str, at: dict[str, float | str], channel: str, good: Ints, volts: Floats, amps: Floats
) -> Iterator[Statement]:
    time = source.log.time_s[good]
    level = CUT_OFF * float(np.median(volts[: max(3, len(volts) // 20)]))
    dead = np.flatnonzero(volts >= level)
    end = int(dead[-1]) + 1 if len(dead) else 1
    cut = end < len(volts)
    last = min(end, len(volts) - 1)
    time, volts, amps = time[: last + 1], volts[: last + 1], amps[: last + 1]
    charge, energy, volt_seconds = (float(np.trapezoid(y, time)) for y in (amps, volts * amps, volts))
    if charge <= 0 or volt_seconds <= 0:
        source.problem(f"nothing flows out of {subject}", "positive current", "Check the column of the current.")
        return
    length = float(time[-1] - time[0])
    steps = {name: source.log.column(name, channel).step for name in ("port_voltage", "output_current")}
    by_volts = source.accuracy(energy / charge, "port_voltage", channel, steps["port_voltage"])
    by_amps = source.accuracy(charge / length, "output_current", channel, steps["output_current"])
    by_amps_and_volts = source.accuracy(energy / volt_seconds, "output_current", channel, steps["output_current"])
    before = max(0, end - 1)
    gap = float(time[last] - time[before]) or float(np.median(np.diff(time)))
    coarse, coarse_charge = (gap / 2 * float(y[before]) for y in (volts * amps, amps))
    note = f"over {length / 3600:.3g} h, until the port cut off" if cut else f"over {length / 3600:.3g} h, still on"
    told = {
        "delivered_energy": (energy, [*_times(by_volts, charge), *_times(by_amps_and_volts, volt_seconds)], coarse),
        "delivered_charge": (charge, _times(by_amps, length), coarse_charge),
    }
    for quantity, (value, metered, width) in told.items():
        key = Key.of(subject, quantity, **at)
        parts = [*metered, Component(source.cause(key, "instant of cut-off"), width, Shape.RECTANGULAR)]
        evidence = source.evidence(int(good[0]), int(good[last]), "output_current", channel)
        sense = Sense.EQUALS if cut else Sense.AT_LEAST
        yield Statement(key, Number(value, tuple(parts)), Route.MEASURED, sense, (evidence,), note=note)


def _held(source: LogSource, key: Key, channel: str, good: Ints, volts: Floats) -> Iterator[Statement]:
    """The median voltage of a port under its contract, until it cuts off."""
    alive = np.flatnonzero(volts >= CUT_OFF * float(np.median(volts[: max(3, len(volts) // 20)])))
    volts, good = volts[: alive[-1] + 1], good[: alive[-1] + 1]
    middle = float(np.median(volts))
    parts = source.accuracy(middle, "port_voltage", channel, source.log.column("port_voltage", channel).step)
    evidence = source.evidence(int(good[0]), int(good[-1]), "port_voltage", channel)
    note = "median of the discharge, until the port cut off"
    yield Statement(key, Number(middle, tuple(parts)), Route.MEASURED, Sense.EQUALS, (evidence,), note=note)


def recharge(source: LogSource) -> Iterator[Statement]:
    """`unit/recharge_energy` from the input power, or else from input voltage times input current."""
    log = source.log
    watts = log.values("input_power")
    if watts is None:
        volts, amps = log.values("input_voltage"), log.values("input_current")
        if volts is None or amps is None:
            step = 'Pin them: columns = { input_power = "P (W)" }.'
            source.problem("no input power, nor voltage and current", "what flows into the unit", step)
            return
        watts = volts * amps
    good = np.flatnonzero(np.isfinite(watts))
    if len(good) < 10:
        source.problem(f"{len(good)} samples of input power", "10 or more", "Record until the unit is full.")
        return
    time, watts = log.time_s[good], watts[good]
    length, energy = float(time[-1] - time[0]), float(np.trapezoid(watts, time))
    key = Key.of("unit", "recharge_energy", **source.mains())
    if log.values("input_power") is not None:
        of = "input_power"
        parts = _times(source.accuracy(energy / length, of, "", log.column(of).step), length)
    else:
        of = "input_current"
        mean = {name: float(np.nanmean(log.series[name, ""])) for name in ("input_voltage", "input_current")}
        parts = [
            Component(c.cause, c.width * energy / value, c.shape)
            for name, value in mean.items()
            for c in source.accuracy(value, name, "", log.column(name).step)
        ]
    still = float(np.median(watts[-max(3, len(watts) // 50) :])) > 0.1 * float(watts.max())
    note = f"over {length / 3600:.3g} h" + (", still charging at the end" if still else ", to the end of charge")
    sense = Sense.AT_LEAST if still else Sense.EQUALS
    evidence = source.evidence(int(good[0]), int(good[-1]), of)
    yield Statement(key, Number(energy, tuple(parts)), Route.MEASURED, sense, (evidence,), note=note)


def _times(parts: tuple[Component, ...], factor: float) -> list[Component]:
    return [Component(c.cause, c.width * factor, c.shape) for c in parts]
