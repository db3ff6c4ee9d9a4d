"""Write a reference set: many operating points of several flyback stages, each run in ngspice.

Usage: python benchmarks/_ngspice_grid.py FILE [--curves]

The file is in the format of `tests/reference/ngspice_reference.json`; a point may have its own `params`, and says how
it turns on: `valley` (1 by itself) or `frequency`. About one second a point. The power stage's own model only says
where to look (peak current, valley window, start of the clamp): the measured load is then the point's load. With
`--curves` the file holds the curves of one cycle of a few points instead (`tests/reference/ngspice_waveforms.json`).
"""

import argparse
import json
import sys
from pathlib import Path
from typing import Any

import numpy as np

ROOT = Path(__file__).resolve().parent.parent
sys.path[:0] = [str(ROOT), str(ROOT / "src"), str(ROOT / "benchmarks")]

from tests.reference.ngspice import cycle_of  # noqa: E402

from _ngspice_flyback import Run, one_cycle, simulate  # noqa: E402

GAN = {
    "n": 16 / 3, "Lm": 262e-6, "Llk": 2e-6, "Coss": 150e-12, "Ron": 0.25, "Rp": 0.3, "Rs": 0.006, "Rsr": 0.008,
    "Resr": 0.005, "Rcl": 30e3, "Ccl": 4.7e-9,
}  # fmt: skip
SMALL = {
    "n": 13.0, "Lm": 700e-6, "Llk": 10e-6, "Coss": 70e-12, "Ron": 1.5, "Rp": 0.8, "Rs": 0.01, "Rsr": 0.008,
    "Resr": 0.01, "Rcl": 100e3, "Ccl": 2.2e-9, "Rlk": 4000.0,
}  # fmt: skip
ZENER = {"Vz": 180.0}
DRAWN: tuple[tuple[dict[str, float], float, float, float, dict[str, float]], ...] = (
    ({}, 130.0, 20.0, 3.0, {"valley": 1}), ({"Q": 12.0}, 325.0, 20.0, 1.5, {"valley": 2}),
    ({}, 150.0, 20.0, 3.5, {"frequency": 110e3}), (ZENER, 325.0, 20.0, 1.0, {"valley": 1}),
)  # fmt: skip
"""Points whose curves are kept: first and second valley, continuous mode, a zener."""
ABOUT_CURVES = (
    "Own ngspice runs (benchmarks/_ngspice_grid.py --curves writes this file): one cycle from turn-on of some points "
    "of ngspice_grid.json; drain voltage in V, primary (bulk side) and secondary current in A."
)
Wanted = tuple[dict[str, float], float, float, float, dict[str, float]]


def wanted() -> list[Wanted]:
    """Stage, bulk voltage, output voltage, load and mode of every point."""
    points: list[Wanted] = []
    for v in (130.0, 180.0, 260.0, 325.0, 375.0):
        points += [({}, v, 20.0, 3.0, {"valley": 1}), ({}, v, 12.0, 2.5, {"valley": 1})]
    for v in (150.0, 325.0):
        for k, q in ((2, 0.0), (3, 0.0), (1, 12.0), (2, 12.0), (3, 25.0), (5, 25.0)):
            points.append(({"Q": q}, v, 20.0, 1.5, {"valley": k}))
    for v, k, q in ((80.0, 1, 0.0), (100.0, 1, 0.0), (100.0, 2, 0.0), (100.0, 2, 15.0), (90.0, 3, 20.0)):
        points.append(({"Q": q}, v, 20.0, 2.5, {"valley": k}))
    for v, vo, io, f in (
        (150.0, 20.0, 2.0, 60e3), (325.0, 20.0, 2.0, 85e3), (375.0, 15.0, 1.0, 100e3), (120.0, 9.0, 1.5, 50e3),
        (325.0, 5.0, 2.0, 45e3), (100.0, 20.0, 1.0, 70e3), (90.0, 20.0, 1.5, 45e3), (200.0, 12.0, 0.5, 130e3),
    ):  # fmt: skip
        points += [({}, v, vo, io, {"frequency": f}), ({"Q": 15.0}, v, vo, io, {"frequency": 0.93 * f})]
    for v, vo, io, f in (
        (150.0, 20.0, 3.5, 110e3), (200.0, 20.0, 4.0, 100e3), (325.0, 20.0, 4.5, 130e3), (375.0, 15.0, 5.0, 110e3),
        (150.0, 12.0, 4.0, 90e3), (120.0, 9.0, 3.5, 80e3), (325.0, 5.0, 4.0, 90e3),
        (250.0, 20.0, 5.0, 140e3), (375.0, 20.0, 5.0, 160e3),
    ):  # fmt: skip
        points.append(({}, v, vo, io, {"frequency": f}))
    for v, io in ((120.0, 3.0), (325.0, 3.0), (325.0, 1.0)):
        points.append((ZENER, v, 20.0, io, {"valley": 1}))
    points += [(ZENER, 150.0, 20.0, 3.5, {"frequency": 120e3}), (ZENER, 325.0, 9.0, 2.0, {"frequency": 60e3})]
    for v in (120.0, 162.0, 325.0):
        points += [(GAN, v, 20.0, 3.25, {"valley": 1}), (GAN | {"Q": 18.0}, v, 15.0, 1.5, {"valley": 2})]
        points.append((GAN, v, 9.0, 2.0, {"frequency": 70e3}))
    points += [(GAN, 140.0, 20.0, 3.25, {"frequency": 120e3}), (GAN, 325.0, 20.0, 3.25, {"frequency": 130e3})]
    for v in (110.0, 150.0, 325.0):
        points += [(SMALL, v, 12.0, 1.5, {"valley": 1}), (SMALL | {"Q": 10.0}, v, 5.0, 2.0, {"valley": 2})]
        points.append((SMALL, v, 9.0, 1.5, {"frequency": 50e3}))
    return points


