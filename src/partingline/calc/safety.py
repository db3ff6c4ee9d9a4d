"""Energy-source limits of IEC 62368-1 and what the older standards asked.

Most figures are from memory: indicative.
"""

from dataclasses import dataclass

import numpy as np

from partingline.calc.declare import Example, Real, calculation
from partingline.calc.numbers import plain
from partingline.sources import cite
from partingline.sources.tables import table


@dataclass(frozen=True, slots=True)
class EnergyLimits:
    """The limits of energy class 1 and 2."""

    es1: Real
    es2: Real


@calculation(
    source=cite("iec-62368-1-2018", "Table 5", "M"),
    units={"capacitance": "F"},
    gives="es1 V, es2 V",
    valid_for={"capacitance": (1.6e-9, 1.0)},
    example=Example(
        {"capacitance": 300e-9},
        {"es1": 60.0, "es2": 120.0},
        1e-9,
        "IEC 62368-1, Table 5, end point quoted widely",
    ),
)
def charged_capacitor_limits(*, capacitance: Real) -> EnergyLimits:
    """The peak voltages up to which a charged capacitor is ES1 and ES2, linear between rows."""
    rows = table("iec62368")["charged_capacitor"]
    nanofarads = np.asarray(capacitance, dtype=float) * 1e9
    return EnergyLimits(
        es1=np.interp(nanofarads, rows["nf"], rows["es1"], left=np.nan)[()],
        es2=np.interp(nanofarads, rows["nf"], rows["es2"], left=np.nan)[()],
    )


@calculation(
    source=cite("iec-62368-1-2018", "Table 4", "M"),
    units={"frequency": "Hz"},
    gives="es1 V, es2 V",
    valid_for={"frequency": (0.0, 1e7)},
    example=Example(
        {"frequency": 50.0},
        {"es1": 30.0, "es2": 50.0},
        1e-9,
        "IEC 62368-1, Table 4, up to 1 kHz",
        outside=False,
    ),
    no_outside="table from memory",
)
def touchable_ac_limits(*, frequency: Real) -> EnergyLimits:
    """The RMS voltages up to which a sine is ES1 and ES2; 0 Hz stands for DC (60 and 120 V)."""
    f = np.asarray(frequency, dtype=float)
    khz = f / 1e3
    es1 = np.select([f <= 0, khz <= 1, khz <= 100], [60.0, 30.0, 30 + 0.4 * khz], 70.0)
    es2 = np.select([f <= 0, khz <= 1, khz <= 100], [120.0, 50.0, 50 + 0.9 * khz], 140.0)
    return EnergyLimits(es1=es1[()], es2=es2[()])


@dataclass(frozen=True, slots=True)
class SourceLimits:
    """The current and the apparent power that a limited power source may deliver."""

    current: Real
    power: Real


@calculation(
    source=cite("iec-60950-1", "Table 2B; IEC 62368-1, annex Q holds the same", "S2"),
    units={"open_circuit_voltage": "V"},
    gives="current A, power W",
    valid_for={"open_circuit_voltage": (0.0, 60.0)},
    example=Example({"open_circuit_voltage": 20.0}, {"current": 8.0, "power": 100.0}, 1e-9, "IEC 60950-1, Table 2B"),
)
def limited_power_source(*, open_circuit_voltage: Real) -> SourceLimits:
    """The limits of an inherently limited DC source: 8 A to 30 V, 150/U above; 5 U to 20 V, 100 VA to 60 V.

    Measured after 5 s with electronic limiting, else after 60 s. NaN above 60 V.
    """
    u = np.asarray(open_circuit_voltage, dtype=float)
    with np.errstate(divide="ignore"):
        current = np.where(u <= 30, 8.0, 150 / u)
    power = np.where(u <= 20, 5 * u, 100.0)
    held = u <= 60
    return SourceLimits(current=np.where(held, current, np.nan)[()], power=np.where(held, power, np.nan)[()])


@calculation(
    source=cite("iec-62368-1-2018", "6.2.2", "M"),
    units={"power_after_3_s": "W", "power_after_5_s": "W"},
    gives="",
    example=Example(
        {"power_after_3_s": 14.0, "power_after_5_s": 14.0}, "PS1", 0.0, "IEC 62368-1, 6.2.2", outside=False
    ),
    no_outside="limits from memory",
)
def power_source_class(*, power_after_3_s: float, power_after_5_s: float) -> str:
    """`PS1` up to 15 W after 3 s, `PS2` up to 100 W after 5 s, else `PS3`."""
    if power_after_3_s <= 15:
        return "PS1"
    return "PS2" if power_after_5_s <= 100 else "PS3"


@calculation(
    source=cite("us-doe-electrical", "capacitor thresholds", "S2"),
    units={"voltage": "V", "energy": "J"},
    gives="",
    example=Example({"voltage": 375.0, "energy": 12.0}, "shock", 0.0, "laboratory manual: 100 V and 10 J"),
)
def capacitor_hazard(*, voltage: float, energy: float) -> str:
    """`arc`, `shock`, `thermal` or `below threshold` by the lines of the DOE laboratories.

    Below is not safe.
    """
    if energy >= 10e3:
        return "arc"
    if voltage >= 100:
        return "shock" if energy >= 10 else "below threshold"
    return "thermal" if energy > 100 else "below threshold"


@calculation(
    source=cite("iec-62368-1-2018", "clearance by required withstand voltage, pollution degree 2", "M"),
    units={"withstand_voltage": "V", "insulation": ""},
    gives="m",
    valid_for={"withstand_voltage": (1000.0, 8000.0)},
    errata="1.0 mm reinforced at 1500 V as remembered; IEC 60664-1 gives 1.5 mm by its next step: unresolved.",
    example=Example(
        {"withstand_voltage": 2500.0, "insulation": "reinforced"},
        3.0e-3,
        1e-9,
        "IEC 62368-1 as remembered; IEC 60664-1 gives the same 3.0 mm",
    ),
)
def withstand_clearance(*, withstand_voltage: Real, insulation: str = "basic") -> Real:
    """The clearance of `basic` or `reinforced` insulation, linear between rows; NaN above 8 kV.

    Below 1 kV the first row holds. The standard also asks for the result of the working voltage, and takes the larger.
    ValueError for another insulation.
    """
    rows = table("iec62368")["clearance_by_withstand"]
    if insulation not in ("basic", "reinforced"):
        raise ValueError(f"insulation {insulation!r}: expected basic or reinforced")
    return plain(1e-3 * np.interp(withstand_voltage, rows["withstand"], rows[insulation], right=np.nan))
