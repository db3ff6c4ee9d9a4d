"""The bench procedures: sweeps, no load, trips, soak and sharing, read over time."""

import math
import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from model.dialects import Column, headings, write_log
from model.instruments import DM1, DM2, EL1, EL2, PA1, PA1L, SO1, TL1, Floats, Meter
from model.physics import Mains, idle_power, operate, port_voltage, ripple, rise
from model.truth import C1_OFFERS, CASE

US = Mains(115.0, 60.0)
EU = Mains(230.0, 50.0)
DAY = datetime(2026, 10, 2)
SWEEP_20 = (3.25, 2.4375, 1.625, 0.8125, 0.325, 0.0)
SWEEP_5 = (2.0, 1.5, 1.0, 0.5, 0.0)

TIME = "time"
VAC, IAC = Column("U1", "Vin", "V", 2), Column("I1", "Iin", "A", 4)
PAC, PF = Column("P1", "Pin", "W", 3), Column("PF1", "PF", "", 3)
VDC, IDC = Column("Udc", "Vout", "V", 4), Column("Idc", "Iout", "A", 4)
PAC_LOW = Column("P1", "Pin", "W", 5)
VA1, IA1 = Column("Udc2", "Vout2", "V", 3), Column("Idc2", "Iout2", "A", 3)
FACES = (("ambient", 0.0), ("front face", 0.93), ("top face", 1.0), ("left side", 0.86), ("bottom", 0.88))


@dataclass(frozen=True)
class Log:
    """A log as written, and what `logs.toml` says of it."""

    file: str
    text: str
    kind: str
    about: dict[str, str]
    columns: dict[str, str]
    instruments: dict[str, str]


def all_logs() -> list[Log]:
    """Every log of the bench day, in the order of the day."""
    return [
        _sweep("load-115V-20V.csv", US, 20.0, SWEEP_20, "german", 9.0),
        _sweep("load-230V-20V.csv", EU, 20.0, SWEEP_20, "iso", 10.2),
        _sweep("load-115V-5V.csv", US, 5.0, SWEEP_5, "units", 11.4),
        _sweep("load-230V-5V.csv", EU, 5.0, SWEEP_5, "german", 13.0),
        _no_load("no-load-115V.csv", US, "iso", 14.2),
        _no_load("no-load-230V.csv", EU, "units", 14.8),
        _trip("trip-20V.csv", 20.0, 3.0, "german", 15.5),
        _trip("trip-15V.csv", 15.0, 2.0, "units", 15.6),
        _soak("soak-65W.csv", 15.8),
        _sharing("sharing-C1-A1.csv", 17.4),
        _ripple("ripple-20V.csv"),
    ]


def _rng(name: str) -> np.random.Generator:
    return np.random.default_rng(zlib.crc32(name.encode()))


def _start(hour: float) -> datetime:
    return DAY.replace(hour=int(hour), minute=round(hour % 1 * 60))


def _log(
    file: str,
    kind: str,
    dialect: str,
    hour: float,
    columns: Sequence[tuple[str, Column, Meter | None]],
    rows: Floats,
    about: dict[str, str],
) -> Log:
    """`columns`: glossary id ("" for a column that nothing is read from), heading, instrument."""
    shown = [column for _, column, _ in columns]
    names = dict(zip([TIME, *(name for name, _, _ in columns)], headings(dialect, shown), strict=True))
    names.pop("", None)
    meters = {name: meter.id for name, _, meter in columns if name and meter}
    return Log(file, write_log(dialect, shown, rows.tolist(), _start(hour)), kind, about, names, meters)


def _about(mains: Mains, **more: str) -> dict[str, str]:
    return {
        "mains": f"{mains.voltage:g} V",
        "frequency": f"{mains.frequency:g} Hz",
        "ambient": "23.5 °C",
    } | more


