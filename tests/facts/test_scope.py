"""Scope records against waveforms of known truth. Sources: circuit theory (RC charge and discharge, first-order low
pass), `scipy.signal` as the referee of the spectrum, and JCGM 100:2008 for what stands beside each value."""

import math
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import signal

from partingline.calc import waveform
from partingline.facts.statements.logs import log_statements
from partingline.facts.statements.scope_events import mains_failure, step_responses
from partingline.facts.statements.scope_ripple import bursts, switching
from partingline.model import Key, Number, Sense, Statement
from partingline.readers.logs import LogEntry, parse_accuracy, read_log

Floats = NDArray[np.float64]
METERS = {("SO1", "ripple_voltage"): parse_accuracy("3 % rdg + 1 mV", "V")}
BASE = {"port": "C1", "offer_v": 20.0, "mains_v": 230.0, "frequency_hz": 50.0, "load": 1.0}
AT = {"offer": 20.0, "mains": 230.0, "load": 1.0}


def statements(path: Path, kind: str, columns: dict[str, Floats], **told: object) -> dict[Key, Statement]:
    """What a CSV of these columns says as a log of a kind."""
    rows = [",".join(f"{value:.9g}" for value in row) for row in zip(*columns.values(), strict=True)]
    path.write_text("\n".join([",".join(columns), *rows]))
    instruments = {"port_voltage": "SO1", "input_current": "SO1"}
    entry = LogEntry(file=path.name, kind=kind, instruments=instruments, **{**BASE, **told})  # type: ignore[arg-type]
    said, problems = log_statements([read_log(path, entry)], METERS)
    assert [p for p in problems if p.loses] == []
    return {statement.key: statement for statement in said}


def value(found: dict[Key, Statement], subject: str, quantity: str) -> Number:
    number = found[Key.of(subject, quantity, **AT)].value
    assert isinstance(number, Number)
    return number


def test_spectrum_against_scipy() -> None:
    rng = np.random.default_rng(1)
    samples = rng.standard_normal(3000).cumsum()
    ours = waveform.amplitude_spectrum(samples=samples, sample_rate=1e5)
    frequency, power = signal.periodogram(samples, 1e5, window="hann", detrend="constant", scaling="spectrum")
    np.testing.assert_allclose(ours.frequency, frequency)
    np.testing.assert_allclose(ours.amplitude[1:-1], np.sqrt(2 * power[1:-1]), rtol=1e-9)


@pytest.mark.parametrize(("frequency", "gain"), [(1e5, 0.99996), (2e7, 1 / math.sqrt(2)), (6e7, 1 / math.sqrt(10))])
def test_bandwidth_limit_is_first_order(frequency: float, gain: float) -> None:
    """Circuit theory: -3 dB at the corner, 1/√(1 + 9) at three times it."""
    time = np.arange(20000) / 1e9
    held = waveform.bandwidth_limited(samples=np.sin(2 * np.pi * frequency * time), sample_rate=1e9, bandwidth=2e7)
    middle = held[5000:15000]
    assert np.std(middle) * math.sqrt(2) == pytest.approx(gain, rel=0.02)


@pytest.mark.parametrize("frequency", [41_237.0, 98_383.3, 130_000.0, 251_111.0])
def test_ripple_parts_of_a_saw_tooth(frequency: float, tmp_path: Path) -> None:
    """Fourier series of a saw tooth of height a: fundamental a/π; the sine at 100 Hz stands by itself."""
    time = np.arange(40_000) / 1e6
    rng = np.random.default_rng(int(frequency))
    volts = (
        0.060 * ((time * frequency) % 1) + 0.004 * np.sin(2 * np.pi * 100 * time) + 1e-4 * rng.standard_normal(40_000)
    )
    found = statements(tmp_path / "r.csv", "ripple", {"t (s)": time, "Vout (V)": volts})
    tone = value(found, "port:C1", "switching_frequency")
    assert tone.value == pytest.approx(frequency, abs=2 * math.sqrt(3) * tone.u)
    assert tone.u < 10
    assert value(found, "port:C1", "ripple_voltage").value == pytest.approx(0.068, abs=0.002)
    assert value(found, "port:C1", "ripple_switching").value == pytest.approx(2 * 0.060 / math.pi, rel=0.02)
    assert value(found, "port:C1", "ripple_line").value == pytest.approx(0.008, rel=0.05)
    assert value(found, "port:C1", "ripple_voltage").u == pytest.approx(
        math.hypot(0.03 * 0.068, 1e-3) / math.sqrt(3), rel=0.1
    )
    assert Key.of("port:C1", "burst_frequency", **AT) not in found


def test_bursts_are_counted() -> None:
    """4 bursts of 1.2 ms in each 10 ms: 400 Hz, 48 % of the time."""
    time = np.arange(200_000) / 1e6
    on = (time % 2.5e-3) < 1.2e-3
    volts = on * 0.02 * np.sin(2 * np.pi * 65e3 * time) + 2e-4 * np.random.default_rng(3).standard_normal(time.size)
    tone = switching(volts, 1e6)
    assert tone is not None
    assert tone.frequency == pytest.approx(65e3, rel=0.02)
    found = bursts(volts, 1e6, tone.frequency)
    assert found is not None
    assert found.frequency == pytest.approx(400.0, rel=0.01)
    assert found.share == pytest.approx(0.48, abs=0.04)
    assert bursts(0.02 * np.sin(2 * np.pi * 65e3 * time), 1e6, 65e3) is None


