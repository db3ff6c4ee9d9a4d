"""IEC 60062 date codes: a year letter of a 20-year cycle, or the year's last digit, and a month character.

Some makers run one year late (N = 2002); that reading is offered too.
"""

import re
from collections.abc import Iterator
from datetime import date

from partingline.readers.markings.types import Found, Said, Scheme

# A = 2010 ... X = 2029; G I O Q Y Z are not used. 1994 E ... 2000 M are confirmed in a secondary copy.
_YEARS = {letter: 2010 + number for number, letter in enumerate("ABCDEFHJKLMNPRSTUVWX")}
_MONTHS = {character: month for month, character in enumerate("123456789OND", start=1)}
_CODE = re.compile(r"([A-HJ-NPR-X]|\d)([1-9OND])")


def read(text: str) -> Iterator[Found]:
    """`M5` = May 2020 or May 2000; `15` = May 2021, 2011."""
    match = _CODE.fullmatch(text)
    if match is None:
        return
    month = _MONTHS[match[2]]
    if match[1].isdigit():
        for decade, likely in ((2020, 0.3), (2010, 0.25)):
            yield _found(decade + int(match[1]), month, likely, "10-year form: the last digit of the year.")
    elif match[1] in _YEARS:
        year = _YEARS[match[1]]
        yield _found(year, month, 0.5, "20-year cycle.")
        yield _found(year - 20, month, 0.2, "20-year cycle, the earlier one.")
        yield _found(year + 1, month, 0.1, "Maker's variant that runs one year late.")


def year_letter(year: int) -> str:
    """The letter of a year in the 20-year cycle: 2021 -> N."""
    return next(letter for letter, first in _YEARS.items() if (year - first) % 20 == 0)


def month_code(month: int) -> str:
    """The character of a month: 11 -> N."""
    return "123456789OND"[month - 1]


def _found(year: int, month: int, likely: float, note: str) -> Found:
    said = Said("date", words=f"{year}-{month:02}", day=date(year, month, 1))
    return Found("date code", (said,), likely, notes=(note,))


SCHEME = Scheme("iec60062-date", "IEC 60062 year and month", "IEC 60062 date code", "M", read)
