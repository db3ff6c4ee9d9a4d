"""Date codes of four digits: year and week (2134 = week 34 of 2021), or week and year."""

import re
from collections.abc import Iterator
from datetime import date

from partingline.readers.markings.types import Found, Said, Scheme

_CODE = re.compile(r"(\d\d)(\d\d)")


def read(text: str) -> Iterator[Found]:
    """`2134`."""
    match = _CODE.fullmatch(text)
    if match is None:
        return
    for year, week, likely in ((match[1], match[2], 0.6), (match[2], match[1], 0.2)):
        said = _week(2000 + int(year), int(week))
        if said is not None and 2005 <= 2000 + int(year) <= 2039:
            yield Found("date code", (said,), likely)


def _week(year: int, week: int) -> Said | None:
    try:
        day = date.fromisocalendar(year, week, 1)
    except ValueError:
        return None
    return Said("date", words=f"{year}-W{week:02}", day=day)


SCHEME = Scheme("date-yyww", "year and week date code", "common practice, no source; weeks as ISO 8601", "P", read)