def run_point(params: dict[str, float], v: float, vo: float, io: float, mode: dict[str, float]) -> dict[str, Any]:
    """One point of the file; ValueError where the model has no cycle to start from."""
    measured = simulate(run_of(params, v, vo, io, mode), step=5e-9)
    return {"V": v, "Vo": vo, "Io": measured["Io"], "params": params, **mode, "ngspice": measured}


def curves_of(params: dict[str, float], v: float, vo: float, io: float, mode: dict[str, float]) -> dict[str, Any]:
    """The curves of one cycle, with the load that it carries."""
    run = run_of(params, v, vo, io, mode)
    found = {name: [float(f"{x:.5g}") for x in values] for name, values in one_cycle(run).items()}
    return {"V": v, "Vo": vo, "Io": simulate(run, step=5e-9)["Io"], "params": params, **mode, "curves": found}


def run_of(params: dict[str, float], v: float, vo: float, io: float, mode: dict[str, float]) -> Run:
    """What ngspice is to run for a point."""
    guess = cycle_of(params, v, vo, io, mode)
    if not np.isfinite(guess.frequency):
        raise ValueError("no cycle to start from")
    level = float(guess.clamp_voltage) if np.isfinite(guess.clamp_voltage) else float(guess.reflected_voltage)
    expected = (float(guess.on_time), float(guess.demagnetisation_time), 1 / float(guess.frequency))
    return Run(
        params, v, vo, float(guess.peak_current), io, level, expected,
        valley=int(mode.get("valley", 0)), frequency=mode.get("frequency", 0.0), start=float(guess.valley_current),
        cycles=20 if params.get("Vz") else 60,
    )  # fmt: skip


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("file", type=Path)
    parser.add_argument("--curves", action="store_true")
    arguments = parser.parse_args()
    if arguments.curves:
        told = {"about": ABOUT_CURVES, "points": [curves_of(*point) for point in DRAWN]}
        arguments.file.write_text(json.dumps(told) + "\n", encoding="utf-8")
        return
    points = []
    for index, point in enumerate(wanted()):
        try:
            points.append(run_point(*point))
        except (RuntimeError, ValueError) as error:
            print(f"point {index} {point}: {error}", file=sys.stderr)
    about = (
        "Own ngspice runs (benchmarks/_ngspice_grid.py writes this file): flyback stages with leakage, clamp and drain "
        "ring at a given peak current and a stiff output, 5 ns steps, means over 12 cycles. SI units; `params` of a "
        "point stand in for the defaults; Q > 0 damps the drain ring, Vz > 0 is a zener clamp. Ipk = switch peak, "
        "Iprms/Ipw_rms = on time and whole cycle, Vdpk = drain peak, Vvalley = drain at turn-on."
    )
    text = json.dumps({"about": about, "points": points}, indent=1)
    arguments.file.write_text(text + "\n", encoding="utf-8")
    print(f"{len(points)} points")


if __name__ == "__main__":
    main()
