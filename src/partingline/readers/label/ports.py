"""Names of ports: one, or several joined by `+` (together) or `/` (each)."""

import re
from dataclasses import dataclass

_FOLLOWS = r"(?=\s*(?:[:+&(=]|/\s*(?:USB|Type|[CA]\d?\b)|\d+(?:\.\d+)?\s*[VW]|(?i:output|input|only|$)))"
_PORT = re.compile(
    r"(?i:USB[- ]?(?:Type[- ]?)?)(?P<letter>[CAca])[- ]?(?P<number>\d)?(?![A-Za-z0-9])"
    r"|(?i:Type[- ]?)(?P<letter2>[CAca])[- ]?(?P<number2>\d)?(?![A-Za-z0-9])"
    r"|(?P<usb>(?i:USB)) ?(?P<number3>\d)?(?![.\dA-Za-z-])"
    rf"|(?P<letter4>[CA])(?P<number4>\d)?(?![A-Za-z0-9]){_FOLLOWS}"
    r"|(?i:port ?)(?P<number5>\d)(?!\d)"
)
_JOIN = re.compile(r"\s*(?P<join>\+|/|&|,|\band\b|\bor\b|\bund\b|\boder\b)\s*")
_NUMBER = re.compile(r"(\d)(?=\s*[:+/(])")


@dataclass(frozen=True, slots=True)
class Ports:
    """Ports read up to character `end`."""

    names: tuple[str, ...]
    together: bool
    end: int


def match_port(text: str, start: int) -> tuple[str, int] | None:
    """One port name, without `USB-` and `Type-`: `USB-C1` -> `C1`."""
    found = _PORT.match(text, start)
    if found is None:
        return None
    letter = found["letter"] or found["letter2"] or found["letter4"] or ("USB" if found["usb"] else "")
    number = found["number"] or found["number2"] or found["number3"] or found["number4"] or found["number5"] or ""
    return letter.upper() + number, found.end()


def match_ports(text: str, start: int) -> Ports | None:
    """Ports joined by `+` or `/`."""
    first = match_port(text, start)
    if first is None:
        return None
    names, end = [first[0]], first[1]
    joins: set[str] = set()
    while (join := _JOIN.match(text, end)) is not None:
        following = match_port(text, join.end())
        number = _NUMBER.match(text, join.end())
        if following is not None:
            name, stop = following
        elif number is not None and join["join"] in "/+":
            name, stop = names[-1].rstrip("0123456789") + number[1], number.end()
        else:
            break
        names.append(name)
        joins.add(join["join"])
        end = stop
    return Ports(tuple(names), "+" in joins, end)
