"""How ports share the power: `C1+A1: 45W+18W`, `C1:45W + C2:20W`, `C1+C2: 65W Max`."""

import re

from partingline.readers.label.ports import match_port, match_ports
from partingline.readers.label.recognisers.electrical import quantity_at
from partingline.readers.label.state import Line, State
from partingline.readers.quantities import FoundQuantity

_TO_POWER = re.compile(r"\s*[:=(]?\s*(?=\d)")
_PLUS = re.compile(r"\s*\)?\s*\+\s*")
_BETWEEN_POWERS = re.compile(r"\s*[+/&]\s*(?=\d)")


def each_with_power(line: Line, start: int, state: State) -> int | None:
    """`C1:45W + C2:20W`, `C1(45W)+A1(18W)`: every port has its own power beside it."""
    names: list[str] = []
    found: list[FoundQuantity] = []
    position = start
    while (port := match_port(line.alike, position)) is not None:
        gap = _TO_POWER.match(line.alike, port[1])
        watts = quantity_at(line, gap.end(), "W") if gap else None
        if watts is None:
            return None
        names.append(port[0])
        found.append(watts)
        plus = _PLUS.match(line.alike, watts.end)
        if plus is None:
            break
        position = plus.end()
    if len(names) < 2 or len(names) != len(set(names)):
        return None
    end = found[-1].end
    _share(line, start, end, state, tuple(names), found)
    return end


def powers(line: Line, start: int, state: State) -> int | None:
    """The powers behind `C1+A1:`; one for each, or one for all together."""
    first = quantity_at(line, start, "W") if line.alike[start].isdigit() else None
    if first is None or state.section == "input":
        return None
    found = [first]
    while (gap := _BETWEEN_POWERS.match(line.alike, found[-1].end)) is not None:
        following = quantity_at(line, gap.end(), "W")
        if following is None:
            break
        found.append(following)
    if len(found) == 1 and not (state.together and not state.group and not state.total):
        return None
    ports = state.ports if state.together else ()
    _share(line, start, found[-1].end, state, ports, found)
    if ports and len(found) not in (1, len(ports)):
        expected = f"{len(ports)} powers for {' + '.join(ports)}"
        state.doubt(line, start, found[-1].end, expected, "Say which port has which power.")
    return found[-1].end


def _share(line: Line, start: int, end: int, state: State, ports: tuple[str, ...], found: list[FoundQuantity]) -> None:
    quantities = tuple(one.readings[0] for one in found)
    begins = _heading_start(line, start, ports)
    state.say(line, begins, end, "sharing", quantities=quantities, ports=ports, together=True)


def _heading_start(line: Line, start: int, ports: tuple[str, ...]) -> int:
    """The statement begins where its ports are named, if that is on this line."""
    for at in range(start):
        named = match_ports(line.alike, at)
        if named is not None and named.names == ports and not line.alike[named.end : start].strip(" :=("):
            return at
    return start