def _sweep_times(steps: int) -> tuple[Floats, NDArray[np.int64]]:
    """30 min of warm-up every 10 s, then 5 min a step every 2 s; and the step that each sample is in."""
    warm = np.arange(0.0, 1800.0, 10.0)
    step = np.arange(0.0, 300.0, 2.0)
    times = np.concatenate([warm, *(1800.0 + 300.0 * k + step for k in range(steps))])
    index = np.maximum(0, ((times - 1800.0) // 300.0).astype(np.int64))
    return times, index


def _analyser_columns(mains: Mains, power: Floats, apparent: Floats, rng: np.random.Generator) -> list[Floats]:
    """Volts, amperes, watts and power factor as the analyser shows them, ranges changing by themselves."""
    volts = PA1.read("input_voltage", mains.voltage + 0.04 * rng.standard_normal(power.size), rng)
    amps = PA1.read("input_current", apparent / mains.voltage, rng)
    high, low = PA1.read("input_power", power, rng), PA1L.read("input_power", power, rng)
    watts = np.where(power < 0.9, low, high)
    return [volts, amps, watts, np.minimum(1.0, power / apparent)]


def _sweep(file: str, mains: Mains, offer: float, currents: Sequence[float], dialect: str, hour: float) -> Log:
    rng = _rng(file)
    times, index = _sweep_times(len(currents))
    points = [operate(mains, offer, amps) for amps in currents if amps]
    output = np.array([point.output_power for point in points] + [0.0])
    power = np.array([point.input_power for point in points] + [idle_power(mains)])
    apparent = np.array([point.apparent_power for point in points] + [5.2 * idle_power(mains)])
    lost = power - output
    cold = 1 + 0.018 * np.exp(-times / CASE.slow)  # a cold inrush limiter loses more than it saves elsewhere
    drawn = output[index] + lost[index] * cold
    volts = np.array([point.port_voltage for point in points] + [0.003])
    columns = [
        *_analyser_columns(mains, drawn, apparent[index] * drawn / power[index], rng),
        DM1.read("port_voltage", volts[index], rng),
        EL1.read("output_current", np.array(currents)[index], rng),
    ]
    layout = [
        ("input_voltage", VAC, PA1), ("input_current", IAC, PA1), ("input_power", PAC, PA1),
        ("power_factor", PF, None), ("port_voltage", VDC, DM1), ("output_current", IDC, EL1),
    ]  # fmt: skip
    rows = np.column_stack([times + 0.1 * rng.random(times.size), *columns])
    return _log(file, "load sweep", dialect, hour, layout, rows, _about(mains, port="C1", offer=f"{offer:g} V"))


def _no_load(file: str, mains: Mains, dialect: str, hour: float) -> Log:
    rng = _rng(file)
    times = np.arange(1860.0)
    bursts = 1 + 0.009 * np.sin(2 * math.pi * times / 7.3)
    power = idle_power(mains) * bursts
    apparent = 5.2 * power
    volts = PA1L.read("input_voltage", mains.voltage + 0.04 * rng.standard_normal(times.size), rng)
    amps = PA1L.read("input_current", apparent / mains.voltage, rng)
    rows = np.column_stack([times, volts, amps, PA1L.read("input_power", power, rng), power / apparent])
    layout = [
        ("input_voltage", VAC, PA1L), ("input_current", IAC, PA1L),
        ("input_power", PAC_LOW, PA1L), ("power_factor", PF, None),
    ]  # fmt: skip
    return _log(file, "no load", dialect, hour, layout, rows, _about(mains))


def _trip(file: str, offer: float, start: float, dialect: str, hour: float) -> Log:
    """A ramp of 10 mA a second, two samples a second, until the port lets go; then 5 s of nothing."""
    rng = _rng(file)
    trip = next(item.trip for item in C1_OFFERS if item.voltage == offer)
    last = math.floor(trip * 100) / 100
    steps = np.repeat(np.arange(round(start * 100), round(last * 100) + 1) / 100, 2)
    amps = np.concatenate([steps, np.zeros(10)])
    volts = np.concatenate([[port_voltage(offer, a) for a in steps], np.array([6.1, 2.2]), np.zeros(8)])
    rows = np.column_stack(
        [
            0.5 * np.arange(amps.size),
            DM1.read("port_voltage", volts, rng),
            EL1.read("output_current", amps, rng),
        ]
    )
    layout = [("port_voltage", VDC, DM1), ("output_current", IDC, EL1)]
    return _log(file, "over-current", dialect, hour, layout, rows, _about(US, port="C1", offer=f"{offer:g} V"))


def _soak(file: str, hour: float) -> Log:
    """65 W on C1 for 80 min; the hottest face is the top."""
    rng = _rng(file)
    times = np.arange(0.0, 4800.0, 5.0)
    point = operate(US, 20.0, 3.25)
    lost = point.input_power - point.output_power
    room = CASE.ambient + 0.15 * np.sin(2 * math.pi * times / 1900.0)
    warmer = np.array([rise(t, lost) for t in times])
    columns = [times]
    for _, share in FACES:
        quantity = "surface_temperature" if share else "ambient_temperature"
        columns.append(TL1.read(quantity, room + share * warmer, rng))
    layout = [
        (
            f"{face}/surface_temperature" if share else "ambient_temperature",
            Column(face, f"CH{k} {face}", "°C", 1),
            TL1,
        )
        for k, (face, share) in enumerate(FACES, start=1)
    ]
    about = _about(US, port="C1", offer="20 V", load="1")
    return _log(file, "thermal", "iso", hour, layout, np.column_stack(columns), about)


def _sharing(file: str, hour: float) -> Log:
    """Both ports in use at their shared offers, ten minutes."""
    rng = _rng(file)
    times = np.arange(0.0, 600.0, 2.0)
    point = operate(US, 20.0, 2.25, 2.0)
    a1_volts = (point.output_power - point.port_voltage * 2.25) / 2.0
    level = np.ones(times.size)
    columns = [
        *_analyser_columns(US, point.input_power * level, point.apparent_power * level, rng),
        DM1.read("port_voltage", point.port_voltage * level, rng),
        EL1.read("output_current", 2.25 * level, rng),
        DM2.read("port_voltage", a1_volts * level, rng),
        EL2.read("output_current", 2.0 * level, rng),
    ]
    layout = [
        ("input_voltage", VAC, PA1), ("input_current", IAC, PA1),
        ("input_power", PAC, PA1), ("power_factor", PF, None),
        ("C1/port_voltage", VDC, DM1), ("C1/output_current", IDC, EL1),
        ("A1/port_voltage", VA1, DM2), ("A1/output_current", IA1, EL2),
    ]  # fmt: skip
    rows = np.column_stack([times, *columns])
    return _log(file, "sharing", "german", hour, layout, rows, _about(US, ports="C1+A1"))


def _ripple(file: str) -> Log:
    """26 ms of the port at full load, AC coupled, a million samples a second: a saw tooth of the switching period on
    a little of twice the mains frequency, together as high as the model says."""
    rng = _rng(file)
    point = operate(US, 20.0, 3.25)
    times = np.arange(26_000) * 1e-6
    line = 3e-3 / 2 * np.sin(2 * math.pi * 2 * US.frequency * times)
    tooth = (ripple(point) - 3e-3) * (0.5 - (times * point.frequency) % 1.0)
    seen = 1e3 * SO1.read("ripple_voltage", line + tooth, rng)
    rows = [f"{1e3 * t:.3f},{mv:.0f}" for t, mv in zip(times.tolist(), seen.tolist(), strict=True)]
    head = ["Time (ms)", "CH2 AC (mV)"]
    columns = {"time": head[0], "port_voltage": head[1]}
    about = _about(US, port="C1", offer="20 V", load="1", bandwidth="20 MHz", note="0.1 µF + 10 µF at the probe")
    return Log(file, "\n".join([",".join(head), *rows]) + "\n", "ripple", about, columns, {"port_voltage": SO1.id})
