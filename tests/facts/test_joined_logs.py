"""Two logs of one test, joined: against the known truth of a made sweep. Sources: JCGM 100:2008, 4.3.7 and 5.1.2."""

from pathlib import Path

import numpy as np
import pytest

from partingline.facts.one_log import OneLog, open_log
from partingline.model import Key, Rows
from partingline.readers.logs import LogEntry, read_catalogue

LOADS = (3.25, 2.4375, 1.625, 0.8125, 0.325)
OFFSET = 37.3
METERS = """
[instrument.PA1]
input_power = "0.05 % rdg + 20 mW"
[instrument.EL1]
port_voltage = "0.02 % rdg + 2 mV"
output_current = "0.05 % rdg + 1 mA"
"""
CATALOGUE = """
[[log]]
file = "analyser.csv"
kind = "load sweep"
port = "C1"
offer = "20 V"
mains = "230 V"
instruments = { input_power = "PA1" }

[[log]]
file = "load.csv"
beside = "analyser.csv"
instruments = { port_voltage = "EL1", output_current = "EL1" }
"""


def unit(folder: Path, *, sag: float = 0.0) -> Path:
    """A unit whose analyser logs once a second and whose load logs every 0.4 s on a clock that began 37.3 s later; its
    port voltage sags by `sag` V/s."""
    rng = np.random.default_rng(5)
    (folder / "logs").mkdir()
    (folder / "unit.toml").write_text(METERS)
    (folder / "logs" / "logs.toml").write_text(CATALOGUE)

    def state(time: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        step = np.clip(((time - 50) // 120).astype(int), 0, len(LOADS) - 1)
        amps = np.array(LOADS)[step]
        volts = 20.1 - 0.03 * amps - sag * time
        return volts, amps, volts * amps / 0.9

    slow, fast = np.arange(0, 650, 1.0), np.arange(OFFSET, 640, 0.4)
    watts = state(slow)[2] + 2e-3 * rng.standard_normal(slow.size)
    rows = [f"{t:.1f},{p:.4f}" for t, p in zip(slow, watts, strict=True)]
    (folder / "logs" / "analyser.csv").write_text("\n".join(["Time (s),Pin (W)", *rows]))
    volts, amps, _ = state(fast)
    rows = [f"{t - OFFSET:.1f};{v:.4f};{i:.4f}".replace(".", ",") for t, v, i in zip(fast, volts, amps, strict=True)]
    (folder / "logs" / "load.csv").write_text("\n".join(["Zeit (s);Vout (V);Iout (A)", *rows]))
    return folder / "logs" / "analyser.csv"


def opened(path: Path) -> OneLog:
    return open_log(path, LogEntry(file=path.name))


def test_efficiency_comes_from_both(tmp_path: Path) -> None:
    one = opened(unit(tmp_path))
    assert [p for p in one.problems if p.loses] == []
    (guest,) = one.log.guests
    assert guest.clock.seconds == pytest.approx(OFFSET, abs=2 * guest.clock.u)
    assert guest.clock.u < 0.5
    efficiencies = {fact.key.number("load"): fact for fact in one.facts if fact.key.quantity == "efficiency"}
    assert sorted(efficiencies) == [0.1, 0.25, 0.5, 0.75, 1.0]
    for fact in efficiencies.values():
        assert abs(fact.value - 0.9) <= 3 * fact.u
    average = next(fact for fact in one.facts if fact.key.quantity == "average_efficiency")
    assert average.value == pytest.approx(0.9, abs=2e-4)
    assert {"PA1/input_power/gain", "EL1/port_voltage/gain", "EL1/output_current/gain"} <= average.causes


def test_evidence_leads_into_the_file_that_was_read(tmp_path: Path) -> None:
    one = opened(unit(tmp_path))
    at = {"mains": 230.0, "offer": 20.0, "load": 0.75}
    for quantity, name, interval, behind in (
        ("input_power", "analyser", 1.0, 0),
        ("output_current", "load", 0.4, OFFSET),
    ):
        fact = one.book.fact(Key.of("port:C1", quantity, **at))
        assert fact is not None
        (evidence,) = fact.preferred.evidence
        assert evidence.path == f"logs/{name}.csv"
        assert isinstance(evidence.place, Rows)
        first, last = ((row - 2) * interval + behind for row in (evidence.place.first, evidence.place.last))
        assert 170 <= first < last <= 290, "the rows lie within the step of 75 % load"


def test_the_clock_counts_where_a_level_moves(tmp_path: Path) -> None:
    """JCGM 100:2008, 5.1.2: the slope times the uncertainty of the offset; none where the level stands."""
    for folder, sag in (("still", 0.0), ("sagging", 2e-3)):
        (tmp_path / folder).mkdir()
        one = opened(unit(tmp_path / folder, sag=sag))
        fact = one.book.fact(Key.of("port:C1", "port_voltage", mains=230.0, offer=20.0, load=0.75))
        assert fact is not None
        clock = [c for c in fact.preferred.value.components if c.cause == "clock of load.csv/offset"]  # type: ignore[union-attr]
        assert [abs(c.u) for c in clock] == [pytest.approx(sag * one.log.guests[0].clock.u, rel=0.2)] * bool(sag)


def test_logs_without_common_edges_stay_apart(tmp_path: Path) -> None:
    path = unit(tmp_path)
    rows = [f"{n * 0.4:.1f},20.05,3.25" for n in range(600)]
    (tmp_path / "logs" / "load.csv").write_text("\n".join(["Time (s),Vout (V),Iout (A)", *rows]))
    one = opened(path)
    assert one.log.guests == ()
    assert any("its clock cannot be brought" in p.found and "three or more steps" in p.expected for p in one.problems)


def test_beside_must_name_a_log() -> None:
    text = CATALOGUE.replace('beside = "analyser.csv"', 'beside = "analyzer.csv"')
    _, problems = read_catalogue(text, "logs/logs.toml", "00")
    assert [problem.next_step for problem in problems] == ["Did you mean 'analyser.csv'?"]
