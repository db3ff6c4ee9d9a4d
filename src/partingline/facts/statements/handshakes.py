"""Old handshakes of charging ports as plain yes or no, from what was read at the data lines and at VBUS.

Three families, described by what stands on the lines: both lines joined (USB Battery Charging 1.2), both held by
dividers, and VBUS that follows voltages put on the lines or pulses of the load. Sources: USB Battery Charging 1.2 (a
dedicated charging port connects D+ and D− through at most 200 Ω; from memory); all else from memory, so indicative.
"""

import re
from collections.abc import Iterable, Iterator

from partingline.model import Basis, Citation, Key, Number, Route, Statement, Text
from partingline.sources import cite

SHORT_OHM = 200.0
DIVIDERS = ((2.0, 2.0), (2.0, 2.7), (2.7, 2.0), (2.7, 2.7), (1.2, 1.2))
"""Volts of D+ and D− by which ports without a protocol tell their current: 0.5, 1.0, 2.1, 2.4 and 2.0 A."""
WITHIN_V = 0.2
"""How far a line may lie from its level: half of what tells two levels apart, rounded down."""
REQUESTS = {(0.6, 0.0): 5.0, (3.3, 0.6): 9.0, (0.6, 0.6): 12.0, (3.3, 3.3): 20.0}
"""VBUS in V that is asked for by volts put on D+ and D−, after 0.6 V on D+ for 1.25 s and more."""
FOLLOWS = 0.1
"""Share of the voltage asked for within which VBUS has followed."""
PULSED_V = 6.5
"""VBUS above which it has left 5 V after pulses of the load."""
_COVERAGE = 1.96
_LEVELS = re.compile(r"D\+\s*(?:at\s*)?([\d.,]+)\s*V?\s*[,;/]?\s*D[-\u2212\u2013]\s*(?:at\s*)?([\d.,]+)", re.IGNORECASE)


def handshake_statements(statements: Iterable[Statement]) -> Iterator[Statement]:
    """`port:P/dedicated_charging_port` for each measured `data_line_resistance`; `data_line_divider` at each pair of
    levels for measured `data_plus_voltage` and `data_minus_voltage`; `voltage_on_request` for each `vbus_on_request` at
    a state such as `D+ 3.3 V, D− 0.6 V` or `load pulses`. Nothing where a limit lies within a reading's uncertainty."""
    measured = [s for s in statements if s.route is Route.MEASURED and isinstance(s.value, Number)]
    minus = {(s.key.subject, s.key.at): s for s in measured if s.key.quantity == "data_minus_voltage"}
    for one in measured:
        if one.key.quantity == "data_line_resistance":
            source = cite("usb-bc-1-2", "resistance between D+ and D−, at most 200 Ω", "M")
            what = "data lines joined by 200 Ω or less"
            yield from _answer("dedicated_charging_port", one.key.at, (one,), SHORT_OHM - _value(one), what, source)
        elif one.key.quantity == "data_plus_voltage" and (other := minus.get((one.key.subject, one.key.at))):
            yield from _dividers(one, other)
        elif one.key.quantity == "vbus_on_request":
            yield from _request(one)


def _dividers(plus: Statement, minus: Statement) -> Iterator[Statement]:
    """Yes at the pair of levels that both lines stand near, no at the others."""
    source = cite("from-memory", "levels of dividers on the data lines", "M")
    for high, low in DIVIDERS:
        room = WITHIN_V - max(abs(_value(plus) - high), abs(_value(minus) - low))
        at = (*plus.key.at, ("state", f"D+ {high:g} V, D\u2212 {low:g} V"))
        what = f"both lines within {WITHIN_V:g} V of these levels"
        yield from _answer("data_line_divider", at, (plus, minus), room, what, source)


def _request(read: Statement) -> Iterator[Statement]:
    """Whether VBUS went where the levels on the lines, or pulses of the load, ask it to go."""
    state = str(read.key.condition("state") or "")
    if "pulse" in state.casefold():
        room, what, where = _value(read) - PULSED_V, "VBUS leaves 5 V", "steps of VBUS by pulses of the load"
    else:
        asked = _asked(state)
        if asked is None:
            return
        room, what = FOLLOWS * asked - abs(_value(read) - asked), f"VBUS within 10 % of {asked:g} V"
        where = "steps of VBUS by voltages on the data lines"
    yield from _answer("voltage_on_request", read.key.at, (read,), room, what, cite("from-memory", where, "M"))


def _asked(state: str) -> float | None:
    levels = _LEVELS.search(state)
    if not levels:
        return None
    plus, minus = (float(text.replace(",", ".")) for text in levels.groups())
    near = [volts for (p, m), volts in REQUESTS.items() if max(abs(p - plus), abs(m - minus)) <= WITHIN_V]
    return near[0] if near else None


def _answer(
    quantity: str, at: tuple[tuple[str, float | str], ...], read: tuple[Statement, ...], room: float, what: str,
    source: Citation,
) -> Iterator[Statement]:  # fmt: skip
    """Yes where there is room, no where there is none, nothing where the readings' uncertainty covers both."""
    u = max(one.value.u for one in read if isinstance(one.value, Number))
    if abs(room) < _COVERAGE * u:
        return
    key = Key(read[0].key.subject, quantity, tuple(sorted(at)))
    basis = Basis(what, str(source), tuple(one.key for one in read))
    evidence = tuple(place for one in read for place in one.evidence)
    answer = Text("yes" if room >= 0 else "no")
    yield Statement(key, answer, Route.MEASURED, evidence=evidence, said=read[0].said, basis=basis)


def _value(read: Statement) -> float:
    return read.value.value if isinstance(read.value, Number) else 0.0
