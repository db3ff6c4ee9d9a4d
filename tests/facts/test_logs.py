"""Statements of bench logs against known truth. Sources: JCGM 100:2008 (5.2 correlated inputs, eq. 10 and 13), JCGM
101:2008 (propagation by draws); 10 CFR 430 Subpart B Appendix Z (loads); the step response of two thermal masses.
"""

import importlib.util
import math
import sys
from pathlib import Path

import numpy as np
import pytest

from partingline.facts.book import Book
from partingline.facts.derivations import heat
from partingline.facts.derivations.layout import Layout
from partingline.facts.draws import Draws, standard_uncertainty
from partingline.facts.statements.log_fit import fit_warm_up
from partingline.facts.statements.log_overcurrent import find_trip
from partingline.facts.statements.log_source import product, total
from partingline.facts.statements.logs import log_statements
from partingline.model import Component, Key, Number, Rows, Sense, Shape, Statement, Unit
from partingline.readers.logs import Accuracy, LogEntry, parse_accuracy, read_catalogue, read_log

PA1 = ("PA1", "input_power")
METERS = {
    PA1: parse_accuracy("0.10 % rdg + 0.05 % of 100 W", "W"),
    ("DM1", "port_voltage"): parse_accuracy("0.025 % rdg + 0.005 % of 100 V", "V"),
    ("EL1", "output_current"): parse_accuracy("0.05 % rdg + 2 mA", "A"),
    ("TL1", "surface_temperature"): parse_accuracy("± 0.5 K", "degC"),
}
BY = {"input_power": "PA1", "port_voltage": "DM1", "output_current": "EL1", "surface_temperature": "TL1"}
SWEEP = {"kind": "load sweep", "port": "C1", "offer_v": 20.0, "mains_v": 115.0, "instruments": BY}
LOADS = (1.0, 0.75, 0.5, 0.25, 0.1)
CURRENTS = (3.25, 2.4375, 1.625, 0.8125, 0.325)


def write_sweep(path: Path, seed: int = 0, *, meters: dict[tuple[str, str], Accuracy] | None = None) -> None:
    """A load sweep of 90 samples a step at 2 s; `meters` shift it by errors drawn within their accuracy statements."""
    rng = np.random.default_rng(seed)
    amps = np.repeat(CURRENTS, 90)
    volts = 20.1 - 0.03 * amps
    watts = volts * amps / 0.92
    columns = {"input_power": (watts, 4e-3, 3), "port_voltage": (volts, 3e-4, 4), "output_current": (amps, 2e-4, 4)}
    rows = [[f"{2 * n}" for n in range(amps.size)]]
    for quantity, (true, noise, decimals) in columns.items():
        meter = (meters or {}).get((BY[quantity], quantity), Accuracy())
        gain, offset = rng.uniform(-1, 1, 2) * (meter.gain, meter.offset)
        seen = true * (1 + gain) + offset + noise * rng.standard_normal(true.size)
        rows.append([f"{value:.{decimals}f}" for value in seen])
    lines = ["Time (s),Pin (W),Vout (V),Iout (A)", *(",".join(cells) for cells in zip(*rows, strict=True))]
    path.write_text("\n".join(lines))


def by_key(statements: tuple[Statement, ...]) -> dict[Key, Statement]:
    return {statement.key: statement for statement in statements}


def number(statement: Statement) -> Number:
    assert isinstance(statement.value, Number)
    return statement.value


@pytest.fixture
def swept(tmp_path: Path) -> dict[Key, Statement]:
    write_sweep(tmp_path / "load.csv")
    log = read_log(tmp_path / "load.csv", LogEntry(file="load.csv", **SWEEP))  # type: ignore[arg-type]
    statements, problems = log_statements([log], METERS, {"logs/load.csv": "ab"})
    assert problems == ()
    return by_key(statements)


@pytest.mark.parametrize(("load", "current"), list(zip(LOADS, CURRENTS, strict=True)))
def test_sweep_gives_readings_at_the_published_loads(load: float, current: float, swept: dict[Key, Statement]) -> None:
    at = {"mains": 115.0, "offer": 20.0, "load": load}
    amps = swept[Key.of("port:C1", "output_current", **at)]
    volts = swept[Key.of("port:C1", "port_voltage", **at)]
    watts = swept[Key.of("port:C1", "input_power", **at)]
    assert number(amps).value == pytest.approx(current, abs=1e-4)
    assert number(volts).value == pytest.approx(20.1 - 0.03 * current, abs=2e-4)
    assert number(watts).value == pytest.approx((20.1 - 0.03 * current) * current / 0.92, abs=2e-3)
    evidence = amps.evidence[0]
    assert (evidence.path, evidence.sha256) == ("logs/load.csv", "ab")
    assert isinstance(evidence.place, Rows)
    step = CURRENTS.index(current)
    assert 2 + 90 * step <= evidence.place.first < evidence.place.last <= 91 + 90 * step


