"""Clearance and creepage that insulation needs, by IEC 60664-1. Metres and volts."""

import numpy as np
from numpy.typing import NDArray

from partingline.calc.declare import Example, Real, calculation
from partingline.calc.numbers import plain
from partingline.sources import cite
from partingline.sources.tables import table

Array = NDArray[np.float64]
BASIC, REINFORCED = "basic", "reinforced"


@calculation(
    source=cite("iec-60664-1-2020", "Table F.1", "S2"),
    units={"mains_voltage": "V", "overvoltage_category": ""},
    gives="V",
    valid_for={"mains_voltage": (0.0, 1000.0)},
    example=Example({"mains_voltage": 230.0, "overvoltage_category": "II"}, 2500.0, 0.0, "IEC 60664-1, Table F.1"),
)
def rated_impulse_voltage(*, mains_voltage: Real, overvoltage_category: str = "II") -> Real:
    """The rated impulse voltage of a line-to-neutral mains voltage in category `I` to `IV`; NaN above 1 kV.

    ValueError for another category.
    """
    rows = table("iec60664")["rated_impulse"]
    if overvoltage_category not in ("I", "II", "III", "IV"):
        raise ValueError(f"overvoltage category {overvoltage_category!r}: expected I, II, III or IV")
    return _row_at_or_above(mains_voltage, rows["up_to"], 1e3 * np.array(rows[overvoltage_category]))


@calculation(
    source=cite("iec-60664-1-2020", "5.2.5 (2007: 5.1.6): next preferred step, or 160 %", "M"),
    units={"impulse_voltage": "V"},
    gives="V",
    errata="IEC 62368-1 is remembered with 1.0 mm reinforced at 1.5 kV; the step gives 1.5 mm: unresolved.",
    example=Example(
        {"impulse_voltage": 2500.0},
        4000.0,
        0.0,
        "230 V, category II: 2.5 kV basic, 4 kV reinforced, in both standards",
    ),
)
def reinforced_impulse_voltage(*, impulse_voltage: Real) -> Real:
    """The impulse voltage that reinforced insulation is sized for."""
    steps = 1e3 * np.array(table("iec60664")["rated_impulse"]["preferred"])
    voltage = np.asarray(impulse_voltage, dtype=float)
    here = np.searchsorted(steps, voltage)
    preferred = steps[np.minimum(here, len(steps) - 1)] == voltage
    following = np.append(steps, np.nan)[np.minimum(here + 1, len(steps))]
    return plain(np.where(preferred, following, 1.6 * voltage))


@calculation(
    source=cite("iec-60664-1-2020", "Table F.2, case A", "S2"),
    units={"impulse_voltage": "V", "pollution_degree": "1"},
    gives="m",
    valid_for={"impulse_voltage": (330.0, 12000.0)},
    example=Example({"impulse_voltage": 4000.0, "pollution_degree": 2}, 3e-3, 1e-12, "IEC 60664-1, Table F.2"),
)
def clearance(*, impulse_voltage: Real, pollution_degree: int = 2) -> Real:
    """The least clearance up to 2000 m for an impulse voltage, interpolated; NaN above 12 kV.

    ValueError for a pollution degree other than 1, 2 or 3.
    """
    rows = table("iec60664")["clearance"]
    if pollution_degree not in (1, 2, 3):
        raise ValueError(f"pollution degree {pollution_degree!r}: expected 1, 2 or 3")
    return _interpolated(impulse_voltage, 1e3 * np.array(rows["impulse_kv"]), _metres(rows[f"pd{pollution_degree}"]))


@calculation(
    source=cite("iec-60664-1-2020", "Table A.2", "S2"),
    units={"altitude": "m"},
    gives="1",
    valid_for={"altitude": (-500.0, 20000.0)},
    example=Example({"altitude": 5000.0}, 1.48, 0.0, "IEC 60664-1, Table A.2, two copies"),
)
def altitude_factor(*, altitude: Real) -> Real:
    """The factor on clearances, not on creepage; 1 up to 2000 m, interpolated above, NaN above 20 km."""
    rows = table("iec60664")["altitude"]
    return _interpolated(altitude, np.array(rows["metre"], dtype=float), np.array(rows["factor"], dtype=float))


