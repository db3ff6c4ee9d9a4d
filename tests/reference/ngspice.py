"""Points of a circuit simulator beside the power stage's model: one way to read them for tests and benchmarks."""

import json
from pathlib import Path
from typing import Any

import numpy as np

from partingline.calc.powerstage.cycle import Cycle
from partingline.calc.powerstage.operating_point import at_frequency, in_valley
from partingline.calc.powerstage.stage import Flyback

DEFAULTS = {
    "n": 6.0, "Lm": 350e-6, "Llk": 3.5e-6, "Coss": 120e-12, "Ron": 0.3, "Rp": 0.2, "Rs": 0.005, "Rsr": 0.005,
    "Resr": 0.008, "Rcl": 47e3, "Ccl": 4.7e-9, "Vz": 0.0, "Rlk": 2000.0, "Q": 0.0,
}  # fmt: skip
CLAMP_DIODE = 1.2
"""V: the netlist's diode at the clamp's current."""

COMPARED = {
    "f": ("frequency", 0.5),
    "Ipk": ("peak_current", 0.5),
    "Iprms": ("switch_current", 0.5),
    "Isrms": ("secondary_current", 1.5),
    "Vdpk": ("drain_peak_voltage", 2.0),
}
"""Name in the file: field of the cycle, and the deviation in percent that is allowed."""


def stage_of(params: dict[str, Any], load: float = 5.0) -> Flyback:
    """The netlist's stage; its rectifier is a junction with a tenth of the usual slope."""
    p = DEFAULTS | {name: value for name, value in params.items() if name != "Vf"}
    return Flyback(
        turns_ratio=p["n"], magnetising_inductance=p["Lm"], leakage_inductance=p["Llk"],
        drain_capacitance=p["Coss"], switch_resistance=p["Ron"], primary_winding_resistance=p["Rp"],
        secondary_winding_resistance=p["Rs"], rectifier_resistance=p["Rsr"], output_esr=p["Resr"],
        rectifier_drop=0.1 * 0.02585 * np.log(2 * load / 1e-6), clamp_resistance=p["Rcl"],
        clamp_capacitance=p["Ccl"], clamp_voltage=p["Vz"] or np.nan, clamp_diode_drop=CLAMP_DIODE,
        ring_quality=p["Q"] or np.inf, leakage_damping=p["Rlk"],
    )  # fmt: skip


def cycle_of(params: dict[str, Any], v: float, vo: float, io: float, mode: dict[str, Any]) -> Cycle:
    """The model's cycle at a point."""
    stage = stage_of(params, io)
    if mode.get("frequency"):
        return at_frequency(stage, bulk_voltage=v, output_voltage=vo, output_current=io, frequency=mode["frequency"])
    return in_valley(stage, bulk_voltage=v, output_voltage=vo, output_current=io, valley=mode.get("valley", 1))


def read(path: Path) -> list[dict[str, Any]]:
    """The points of a file; each with its whole `params`. ValueError names what is missing."""
    told = json.loads(path.read_text(encoding="utf-8"))
    points = told.get("points") if isinstance(told, dict) else None
    if not isinstance(points, list):
        raise ValueError(f"{path}: expected an object with 'points', a list of V, Vo, Io and ngspice")
    for index, point in enumerate(points):
        lacking = [name for name in ("V", "Vo", "Io", "ngspice") if name not in point]
        if lacking:
            raise ValueError(f"{path}: point {index} lacks {', '.join(lacking)}")
        point["params"] = told.get("params", {}) | point.get("params", {})
    return points


def deviations(point: dict[str, Any]) -> dict[str, float]:
    """Percent of the simulator's value by name; NaN where the model gives no number."""
    load = point["ngspice"].get("Io", point["Io"])
    cycle = cycle_of(point["params"], point["V"], point["Vo"], load, point)
    return {
        name: 100 * (float(getattr(cycle, field)) / point["ngspice"][name] - 1)
        for name, (field, _) in COMPARED.items()
        if name in point["ngspice"]
    }
