"""Headings: input and output, ports, 'total', PPS and AVS."""

import re

from partingline.readers.label.ports import match_ports
from partingline.readers.label.recognisers.words_matching import any_of
from partingline.readers.label.state import Line, State
from partingline.readers.label.words import INPUT, OUTPUT, TOTAL

_BEFORE = r"(?:(?:rated|max\.?|maximum|nominal|usb|ac|dc)\s+)?"
_INPUT = re.compile(_BEFORE + any_of(INPUT).pattern, re.IGNORECASE)
_OUTPUT = re.compile(_BEFORE + any_of(OUTPUT).pattern, re.IGNORECASE)
_TOTAL = any_of(TOTAL)
_BEHIND = re.compile(r"\s*(?P<number>\d(?=\s*[:(]))?\s*(?:\(\s*(?=[A-Za-z]))?\s*")
_KIND = re.compile(
    r"(?:(?:USB[- ]?)?PD\s?)?\(?(?P<kind>PPS|AVS)\)?(?:\s?(?:mode|range))?\s*(?:[:=-]\s*$|[:=-]?(?=\s*[(\d~]))",
    re.IGNORECASE,
)
_ADJECTIVE = re.compile(
    r"(?:rated|max\.?|maximum|nominal|ac|dc)\s*(?=:)"
    r"|(?:power|voltage|current|frequency|leistung|spannung|strom)\b|电压|电流|功率",
    re.IGNORECASE,
)
_CONNECTOR = re.compile(r"(?:or|and|oder|und)(?![A-Za-z])", re.IGNORECASE)


def heading(line: Line, start: int, state: State) -> int | None:
    """`INPUT`, `Output 1`, `输出`, `AUSGANG (USB-C1)`."""
    is_input = _INPUT.match(line.alike, start)
    found = is_input or _OUTPUT.match(line.alike, start)
    if found is None:
        return None
    behind = _BEHIND.match(line.alike, found.end())
    assert behind is not None
    total_before = state.total
    kept = state.ports if not is_input and _names_own_port(line, start) else ()
    together = state.together if kept else False
    state.heading("input" if is_input else "output", kept, together)
    state.heading_line = line.number
    state.total = total_before and not is_input
    if behind["number"]:
        state.ports = (behind["number"],)
        return behind.end()
    adjective = _ADJECTIVE.match(line.alike, behind.end())
    return adjective.end() if adjective else found.end()


def _names_own_port(line: Line, start: int) -> bool:
    """`USB-C1 Output: ...`: the port stands right before the heading."""
    before = line.alike[:start].rstrip(" (:-")
    return any((found := match_ports(before, at)) is not None and found.end == len(before) for at in range(len(before)))


def total(line: Line, start: int, state: State) -> int | None:
    """`Total`: the next power is that of the whole unit."""
    found = _TOTAL.match(line.alike, start)
    if found is None:
        return None
    state.heading("output")
    state.total = True
    adjective = re.compile(r"\s*(?:power|output|max\.?)\b", re.IGNORECASE).match(line.alike, found.end())
    return adjective.end() if adjective and "output" not in adjective[0].lower() else found.end()


def kind_word(line: Line, start: int, state: State) -> int | None:
    """`PPS:` and `AVS:` before a voltage range."""
    found = _KIND.match(line.alike, start)
    if found is None:
        return None
    state.kind = found["kind"].upper()
    return found.end()


def ports(line: Line, start: int, state: State) -> int | None:
    """`USB-C1:`, `C1/C2`, `USB-C1 + USB-A`."""
    found = match_ports(line.alike, start)
    if found is None:
        return None
    state.heading(state.section or "output", found.names, found.together)
    if state.section == "input":
        state.section = "output"
    state.total = False
    return found.end


def connector(line: Line, start: int, _state: State) -> int | None:
    """`or` and `and` between two members of a list: they say nothing by themselves."""
    found = _CONNECTOR.match(line.alike, start)
    return found.end() if found and start and found.end() < len(line.alike.rstrip()) else None
