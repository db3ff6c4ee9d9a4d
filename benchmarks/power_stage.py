"""The power stage's model beside ngspice: deviation, time a point, and the time of a full map.

Usage: python benchmarks/power_stage.py [--points N] [--reference FILE] [--no-map]

Without --reference: runs N points of the reference grid in ngspice and in the model, on the same netlist, and prints
deviations and times. With --reference: the model alone on every point of a file in the format of
tests/reference/ngspice_reference.json. Ends with 1 where a deviation exceeds its bound.
"""

import argparse
import sys
import time
from pathlib import Path
from typing import Any

import numpy as np

ROOT = Path(__file__).resolve().parent.parent
sys.path[:0] = [str(ROOT), str(ROOT / "src"), str(ROOT / "benchmarks")]

from tests.reference.ngspice import COMPARED, deviations, read, stage_of  # noqa: E402

from _ngspice_grid import run_point  # noqa: E402
from partingline.calc.powerstage.budget import Parts  # noqa: E402
from partingline.calc.powerstage.chart import power_map  # noqa: E402
from partingline.calc.powerstage.control import Controller  # noqa: E402
from partingline.calc.powerstage.operating_point import at_frequency, in_valley  # noqa: E402

GRID = ROOT / "tests" / "reference" / "ngspice_grid.json"
REPEATED = 20_000


def mode_of(point: dict[str, Any]) -> dict[str, float]:
    return {"frequency": point["frequency"]} if point.get("frequency") else {"valley": point.get("valley", 1)}


def report(points: list[dict[str, Any]]) -> bool:
    """Print the deviation of each point and the worst; whether all are within their bounds."""
    print("bulk V  out V  load A  mode            " + "".join(f"{name:>9}" for name in COMPARED) + "   % of ngspice")
    worst = dict.fromkeys(COMPARED, 0.0)
    fine = True
    for point in points:
        found = deviations(point)
        mode = mode_of(point)
        told = f"valley {mode['valley']:g}" if "valley" in mode else f"{mode['frequency'] / 1e3:g} kHz"
        row = "".join(f"{found.get(name, np.nan):+9.2f}" for name in COMPARED)
        print(f"{point['V']:6g} {point['Vo']:6g} {point['Io']:7.3f}  {told:14}  {row}")
        for name, value in found.items():
            worst[name] = max(worst[name], abs(value)) if np.isfinite(value) else np.inf
    for name, (_, bound) in COMPARED.items():
        fine &= worst[name] <= bound
        print(f"largest deviation {name:6} {worst[name]:6.3f} %   bound {bound:g} %")
    return fine


def model_seconds(point: dict[str, Any]) -> float:
    """Seconds a point of the model, solved for the load, in an array of points near this one."""
    spread = np.linspace(0.97, 1.03, REPEATED)
    stage = stage_of(point["params"], point["Io"])
    at = {"bulk_voltage": point["V"] * spread, "output_voltage": point["Vo"], "output_current": point["Io"]}
    start = time.perf_counter()
    if point.get("frequency"):
        at_frequency(stage, **at, frequency=point["frequency"])
    else:
        in_valley(stage, **at, valley=point.get("valley", 1))
    return (time.perf_counter() - start) / REPEATED


def race(points: list[dict[str, Any]]) -> tuple[list[dict[str, Any]], float]:
    """Run points in both; the points as ngspice gives them now, and the mean factor of the times."""
    fresh, simulator, model = [], 0.0, 0.0
    for point in points:
        start = time.perf_counter()
        found = run_point(point["params"], point["V"], point["Vo"], point["Io"], mode_of(point))
        simulator += time.perf_counter() - start
        model += model_seconds(point)
        fresh.append(found)
    print(f"ngspice {simulator / len(points):.3f} s a point, model {model / len(points) * 1e6:.2f} µs a point")
    return fresh, simulator / model


def time_map() -> float:
    """Seconds of a map of 30 line by 40 load points with 1,000 draws each."""
    rng = np.random.default_rng(5)

    def drawn(value: float, relative: float) -> Any:
        return value * np.exp(rng.normal(0, relative, 1000))

    stage = stage_of({}).with_values(
        turns_ratio=drawn(5.3, 0.01), magnetising_inductance=drawn(260e-6, 0.05), leakage_inductance=drawn(2e-6, 0.3),
        drain_capacitance=drawn(120e-12, 0.15), switch_resistance=drawn(0.3, 0.1),
        rectifier_resistance=drawn(8e-3, 0.1),
        clamp_resistance=drawn(30e3, 0.1), ring_quality=drawn(15.0, 0.2),
    )  # fmt: skip
    parts = Parts(
        bridge_drop=drawn(1.6, 0.1), line_resistance=drawn(1.6, 0.1), bulk_esr=drawn(0.3, 0.2),
        core_coefficient=drawn(16.0, 0.3),
        core_volume=4e-6, core_area=86e-6, primary_turns=32.0, output_path_resistance=drawn(0.03, 0.1),
        primary_copper_factor=1.5, secondary_copper_factor=1.5, rectifier_delay=60e-9, controller_power=0.3,
    )  # fmt: skip
    start = time.perf_counter()
    found = power_map(
        stage, parts, Controller(highest_frequency=130e3, lowest_peak=0.9), mains=np.linspace(90, 264, 30),
        loads=np.linspace(0.1, 3.25, 40), output_voltage=20.0, mains_frequency=50.0,
        bulk_capacitance=drawn(105e-6, 0.05),
    )  # fmt: skip
    seconds = time.perf_counter() - start
    print(f"map of {found.held.size} cells, 1,000 draws, 6 instants of the bulk ripple, 19 losses: {seconds:.1f} s")
    return seconds


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--points", type=int, default=8)
    parser.add_argument("--reference", type=Path)
    parser.add_argument("--no-map", action="store_true")
    arguments = parser.parse_args()
    if arguments.reference:
        return 0 if report(read(arguments.reference)) else 1
    points = read(GRID)
    chosen = points[:: max(1, len(points) // arguments.points)][: arguments.points]
    fresh, factor = race(chosen)
    fine = report(fresh)
    print(f"the model is {factor:,.0f} times faster a point")
    quick = factor >= 10_000
    if not arguments.no_map:
        quick &= time_map() <= 10
    return 0 if fine and quick else 1


if __name__ == "__main__":
    sys.exit(main())
