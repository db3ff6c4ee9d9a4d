"""Voltages, currents, frequencies and powers: ratings of the input, offers of the outputs."""

import re
from dataclasses import replace

from partingline.readers.label.recognisers.words_matching import any_of
from partingline.readers.label.state import Line, State, keep, printed
from partingline.readers.label.types import Offer, OfferKind
from partingline.readers.label.words import TOTAL
from partingline.readers.quantities import FoundQuantity, Quantity, match_quantity

_PREFIX = re.compile(r"(?P<form>AC|DC|~|⎓|=)\s*(?=\d)", re.IGNORECASE)
_BETWEEN = re.compile(r"\s*(?:[⎓=⎯─―—–~\-]+|DC\b|/|,|@|[x×]|\()?\s*(?:DC\s*)?(?=[\d.])", re.IGNORECASE)
_NEXT_VOLTAGE = re.compile(r"\s*[/,|;]?\s*(?=\d)")
_KIND_BEHIND = re.compile(r"\s*\(?(?P<kind>PPS|AVS)\)?(?!\s*[:=]?\s*\d)", re.IGNORECASE)
_FREQUENCIES = re.compile(r"(?P<a>\d{2,3})\s*(?:Hz)?\s*[/,]\s*(?P<b>\d{2,3})\s*Hz", re.IGNORECASE)
_MOST = {"V": 1000.0, "A": 100.0, "W": 1000.0}
_TOTAL_BEHIND = any_of(TOTAL)


def frequency(line: Line, start: int, state: State) -> int | None:
    """`50/60Hz`, `50-60 Hz`."""
    pair = _FREQUENCIES.match(line.alike, start)
    if pair is not None:
        members = []
        for name in "ab":
            value = printed(Quantity(float(pair[name]), "Hz"), line, pair.start(name), pair.end(name))
            members.append(value)
        state.say(line, start, pair.end(), "rated_input_frequency", quantities=tuple(members))
        return pair.end()
    found = quantity_at(line, start, "Hz")
    if found is None:
        return None
    keep(state, line, start, found.end, "rated_input_frequency", found.readings)
    return found.end


def voltage(line: Line, start: int, state: State) -> int | None:
    """`100-240V~` of the input; `5V⎓3A`, `5V/9V/12V⎓3A`, `3.3-11V⎓5A` of an output."""
    prefix = _PREFIX.match(line.alike, start)
    found = quantity_at(line, prefix.end() if prefix else start, "V")
    if found is None:
        return None
    first = found.readings[0]
    if prefix is not None and not first.form:
        first = replace(first, form="ac" if prefix["form"] in ("AC", "ac", "~") else "dc")
    if state.section == "input" and not _is_mains(first) and _has_mains(state):
        state.heading("output")
    if state.section == "input" or _is_mains(first):
        state.section = "input"
        state.say(line, start, found.end, "rated_input_voltage", quantities=(first,))
        return found.end
    return _offers(line, start, found.end, first, state)


def _is_mains(quantity: Quantity) -> bool:
    return quantity.form == "ac" or (quantity.high or 0.0) > 60 or quantity.value > 60


def _has_mains(state: State) -> bool:
    """Whether the mains voltage has been said: a low voltage behind it is an output without a heading."""
    said = (one.quantities[0] for one in state.statements if one.what == "rated_input_voltage")
    return any(_is_mains(one) for one in said)


def _offers(line: Line, start: int, end: int, first: Quantity, state: State) -> int:
    state.section = state.section or "output"
    voltages = [(start, first)]
    while (amps := _current_behind(line, end)) is None:
        following = _NEXT_VOLTAGE.match(line.alike, end)
        found = quantity_at(line, following.end(), "V") if following else None
        if following is None or found is None:
            break
        voltages.append((following.end(), found.readings[0]))
        end = found.end
    stop = amps.end if amps else end
    behind = _KIND_BEHIND.match(line.alike, stop)
    if behind is not None:
        state.kind, stop = behind["kind"].upper(), behind.end()
    for at, volts in voltages:
        current = amps.readings[0] if amps else None
        state.group.append(len(state.statements))
        kind, notes = _kind(volts, state)
        offer = Offer(kind, volts, current)
        state.say(line, at, stop, "offer", ports=state.ports, together=state.together, offer=offer, notes=notes)
    return stop


def _current_behind(line: Line, end: int) -> FoundQuantity | None:
    between = _BETWEEN.match(line.alike, end)
    return quantity_at(line, between.end(), "A") if between else None


