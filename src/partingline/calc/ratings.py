"""Parts against their ratings: shares, derating rules, fuses, harmonics."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from partingline.calc.declare import Example, Real, calculation
from partingline.calc.numbers import plain
from partingline.sources import cite
from partingline.sources.tables import table


@calculation(
    source=cite("algebra", "applied over rated", "C"),
    units={"applied": "", "rated": ""},
    gives="1",
    example=Example({"applied": 373.35, "rated": 400.0}, 0.933, 1e-3, "264 V mains on a 400 V part", outside=False),
    no_outside="a ratio; the rules that it is held against are published",
)
def rating_share(*, applied: Real, rated: Real) -> Real:
    """The share of a rating that is used, of voltage, current or power."""
    return applied / rated


@calculation(
    source=cite("riac-derating", "and NAVSEA SD-18, ECSS-Q-ST-30-11C, IPC-9592 by the rule's name", "S2"),
    units={"rule": "", "stress": ""},
    gives="1",
    example=Example({"rule": "riac-benign", "stress": "electrolytic-voltage"}, 0.8, 0.0, "RAC/RiAC guide, two copies"),
)
def derating_share(*, rule: str, stress: str) -> float:
    """The share of a rating that a derating rule allows for a stress such as `electrolytic-voltage`.

    KeyError says which rules or stresses there are.
    """
    rules = table("parts")["derating"]
    if rule not in rules:
        raise KeyError(f"no derating rule {rule!r}: expected one of {', '.join(rules)}")
    shares = {name: share for name, share in rules[rule].items() if isinstance(share, float)}
    if stress not in shares:
        raise KeyError(f"{rule} says nothing of {stress!r}: it has {', '.join(shares)}")
    return float(shares[stress])


@calculation(
    source=cite("iec-60127", "breaking capacity letters", "M"),
    units={"letter": "", "rated_current": "A"},
    gives="A",
    example=Example({"letter": "L", "rated_current": 5.0}, 50.0, 0.0, "10 In above 3.5 A", outside=False),
    no_outside="letters from memory",
)
def fuse_breaking_capacity(*, letter: str, rated_current: Real) -> Real:
    """The current that a fuse of letter L, E or H must break. ValueError for another letter."""
    rows = table("parts")["fuse"]["breaking"]
    if letter not in rows:
        raise ValueError(f"breaking capacity {letter!r}: expected L, E or H")
    return plain(np.maximum(rows[letter]["a"], rows[letter]["times"] * np.asarray(rated_current)))


@dataclass(frozen=True, slots=True)
class FuseGate:
    """The shortest and the longest time in which a fuse may blow, in s."""

    shortest: float
    longest: float


@calculation(
    source=cite("iec-60127", "5 x 20 mm, time-lag, low breaking capacity, 0.125 to 6.3 A", "M"),
    units={"multiple": "1"},
    gives="shortest s, longest s",
    example=Example(
        {"multiple": 10.0}, {"shortest": 0.02, "longest": 0.3}, 0.0, "IEC 60127, sheet 3, as remembered", outside=False
    ),
    no_outside="time gates from memory",
)
def fuse_time_gate(*, multiple: float) -> FuseGate:
    """The time gate of a T fuse at 1.5, 2.1, 2.75, 4 or 10 times its rated current. ValueError for another multiple."""
    rows = table("parts")["fuse"]["gates_t_low"]
    if multiple not in rows["multiple"]:
        raise ValueError(f"multiple {multiple:g}: expected one of {', '.join(f'{m:g}' for m in rows['multiple'])}")
    row = rows["multiple"].index(multiple)
    return FuseGate(shortest=float(rows["shortest"][row]), longest=float(rows["longest"][row]))


@calculation(
    source=cite("common-practice", "melting I²t above the inrush I²t", "P"),
    units={"melting_i2t": "A²s", "inrush_i2t": "A²s"},
    gives="1",
    example=Example({"melting_i2t": 10.0, "inrush_i2t": 0.5715}, 17.5, 1e-3, "ratio", outside=False),
    no_outside="a ratio",
)
def fuse_pulse_margin(*, melting_i2t: Real, inrush_i2t: Real) -> Real:
    """How many times the inrush fits into the fuse's melting integral; below 1 it blows at switch-on."""
    return melting_i2t / inrush_i2t


@calculation(
    source=cite("iec-60127", "preferred rated currents", "M"),
    units={"current": "A"},
    gives="A",
    example=Example({"current": 1.37}, 1.6, 0.0, "series of preferred currents", outside=False),
    no_outside="series from memory",
)
def next_fuse_current(*, current: Real) -> Real:
    """The smallest preferred rated current that is not below a current; NaN above 6.3 A."""
    series = np.append(np.array(table("parts")["fuse"]["preferred_a"], dtype=float), np.nan)
    return plain(series[np.searchsorted(series[:-1], current)])


@calculation(
    source=cite("iec-61000-3-2", "class A", "S2"),
    units={"harmonic": "1"},
    gives="A",
    example=Example({"harmonic": 3}, 2.3, 0.0, "IEC 61000-3-2, class A, two tables"),
)
def harmonic_limit_class_a(*, harmonic: int) -> float:
    """The class A limit of an odd harmonic 3 to 39; NaN for others. No limits below 75 W of rated input."""
    return _harmonic(harmonic, "odd", "class_a", lambda rows: rows["class_a_above"] * 15 / harmonic)


@calculation(
    source=cite("iec-61000-3-2", "class D", "S2"),
    units={"harmonic": "1"},
    gives="A/W",
    example=Example({"harmonic": 3}, 3.4e-3, 1e-12, "IEC 61000-3-2, class D, two tables"),
)
def harmonic_limit_class_d(*, harmonic: int) -> float:
    """The class D limit per watt of an odd harmonic 3 to 39, 75 to 600 W; NaN for others."""
    return 1e-3 * _harmonic(harmonic, "odd_d", "class_d", lambda rows: rows["class_d_above"] / harmonic)


def _harmonic(harmonic: int, odd: str, column: str, above: Callable[[dict[str, Any]], float]) -> float:
    """The row of an odd harmonic, or the formula above the last row; NaN where there is no limit."""
    rows = table("parts")["harmonics"]
    if harmonic in rows[odd]:
        return float(rows[column][rows[odd].index(harmonic)])
    return float(above(rows)) if harmonic % 2 and rows[odd][-1] < harmonic <= 39 else float("nan")
