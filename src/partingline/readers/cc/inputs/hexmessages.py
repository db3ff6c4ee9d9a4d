"""Message bytes and object words pasted as hex, as other instruments print them.

One message a line: an optional SOP type, then bytes (`a1 61 2c 91 ...`, with or without the four CRC bytes)
or the header and object words (`61A1 0801912C ...`, `0x61A1 0x0801912C`). A line of 32-bit words alone is a
list of offers. Text after `#` is a comment.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from partingline.readers.cc.messages.crc import crc_holds
from partingline.readers.cc.messages.header import decode_header
from partingline.readers.cc.messages.pdo import Pdo
from partingline.readers.cc.messages.pdo_words import decode_pdo
from partingline.readers.cc.problem import Problem

_SOP = re.compile(r"^\s*(SOP(?:'|''|′|″|'_Debug|''_Debug)?)(?=[\s:])[\s:]*", re.IGNORECASE)
_EXPECTED = "bytes such as 'a3 03', or words such as '61A1 0801912C'"
_NEXT = "Paste one message a line."


@dataclass(frozen=True, slots=True)
class PastedMessage:
    """A line's message. `crc_holds` is None when the line has no CRC."""

    line: int
    sop: str
    payload: bytes
    crc_holds: bool | None


@dataclass(frozen=True, slots=True)
class PastedOffers:
    """A line of object words without a header, read as a source's offers."""

    line: int
    pdos: tuple[Pdo, ...]


def parse_hex(text: str) -> tuple[list[PastedMessage | PastedOffers], list[Problem]]:
    """All messages of a text, and what could not be read; nothing is left out without a problem."""
    found: list[PastedMessage | PastedOffers] = []
    problems = []
    for number, line in enumerate(text.splitlines(), 1):
        body = line.split("#")[0].strip()
        if not body:
            continue
        try:
            found.append(_parse_line(body, number))
        except ValueError as fault:
            problems.append(Problem(f"line {number}", str(fault), _EXPECTED, _NEXT))
    return found, problems


def _parse_line(body: str, number: int) -> PastedMessage | PastedOffers:
    match = _SOP.match(body)
    sop = match[1].replace("″", "''").replace("′", "'") if match else "SOP"
    sop = "SOP" + sop[3:].replace("_debug", "_Debug").replace("_DEBUG", "_Debug")
    tokens = re.split(r"[\s,;:]+", body[match.end() if match else 0 :].strip())
    tokens = [re.sub(r"^0x", "", token, flags=re.IGNORECASE) for token in tokens if token]
    if not tokens or not all(re.fullmatch(r"[0-9a-fA-F]+", token) for token in tokens):
        raise ValueError(f"'{body}' is not hex")
    widths = [len(token) for token in tokens]
    if all(width == 8 for width in widths):
        return PastedOffers(number, tuple(decode_pdo(int(token, 16)) for token in tokens))
    if widths[0] == 4 and all(width == 8 for width in widths[1:]):
        data = b"".join(int(token, 16).to_bytes(len(token) // 2, "little") for token in tokens)
        return _message(number, sop, data)
    if all(width == 2 for width in widths) or (len(tokens) == 1 and widths[0] % 2 == 0):
        return _message(number, sop, bytes.fromhex("".join(tokens)))
    raise ValueError(f"'{body}' mixes lengths")


def _message(number: int, sop: str, data: bytes) -> PastedMessage:
    if len(data) < 2:
        raise ValueError("one byte only")
    header = decode_header(int.from_bytes(data[:2], "little"), sop=sop)
    plain = 2 + 4 * header.object_count
    if len(data) == plain + 4 or (header.extended and crc_holds(data)):
        return PastedMessage(number, sop, data[:-4], crc_holds(data))
    if len(data) == plain or header.extended:
        return PastedMessage(number, sop, data, None)
    told = f"the header tells {header.object_count} objects, {plain} bytes or {plain + 4} with CRC"
    raise ValueError(f"{len(data)} bytes, but {told}")