@calculation(
    source=cite("iec-60664-1-2020", "5.2 with Tables F.1, F.2 and A.2", "S2"),
    units={
        "mains_voltage": "V",
        "overvoltage_category": "",
        "pollution_degree": "1",
        "altitude": "m",
        "insulation": "",
    },
    gives="m",
    example=Example(
        {
            "mains_voltage": 230.0,
            "overvoltage_category": "II",
            "pollution_degree": 2,
            "altitude": 2000.0,
            "insulation": REINFORCED,
        },
        3.0e-3,
        1e-12,
        "230 V, category II, reinforced: 3.0 mm in both IEC 60664-1 and IEC 62368-1",
    ),
)
def required_clearance(
    *,
    mains_voltage: Real,
    overvoltage_category: str = "II",
    pollution_degree: int = 2,
    altitude: Real = 2000.0,
    insulation: str = BASIC,
) -> Real:
    """The least clearance that mains transients ask of `basic` or `reinforced` insulation at an altitude.

    The working voltage of the converter can ask for more. ValueError for another insulation.
    """
    impulse = rated_impulse_voltage(mains_voltage=mains_voltage, overvoltage_category=overvoltage_category)
    if _is_reinforced(insulation):
        impulse = reinforced_impulse_voltage(impulse_voltage=impulse)
    return clearance(impulse_voltage=impulse, pollution_degree=pollution_degree) * altitude_factor(altitude=altitude)


@calculation(
    source=cite("iec-60664-1-2020", "Table A.1: groups by comparative tracking index", "S2"),
    units={"tracking_index": "1"},
    gives="",
    example=Example({"tracking_index": 175.0}, "IIIa", 0.0, "IEC 60664-1: 175 to 399 is IIIa"),
)
def material_group(*, tracking_index: float) -> str:
    """The material group of a comparative tracking index; ValueError below 100, where there is none."""
    for least, group in ((600, "I"), (400, "II"), (175, "IIIa"), (100, "IIIb")):
        if tracking_index >= least:
            return group
    raise ValueError(f"tracking index {tracking_index:g}: IEC 60664-1 has no material group below 100")


@calculation(
    source=cite("iec-60664-1-2020", "Table F.3: single-phase systems", "S2"),
    units={"mains_voltage": "V"},
    gives="V",
    example=Example({"mains_voltage": 230.0}, 250.0, 0.0, "220, 230 and 240 V are rationalised to the 250 V row"),
)
def rationalised_mains_voltage(*, mains_voltage: Real) -> Real:
    """The voltage that creepage across the mains is read at: 220 to 240 V count as 250 V."""
    voltage = np.asarray(mains_voltage, dtype=float)
    return plain(np.where((voltage >= 220) & (voltage <= 240), 250.0, voltage))


@calculation(
    source=cite("iec-60664-1-2020", "Table F.5 (F.4 of 2007)", "S2"),
    units={"working_voltage": "V", "pollution_degree": "1", "material_group": "", "board": ""},
    gives="m",
    valid_for={"working_voltage": (10.0, 1000.0)},
    example=Example(
        {"working_voltage": 250.0, "pollution_degree": 2, "material_group": "III", "board": False},
        2.5e-3,
        1e-12,
        "IEC 60664-1, Table F.5, two copies",
    ),
)
def creepage(
    *, working_voltage: Real, pollution_degree: int = 2, material_group: str = "IIIb", board: bool = False
) -> Real:
    """The least basic creepage in the row at or above an RMS voltage; NaN above 1 kV.

    `material_group` I, II, IIIa, IIIb or III; `board` reads the printed-wiring columns. ValueError for a pair
    that the table lacks.
    """
    rows = table("iec60664")["creepage"]
    return _row_at_or_above(working_voltage, rows["v_rms"], _creepage_column(pollution_degree, material_group, board))


@calculation(
    source=cite("iec-60664-1-2020", "Table F.5, interpolated", "C"),
    units={"working_voltage": "V", "pollution_degree": "1", "material_group": "", "board": ""},
    gives="m",
    valid_for={"working_voltage": (10.0, 1000.0)},
    example=Example(
        {"working_voltage": 300.0, "pollution_degree": 2, "material_group": "III", "board": False},
        3.0e-3,
        1e-9,
        "linear between 2.5 mm at 250 V and 3.2 mm at 320 V",
    ),
)
def creepage_interpolated(
    *, working_voltage: Real, pollution_degree: int = 2, material_group: str = "IIIb", board: bool = False
) -> Real:
    """The least basic creepage, linear between the rows; NaN above 1 kV."""
    rows = np.array(table("iec60664")["creepage"]["v_rms"], dtype=float)
    return _interpolated(working_voltage, rows, _creepage_column(pollution_degree, material_group, board))