def test_meter_errors_are_shared_and_scatter_is_not(swept: dict[Key, Statement]) -> None:
    """JCGM 100:2008, 5.2.4: readings of one meter are correlated through its errors."""
    watts = [s for key, s in swept.items() if key.quantity == "input_power"]
    causes = [{c.cause for c in number(s).components} for s in watts]
    shared = set.intersection(*causes)
    assert shared == {"PA1/input_power/gain", "PA1/input_power/offset"}
    assert len(set.union(*causes) - shared) == sum(len(own - shared) for own in causes) >= len(watts)


def test_uncertainty_of_a_reading_is_that_of_its_statement(swept: dict[Key, Statement]) -> None:
    """JCGM 100:2008, 4.3.7 and eq. 10: √((0.001·P)² + 0.05²)/√3, scatter being small."""
    found = number(swept[Key.of("port:C1", "input_power", mains=115, offer=20, load=1)])
    assert found.u == pytest.approx(math.hypot(1e-3 * found.value, 0.05) / math.sqrt(3), rel=0.01)


def test_mean_of_four_efficiencies_does_not_shrink_by_two(swept: dict[Key, Statement]) -> None:
    """Same meters at all loads: the average's uncertainty is near that of one point (JCGM 100:2008, F.1.2.3)."""
    draws = Draws(4000)

    def efficiency(load: float) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
        p, v, i = (
            draws.of(number(swept[Key.of("port:C1", quantity, mains=115, offer=20, load=load)]))
            for quantity in ("input_power", "port_voltage", "output_current")
        )
        return v * i / p

    points = [efficiency(load) for load in (1.0, 0.75, 0.5, 0.25)]
    alone = np.mean([standard_uncertainty(point) for point in points])
    together = standard_uncertainty(np.mean(points, axis=0))
    assert together > 0.9 * alone
    assert points[0][0] == pytest.approx(0.92, abs=2e-4)


def covered(seeds: range, tmp_path: Path) -> float:
    """Share of input powers whose truth lies within the 95 % interval by draws, meter errors drawn in each run."""
    inside = total_count = 0
    draws = Draws(20_000)
    for seed in seeds:
        write_sweep(tmp_path / "load.csv", seed, meters=METERS)
        log = read_log(tmp_path / "load.csv", LogEntry(file="load.csv", **SWEEP))  # type: ignore[arg-type]
        for statement in log_statements([log], METERS)[0]:
            if statement.key.quantity != "input_power":
                continue
            load = statement.key.number("load")
            amps = CURRENTS[LOADS.index(load)]
            low, high = np.quantile(draws.of(number(statement))[1:], [0.025, 0.975])
            inside += low <= (20.1 - 0.03 * amps) * amps / 0.92 <= high
            total_count += 1
    return inside / total_count


def test_truth_lies_within_the_interval(tmp_path: Path) -> None:
    """40 runs of five correlated readings: 95 % less three standard deviations of 40 is 85 %."""
    assert covered(range(40), tmp_path) >= 0.85


@pytest.mark.prove
@pytest.mark.timeout(1200)
def test_truth_lies_within_the_interval_in_1000_runs(tmp_path: Path) -> None:
    assert 0.936 <= covered(range(1000), tmp_path) <= 0.975


def test_low_voltage_currents_of_the_us_method_count_as_shares_of_2_a(tmp_path: Path) -> None:
    """Appendix Z, USB-PD supplies at the lowest voltage: 2.0, 1.5, 1.0 and 0.5 A."""
    amps = np.repeat([2.0, 1.5, 1.0, 0.5], 40)
    (tmp_path / "a.csv").write_text(
        "\n".join(["t (s),Pin (W),Vout (V),Iout (A)", *(f"{n},{6 * a:.3f},5.05,{a:.4f}" for n, a in enumerate(amps))])
    )
    entry = LogEntry(file="a.csv", kind="load sweep", port="C1", offer_v=5.0, mains_v=115.0)
    statements, problems = log_statements([read_log(tmp_path / "a.csv", entry)], {})
    currents = {s.key.number("load"): number(s).value for s in statements if s.key.quantity == "output_current"}
    assert currents == {1.0: 2.0, 0.75: 1.5, 0.5: 1.0, 0.25: 0.5}
    assert {"no instrument is named" in p.found for p in problems} == {True}


