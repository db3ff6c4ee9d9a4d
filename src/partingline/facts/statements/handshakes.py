"""Handshakes of the published battery charging standard as plain yes or no, from what was read at the data lines.

Source: USB Battery Charging 1.2 (a dedicated charging port connects D+ and D− through at most 200 Ω; from memory).
"""

from collections.abc import Iterable, Iterator

from partingline.model import Basis, Key, Number, Route, Statement, Text
from partingline.sources import cite

SHORT_OHM = 200.0
_COVERAGE = 1.96


def handshake_statements(statements: Iterable[Statement]) -> Iterator[Statement]:
    """`port:P/dedicated_charging_port` yes or no for each measured `data_line_resistance`; nothing where the limit lies
    within the reading's uncertainty."""
    source = cite("usb-bc-1-2", "resistance between D+ and D−, at most 200 Ω", "M")
    for one in statements:
        value = one.value
        measured = one.key.quantity == "data_line_resistance" and one.route is Route.MEASURED
        if not measured or not isinstance(value, Number) or abs(value.value - SHORT_OHM) < _COVERAGE * value.u:
            continue
        answer = "yes" if value.value <= SHORT_OHM else "no"
        key = Key(one.key.subject, "dedicated_charging_port", one.key.at)
        basis = Basis("data lines joined by 200 Ω or less", str(source), (one.key,))
        yield Statement(key, Text(answer), Route.MEASURED, evidence=one.evidence, said=one.said, basis=basis)