@calculation(
    source=cite("iec-62368-1-2018", "5.4.3: interpolation rounded up to 0.1 mm", "M"),
    units={"working_voltage": "V", "pollution_degree": "1", "material_group": ""},
    gives="m",
    valid_for={"working_voltage": (10.0, 1000.0)},
    example=Example(
        {"working_voltage": 270.0, "pollution_degree": 2, "material_group": "II"},
        2.0e-3,
        1e-9,
        "1.914",
        outside=False,
    ),
    no_outside="rounding rule from memory; no worked example was found",
)
def creepage_rounded_up(*, working_voltage: Real, pollution_degree: int = 2, material_group: str = "IIIb") -> Real:
    """The interpolated basic creepage, rounded up to the next 0.1 mm."""
    exact = creepage_interpolated(
        working_voltage=working_voltage, pollution_degree=pollution_degree, material_group=material_group
    )
    return plain(np.ceil(np.round(exact * 1e4, 6)) / 1e4)


@calculation(
    source=cite("iec-60664-1-2020", "5.3 with Table F.5; reinforced is twice basic", "S2"),
    units={
        "working_voltage": "V",
        "pollution_degree": "1",
        "material_group": "",
        "insulation": "",
        "clearance": "m",
    },
    gives="m",
    example=Example(
        {
            "working_voltage": 250.0,
            "pollution_degree": 2,
            "material_group": "III",
            "insulation": REINFORCED,
            "clearance": 0.0,
        },
        5.0e-3,
        1e-12,
        "IEC 60664-1: 2 x 2.5 mm at 250 V, group III",
    ),
)
def required_creepage(
    *,
    working_voltage: Real,
    pollution_degree: int = 2,
    material_group: str = "IIIb",
    insulation: str = BASIC,
    clearance: Real = 0.0,
) -> Real:
    """The least creepage of `basic` or `reinforced` insulation, never below the clearance that it needs."""
    basic = creepage(working_voltage=working_voltage, pollution_degree=pollution_degree, material_group=material_group)
    return plain(np.maximum((2.0 if _is_reinforced(insulation) else 1.0) * basic, clearance))


def _is_reinforced(insulation: str) -> bool:
    if insulation not in (BASIC, REINFORCED):
        raise ValueError(f"insulation {insulation!r}: expected {BASIC} or {REINFORCED}")
    return insulation == REINFORCED


def _creepage_column(pollution_degree: int, group: str, board: bool) -> Array:
    """The column in metres; ValueError names what the table has."""
    rows = table("iec60664")["creepage"]
    if group not in ("I", "II", "III", "IIIa", "IIIb"):
        raise ValueError(f"material group {group!r}: expected I, II, IIIa or IIIb")
    if board:
        name = f"board-pd{pollution_degree}"
        if name not in rows or (pollution_degree == 2 and group == "IIIb"):
            raise ValueError("printed-wiring creepage: expected pollution degree 1, or 2 with any group but IIIb")
    else:
        name = "pd1" if pollution_degree == 1 else f"pd{pollution_degree}-{group.rstrip('ab')}"
        if name not in rows:
            raise ValueError(f"pollution degree {pollution_degree!r}: expected 1, 2 or 3")
    return _metres(rows[name])


def _metres(millimetres: list[float]) -> Array:
    return np.array(millimetres, dtype=float) * 1e-3


def _row_at_or_above(x: Real, rows: list[float], values: Array) -> Real:
    """The value of the first row not below x; NaN beyond the last."""
    place = np.searchsorted(np.array(rows, dtype=float), np.asarray(x, dtype=float))
    return plain(np.append(values, np.nan)[place])


def _interpolated(x: Real, rows: Array, values: Array) -> Real:
    """Linear between the rows, the first row below them, NaN above them."""
    return plain(np.interp(x, rows, values, right=np.nan))