def test_step_with_the_port_off_and_unsettled_step(tmp_path: Path) -> None:
    rows = [f"{n},{40 - 0.1 * n:.2f},20,2" for n in range(100)] + [f"{n},0.1,0.002,0" for n in range(100, 200)]
    (tmp_path / "a.csv").write_text("\n".join(["t (s),Pin (W),Vout (V),Iout (A)", *rows]))
    entry = LogEntry(file="a.csv", kind="load sweep", port="C1", offer_v=20.0, mains_v=230.0)
    statements, problems = log_statements([read_log(tmp_path / "a.csv", entry)], {})
    assert {s.key.number("load") for s in statements} == {1.0}
    assert any("never settled" in p.found and "rows 2 to" in str(p) for p in problems)


STAIRS = np.repeat(np.arange(300, 362) / 100, 2)
HICCUP = np.tile([20.0, 0.0, 0.0, 0.0, 0.0], 4)
SUNK = [17.0, 15.0, 13.0, 12.0]
RAMPS = {
    "latch": ([0.0] * 20, [0.0] * 20, "stays off for the 9.5 s recorded"),
    "hiccup": ([0.0, *HICCUP], [0.0] * 21, "hiccup, 4 retries"),
    "one retry": ([0.0, 0.0, *[20.0] * 9], [0.0] * 11, "back after 1 s"),
    "fold-back": ([*SUNK, 5.0], [3.0, 2.5, 2.0, 1.5, 1.0], "folds back, then trips"),
    "limit": (SUNK, [3.61] * 4, "limits the current"),
    "no trip": ([], [], "no trip"),
}
"""After stairs of 10 mA to 3.61 A, two samples each: voltages, currents, and what is said of it."""


@pytest.mark.parametrize("name", RAMPS)
def test_over_current_ramp(name: str) -> None:
    after_v, after_a, words = RAMPS[name]
    volts = np.concatenate([np.full(STAIRS.size, 20.0), after_v])
    amps = np.concatenate([STAIRS, after_a])
    trip = find_trip(0.5 * np.arange(volts.size), volts, amps, 20.0)
    assert trip is not None
    assert trip.current == pytest.approx(3.61)
    assert words in trip.behaviour
    assert trip.tripped is (name != "no trip")
    assert trip.step == pytest.approx(0.01)


def warm_up(seed: int, minutes: float) -> tuple[np.ndarray[tuple[int], np.dtype[np.float64]], ...]:
    rng = np.random.default_rng(seed)
    time = np.arange(0.0, minutes * 60, 5.0)
    rise = 17.0 * (1 - np.exp(-time / 150)) + 32.0 * (1 - np.exp(-time / 720))
    return time, 23.5 + rise + 0.08 * rng.standard_normal(time.size)


def test_two_time_constants_are_found() -> None:
    fit = fit_warm_up(*warm_up(0, 80))
    assert fit is not None
    assert fit.steady == pytest.approx(72.5, abs=3 * fit.u_steady)
    assert fit.time_constants == pytest.approx((150, 720), rel=0.1)
    reached, u = fit.reaches(1.0)
    assert reached == pytest.approx(720 * math.log(32.0), abs=3 * u + 5)


def test_three_points_of_one_exponential() -> None:
    """25, 51.3817, 63.8435 °C every 15 min lead to 75 °C with τ = 20 min (facts on thermal fits, computed there)."""
    time = np.arange(0.0, 1801.0, 60.0)
    fit = fit_warm_up(time, 75 - 50 * np.exp(-time / 1200))
    assert fit is not None
    assert [75 - fit.left(t) for t in (0, 900, 1800)] == pytest.approx([25, 51.3817, 63.8435], abs=1e-3)
    assert fit.steady == pytest.approx(75.0, abs=1e-3)
    assert fit.slow == pytest.approx(1200.0, rel=1e-4)


