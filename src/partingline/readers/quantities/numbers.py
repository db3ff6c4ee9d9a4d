"""Numbers as people write them: decimal points and commas, thousands separators, powers of ten.

A comma before exactly three digits (`3,000`) can be either; both readings are then wanted from the caller. An
ordinary space is a thousands separator only before `000`, a thin or no-break space or an apostrophe before
any three digits.
"""

import math
import re
from dataclasses import dataclass
from typing import Literal

Decimal = Literal[".", ","]

_TOKEN = re.compile(
    r"(?P<sign>[+\-−])?(?P<body>\d+(?:[.,]\d+|['’\u2009\u202f\u00a0]\d{3}(?!\d)| 000(?!\d))*|[.,]\d+)"
    r"(?P<power>\s?[×x]\s?10\^?(?P<ten>[-−⁻]?[\d⁰¹²³⁴-⁹]+)|[eE](?P<e>[+-]?\d+)(?![\w.]))?"
)
_GROUPS = re.compile(r"['’\u2009\u202f\u00a0 ]")
_SUPERSCRIPT = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻−", "0123456789--")


@dataclass(frozen=True, slots=True)
class Number:
    """A number read up to character `end`; `places` is the power of ten of its last digit."""

    value: float
    places: int
    end: int
    ambiguous: bool = False


def read_number(text: str, start: int, decimal: Decimal | None = None) -> Number | None:
    """The number at `start`, None where there is none.

    decimal: the decimal sign where it is known; with None, `ambiguous` is set where it decides the value.
    """
    token = _TOKEN.match(text, start)
    if token is None:
        return None
    body = token["body"]
    if body.isdecimal():
        plain, ambiguous = body, False
    else:
        written = _plain(_GROUPS.sub("", body), decimal)
        if written is None:
            return _leading_digits(text, token.start("body"), token["sign"])
        plain, ambiguous = written
    power = int((token["ten"] or token["e"] or "0").translate(_SUPERSCRIPT))
    sign = "-" if token["sign"] in ("-", "−") else ""
    value = float(f"{sign}{plain}e{power}")
    if math.isinf(value):
        return None
    return Number(value, power - len(plain.partition(".")[2]), token.end(), ambiguous)


def _leading_digits(text: str, start: int, sign: str | None) -> Number:
    """A list such as `5,9,12` is no number: only its first member is."""
    digits = re.compile(r"\d+").match(text, start)
    assert digits is not None
    value = float(digits[0])
    return Number(-value if sign in ("-", "−") else value, 0, digits.end())


def _plain(body: str, decimal: Decimal | None) -> tuple[str, bool] | None:
    """The body with a point for the decimal sign and no separators, and whether it could be otherwise."""
    points, commas = body.count("."), body.count(",")
    if points and commas:
        mark = "." if body.rindex(".") > body.rindex(",") else ","
        if body.count(mark) > 1 or (decimal and mark != decimal):
            return None
        whole, _, fraction = body.partition(mark)
        return _grouped(whole, f".{fraction}")
    mark = "." if points else ","
    if points + commas > 1:
        return _grouped(body, "") if decimal != mark else None
    if not points + commas:
        return body, False
    return _one_mark(body, mark, decimal)


def _one_mark(body: str, mark: str, decimal: Decimal | None) -> tuple[str, bool] | None:
    whole, _, fraction = body.partition(mark)
    as_decimal = f"{whole or '0'}.{fraction}"
    could_group = len(fraction) == 3 and 1 <= len(whole) <= 3 and not whole.startswith("0")
    if decimal is None:
        return as_decimal, could_group and mark == ","
    if decimal == mark:
        return as_decimal, False
    return (whole + fraction, False) if could_group else None


def _grouped(whole: str, fraction: str) -> tuple[str, bool] | None:
    groups = re.split("[.,]", whole)
    if not 1 <= len(groups[0]) <= 3 or any(len(group) != 3 for group in groups[1:]):
        return None
    return "".join(groups) + fraction, False
