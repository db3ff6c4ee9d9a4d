"""Preferred numbers (IEC 60063): a code whose digits are one of them is the likelier reading."""

from functools import cache

# The eight members of E24 that differ from the formula.
_E24_ODD = {26: 27, 29: 30, 32: 33, 35: 36, 38: 39, 42: 43, 46: 47, 83: 82}


@cache
def e24() -> frozenset[int]:
    """The 24 two-digit values."""
    formula = (round(10 * 10 ** (step / 24)) for step in range(24))
    return frozenset(_E24_ODD.get(value, value) for value in formula)


@cache
def three_digits() -> frozenset[int]:
    """The three-digit values: E24 with a zero, E96 and E192 (by formula; 920 stands where it gives 919)."""
    fine = {round(100 * 10 ** (step / 192)) for step in range(192)} - {919} | {920}
    return frozenset(fine | {10 * value for value in e24()})


def is_preferred(digits: str) -> bool:
    """Whether the digits of a value, in any decade, are a preferred number: not of `4992`."""
    figures = digits.strip("0")
    if len(figures) > 3:
        return False
    return int(f"{figures:0<3}") in three_digits() if figures else True