def steady_covered(seeds: range, minutes: float) -> float:
    fits = [fit_warm_up(*warm_up(seed, minutes)) for seed in seeds]
    return float(np.mean([fit is not None and abs(fit.steady - 72.5) <= 1.96 * fit.u_steady for fit in fits]))


@pytest.mark.parametrize("minutes", [45, 80])
def test_steady_temperature_lies_within_its_interval(minutes: float) -> None:
    """60 runs: 95 % less three standard deviations is 86 %. 45 min: the end is not reached yet."""
    assert steady_covered(range(60), minutes) >= 0.86


@pytest.mark.prove
@pytest.mark.parametrize("minutes", [45, 80])
def test_steady_temperature_lies_within_its_interval_in_1000_runs(minutes: float) -> None:
    assert 0.93 <= steady_covered(range(1000), minutes) <= 0.98


def test_hottest_face_is_said_of_the_unit_and_ambient_too(tmp_path: Path) -> None:
    time, top = warm_up(1, 80)
    rows = [f"{t:.0f},{a:.1f},{a - 4:.1f},23.5" for t, a in zip(time, top, strict=True)]
    (tmp_path / "a.csv").write_text("\n".join(["t (s),T top (°C),T side (°C),T_amb (°C)", *rows]))
    entry = LogEntry(file="a.csv", kind="thermal", offer_v=20.0, mains_v=115.0, load=1.0, instruments=BY)
    found = by_key(log_statements([read_log(tmp_path / "a.csv", entry)], METERS)[0])
    at = {"mains": 115.0, "offer": 20.0, "load": 1.0}
    unit, face = (found[Key.of(s, "surface_temperature", **at)] for s in ("unit", "face:top"))
    assert number(unit).value == pytest.approx(72.5, abs=0.3)
    assert number(unit).components == number(face).components
    assert number(unit).u == pytest.approx(0.5 / math.sqrt(3), rel=0.05)
    assert Key.of("face:side", "surface_temperature", **at) in found
    assert number(found[Key.of("unit", "ambient_temperature")]).value == pytest.approx(23.5)
    assert number(found[Key.of("unit", "time_to_steady", **at)]).value == pytest.approx(2495, abs=150)


def test_each_soak_is_referred_by_its_own_ambient(tmp_path: Path) -> None:
    """Two records in rooms of 23.5 °C and 28 °C: T − ambient + 25 °C (IEC 62368-1, 5.4.1.4 and table 38) by each its
    own room; the unit's ambient is that of the hotter record."""
    time, top = warm_up(1, 80)
    logs = []
    for name, mains, warmer, room in (("a.csv", 115.0, 0.0, 23.5), ("b.csv", 230.0, -6.0, 28.0)):
        rows = [f"{t:.0f},{a + warmer:.1f},{room}" for t, a in zip(time, top, strict=True)]
        (tmp_path / name).write_text("\n".join(["t (s),T top (°C),T_amb (°C)", *rows]))
        logs.append(read_log(tmp_path / name, LogEntry(file=name, kind="thermal", mains_v=mains, instruments=BY)))
    statements, _ = log_statements(logs, METERS)
    book = Book(statements, heat.derive(Layout(Unit("u", "", "", "", "", False, None, "", ()), statements)))
    at_25 = {mains: book.fact(Key.of("unit", "surface_temperature_at_25", mains=mains)) for mains in (115, 230)}
    assert {mains: fact and fact.value for mains, fact in at_25.items()} == {
        115: pytest.approx(72.5 - 23.5 + 25, abs=0.3), 230: pytest.approx(66.5 - 28 + 25, abs=0.3),
    }  # fmt: skip
    ambient = book.fact(Key.of("unit", "ambient_temperature"))
    assert ambient is not None
    assert ambient.value == pytest.approx(23.5)
    assert "hottest of 2 records" in ambient.preferred.note