def _kind(volts: Quantity, state: State) -> tuple[OfferKind, tuple[str, ...]]:
    if volts.sense != "within":
        return "fixed", ()
    if state.kind == "AVS":
        return "AVS", ()
    notes = () if state.kind else ("A voltage range without PPS or AVS was taken for PPS.",)
    return "PPS", notes


def current(line: Line, start: int, state: State) -> int | None:
    """`1.6A` of the input; a current alone in an output is kept as the output current."""
    found = quantity_at(line, start, "A")
    if found is None:
        return None
    if _other_current(line, start, found, state):
        return found.end
    if state.section != "output":
        keep(state, line, start, found.end, "rated_input_current", found.readings)
    elif not _completes(line, found, state):
        fields = {"ports": state.ports, "together": state.together}
        keep(state, line, start, found.end, "rated_output_current", found.readings, **fields)
    return found.end


def _other_current(line: Line, start: int, found: FoundQuantity, state: State) -> bool:
    """`20V⎓3A/5A`: a second current of the same voltage is a second offer."""
    last = state.statements[-1] if state.statements else None
    if last is None or last.offer is None or last.line != line.number or line.alike[last.end : start].strip() != "/":
        return False
    offer = Offer(last.offer.kind, last.offer.voltage, found.readings[0])
    state.group.append(len(state.statements))
    note = ("A second current for the same voltage.",)
    state.say(line, last.start, found.end, "offer", ports=last.ports, together=last.together, offer=offer, notes=note)
    return True


def _completes(line: Line, found: FoundQuantity, state: State) -> bool:
    """A current at the head of a line belongs to the voltage at the end of the line before."""
    last = state.statements[-1] if state.statements else None
    if last is None or last.offer is None or last.offer.current is not None:
        return False
    if last.line != line.number - 1 or line.alike[: found.start].strip(" ⎓=-/"):
        return False
    offer = replace(last.offer, current=found.readings[0])
    note = f"Its current stands on line {line.number}."
    state.statements[-1] = replace(last, offer=offer, notes=(*last.notes, note))
    return True


def power(line: Line, start: int, state: State) -> int | None:
    """`65W Max`: the power of the offer before it, of the port, or of the whole unit."""
    found = quantity_at(line, start, "W")
    if found is None:
        return None
    behind = re.compile(r"\s*\(?").match(line.alike, found.end)
    total = _TOTAL_BEHIND.match(line.alike, behind.end()) if behind else None
    offer = _offer_of(state) if not (total or state.total) else None
    if offer is not None:
        _attach(line, found, offer, state)
        return found.end
    if state.section == "input" and state.heading_line == line.number:
        keep(state, line, start, found.end, "rated_input_power", found.readings)
        return found.end
    whole = total is not None or state.total
    ports, together = ((), False) if whole else (state.ports, state.together)
    end = total.end() if total else found.end
    keep(state, line, start, end, "rated_power", found.readings, ports=ports, together=together)
    state.total = False
    return end


def _offer_of(state: State) -> int | None:
    """The offer that a power right behind it belongs to; behind a list without powers it is the port's."""
    if not state.group:
        return None
    offers = [state.statements[at].offer for at in state.group]
    powered = [offer is not None and offer.power is not None for offer in offers]
    alone = len(offers) == 1 or any(powered)
    return state.group[-1] if alone and not powered[-1] else None


def _attach(line: Line, found: FoundQuantity, at: int, state: State) -> None:
    statement = state.statements[at]
    assert statement.offer is not None
    end = found.end if statement.line == line.number else statement.end
    if line.alike.startswith(")", end) and "(" in line.alike[statement.start : end]:
        end += 1
    state.statements[at] = replace(
        statement,
        end=end,
        text=line.printed[statement.start : end] if statement.line == line.number else statement.text,
        offer=replace(statement.offer, power=found.readings[0]),
    )


def quantity_at(line: Line, start: int, unit: str) -> FoundQuantity | None:
    """A quantity of this unit at a character, with its text as printed.

    An ambiguous number gives both readings, unless one is impossible for a charger (3,250 A is not 3250 A).
    """
    found = match_quantity(line.alike, start)
    if found is None:
        return None
    readings = tuple(printed(one, line, start, found.end) for one in found.readings if one.unit == unit)
    possible = tuple(one for one in readings if one.value <= _MOST.get(unit, one.value))
    readings = possible or readings
    return replace(found, readings=readings) if readings else None