def test_noise_alone_has_no_switching_frequency() -> None:
    assert switching(np.random.default_rng(5).standard_normal(50_000), 1e6) is None


def test_load_step(tmp_path: Path) -> None:
    """An exponential dip of 800 mV with τ = 0.5 ms is within 200 mV after τ ln 4; the release goes up by 500 mV."""
    time = np.arange(20_000) / 1e6
    dip = np.where(time >= 5e-3, 0.8 * np.exp(-np.maximum(time - 5e-3, 0) / 5e-4), 0.0) * (time < 12e-3)
    peak = np.where(time >= 12e-3, 0.5 * np.exp(-np.maximum(time - 12e-3, 0) / 5e-4), 0.0)
    amps = np.where((time >= 5e-3) & (time < 12e-3), 3.0, 0.3)
    volts = 20.0 - dip + peak + 1e-3 * np.random.default_rng(2).standard_normal(time.size)
    found = statements(tmp_path / "s.csv", "load step", {"t (s)": time, "Vout (V)": volts, "Iout (A)": amps})
    assert value(found, "port:C1", "undershoot_voltage").value == pytest.approx(0.8, abs=0.01)
    assert value(found, "port:C1", "overshoot_voltage").value == pytest.approx(0.5, abs=0.01)
    assert value(found, "port:C1", "recovery_time").value == pytest.approx(5e-4 * math.log(4), abs=3e-5)
    steps = step_responses(volts, amps, 1e6, 20.0)
    assert [(round(s.before, 1), round(s.after, 1)) for s in steps] == [(0.3, 3.0), (3.0, 0.3)]


@pytest.mark.parametrize("phase", [0.0, 0.05, 0.2, 0.45, 0.62, 0.88])
def test_hold_up_from_any_phase(phase: float, tmp_path: Path) -> None:
    """The mains fail at a known instant and stay where the X capacitor holds them; the port falls 14 ms later."""
    time = np.arange(0.0, 0.16, 1e-5)
    fails = 0.08 + phase * 0.02
    sine = 325 * np.sin(2 * np.pi * 50 * time)
    left = 325 * math.sin(2 * np.pi * 50 * fails)
    mains = np.where(time < fails, sine, left * np.exp(-(time - fails) / 0.5))
    volts = np.where(time < fails + 0.014, 20.0, 20.0 * np.exp(-(time - fails - 0.014) / 1e-3))
    found = statements(tmp_path / "h.csv", "hold-up", {"t (s)": time, "Vin (V)": mains, "Vout (V)": volts}, load=1.0)
    held = value(found, "unit", "hold_up_time")
    true = 0.014 - 1e-3 * math.log(0.95)
    assert abs(held.value - true) <= 3 * held.u + 1e-5
    assert held.u < 4e-4


def test_a_port_that_holds_to_the_end_is_a_bound(tmp_path: Path) -> None:
    time = np.arange(0.0, 0.1, 1e-5)
    mains = np.where(time < 0.06, 325 * np.sin(2 * np.pi * 50 * time), 0.0)
    columns = {"t (s)": time, "Vin (V)": mains, "Vout (V)": np.full(time.size, 20.0)}
    found = statements(tmp_path / "h.csv", "hold-up", columns)
    said = found[Key.of("unit", "hold_up_time", **AT)]
    assert said.sense is Sense.AT_LEAST
    assert mains_failure(325 * np.sin(2 * np.pi * 50 * time), 1e5) is None


def test_inrush_of_an_rc_circuit(tmp_path: Path) -> None:
    """A capacitor charged through R from a fixed voltage: i = V/R e^(-t/RC); ∫ i² dt = V² C / 2 R."""
    resistance, capacitance, supply = 8.0, 100e-6, 325.0
    time = np.arange(-2e-3, 8e-3, 1e-6)
    amps = np.where(time >= 0, supply / resistance * np.exp(-np.maximum(time, 0) / (resistance * capacitance)), 0.0)
    found = statements(tmp_path / "i.csv", "inrush", {"t (s)": time - time[0], "Iin (A)": amps})
    assert value(found, "unit", "inrush_current").value == pytest.approx(supply / resistance, rel=1e-6)
    assert value(found, "unit", "inrush_i2t").value == pytest.approx(
        supply**2 * capacitance / (2 * resistance), rel=4e-3
    )


def test_what_scope_records_lack_is_asked_for(tmp_path: Path) -> None:
    (tmp_path / "a.csv").write_text("t (s),Temp (°C)\n" + "\n".join(f"{n},20" for n in range(50)))
    for kind in ("ripple", "load step", "hold-up", "inrush", "standby", "discharge", "recharge"):
        entry = LogEntry(file="a.csv", kind=kind, port="C1", mains_v=230.0, offer_v=20.0)
        said, problems = log_statements([read_log(tmp_path / "a.csv", entry)], {})
        assert said == ()
        assert problems
        assert all(problem.next_step for problem in problems)