def test_ports_in_company_and_their_sum(tmp_path: Path) -> None:
    rows = [f"{n},70.7,20.046,2.25,8.86,1.998" for n in range(200)]
    head = "t (s),Pin (W),Vout C1 (V),Iout C1 (A),Vout A1 (V),Iout A1 (A)"
    (tmp_path / "a.csv").write_text("\n".join([head, *rows]))
    instruments = {**BY, "A1/port_voltage": "DM1", "A1/output_current": "EL1"}
    entry = LogEntry(file="a.csv", kind="sharing", port="C1+A1", mains_v=115.0, instruments=instruments)
    found = by_key(log_statements([read_log(tmp_path / "a.csv", entry)], METERS)[0])
    c1 = number(found[Key.of("port:C1", "output_power", **{"with": "A1"})])
    a1 = number(found[Key.of("port:A1", "output_power", **{"with": "C1"})])
    both = number(found[Key.of("ports:A1+C1", "output_power")])
    assert c1.value == pytest.approx(20.046 * 2.25)
    assert both.value == pytest.approx(c1.value + a1.value)
    assert both.u > math.hypot(c1.u, a1.u), "one meter for both ports: the errors add with their sign"
    alone = found[Key.of("port:A1", "output_current", mains=115, load=1, **{"with": "C1"})]
    assert number(alone).value == pytest.approx(1.998), "what each port drew at a load point can be held to the method"


def test_product_and_total_against_the_law_of_propagation() -> None:
    """JCGM 100:2008, eq. 13 with correlation 1 for the shared cause: u(xy)² = (y u)² + (x v + y w)²."""
    x = Number(20.0, (Component("own", 0.01), Component("shared", 0.02)))
    y = Number(3.0, (Component("shared", 0.003),))
    assert product(x, y).u == pytest.approx(math.hypot(3 * 0.01, 3 * 0.02 + 20 * 0.003))
    assert total((x, y)).u == pytest.approx(math.hypot(0.01, 0.023))
    assert product(x, Number(-3.0, (Component("shared", 0.003, Shape.NORMAL),))).value == -60


def test_what_is_missing_is_asked_for(tmp_path: Path) -> None:
    (tmp_path / "a.csv").write_text("t (s),Pin (W)\n" + "\n".join(f"{n},70" for n in range(50)))
    for kind, words in {
        "load sweep": "no port is named",
        "over-current": "port voltage or output current is missing",
        "thermal": "no column of temperature",
        "sharing": "fewer than two ports",
        "no load": "no mains voltage",
    }.items():
        _, problems = log_statements([read_log(tmp_path / "a.csv", LogEntry(file="a.csv", kind=kind))], {})
        assert any(words in problem.found for problem in problems), kind


def test_sense_of_a_port_that_never_trips(tmp_path: Path) -> None:
    rows = [f"{n},20.0,{a:.2f}" for n, a in enumerate(STAIRS)]
    (tmp_path / "a.csv").write_text("\n".join(["t (s),Vout (V),Iout (A)", *rows]))
    entry = LogEntry(file="a.csv", kind="over-current", port="C1", offer_v=20.0, mains_v=115.0, instruments=BY)
    (statement,), _ = log_statements([read_log(tmp_path / "a.csv", entry)], METERS)
    assert statement.key == Key.of("port:C1", "available_current", offer=20)
    assert statement.sense is Sense.AT_LEAST


DEMO = Path(__file__).parents[2] / "demo"


def demo_statements() -> dict[Key, Statement]:
    folder = DEMO / "tern-65" / "logs"
    entries, faults = read_catalogue((folder / "logs.toml").read_text(encoding="utf-8"), "logs/logs.toml", "00")
    logs = [read_log(folder / entry.file, entry) for entry in entries]
    statements, _ = log_statements(logs, METERS)
    assert not faults
    assert not [problem for log in logs for problem in log.problems if problem.loses]
    return by_key(statements)


def test_demonstration_logs_lead_back_to_the_model_that_made_them() -> None:
    """Trip currents of the invented unit: its physical truth stands in demo/model/truth.py."""
    spec = importlib.util.spec_from_file_location("demo_truth", DEMO / "model" / "truth.py")
    assert spec is not None
    assert spec.loader is not None
    truth = importlib.util.module_from_spec(spec)
    sys.modules["demo_truth"] = truth
    spec.loader.exec_module(truth)
    found = demo_statements()
    for volts in (15.0, 20.0):
        trip = next(offer.trip for offer in truth.C1_OFFERS if offer.voltage == volts)
        said = number(found[Key.of("port:C1", "available_current", offer=volts)])
        assert abs(said.value - trip) <= 2 * said.u
    hottest = next(s for key, s in found.items() if key.subject == "unit" and key.quantity == "surface_temperature")
    assert "time constants" in hottest.note
    slow = next(s for key, s in found.items() if key.quantity == "time_constant")
    assert number(slow).value == pytest.approx(truth.CASE.slow, rel=0.06)
