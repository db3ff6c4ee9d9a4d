"""A whole message from its bytes: header, objects and what they say."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import TypeAlias

from partingline.readers.cc.messages.blocks import decode_country_query
from partingline.readers.cc.messages.extended import Block, Opaque, decode_block
from partingline.readers.cc.messages.fields import words_of
from partingline.readers.cc.messages.header import (
    ExtendedHeader,
    Header,
    decode_extended_header,
    decode_header,
)
from partingline.readers.cc.messages.names import SOP
from partingline.readers.cc.messages.pdo import Pdo
from partingline.readers.cc.messages.pdo_words import decode_pdo
from partingline.readers.cc.messages.rdo import Rdo, decode_rdo, rdo_position
from partingline.readers.cc.messages.status import (
    Alert,
    BatteryStatus,
    Bist,
    EnterUsb,
    EprMode,
    RevisionInfo,
    SourceInfo,
    decode_alert,
    decode_battery_status,
    decode_bist,
    decode_enter_usb,
    decode_epr_mode,
    decode_revision,
    decode_source_info,
)
from partingline.readers.cc.messages.vdm import StructuredVdm, UnstructuredVdm, decode_vdm


@dataclass(frozen=True, slots=True)
class Capabilities:
    """A capability list, in order of object position; `sink` tells whose."""

    pdos: tuple[Pdo, ...]
    sink: bool
    epr: bool = False

    @property
    def text(self) -> str:
        """`#1 5 V 3 A; #2 9 V 3 A`; padding is left out."""
        return "; ".join(f"#{i} {pdo.text}" for i, pdo in enumerate(self.pdos, 1) if pdo.kind != "empty")


@dataclass(frozen=True, slots=True)
class EprRequest:
    """A request in EPR mode and the copy of the object asked for (None when it was left out)."""

    rdo: Rdo
    pdo: Pdo | None

    @property
    def text(self) -> str:
        """`#9 AVS 24 V 5 A`."""
        return self.rdo.text


@dataclass(frozen=True, slots=True)
class Chunk:
    """A part of a data block (`complete` False), or a request for a part."""

    number: int
    request: bool
    data: bytes

    @property
    def text(self) -> str:
        """`request of chunk 1`, `chunk 0`."""
        return f"request of chunk {self.number}" if self.request else f"chunk {self.number}"


Body: TypeAlias = (
    Capabilities | Rdo | EprRequest | Alert | BatteryStatus | SourceInfo | RevisionInfo | EprMode | Bist
    | EnterUsb | StructuredVdm | UnstructuredVdm | Chunk | Block | None
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Message:
    """A message with a sound CRC. `payload`: header and data, no CRC; `fault`: what is malformed."""

    sop: str
    header: Header
    extended: ExtendedHeader | None
    payload: bytes
    words: tuple[int, ...]
    body: Body
    fault: str | None = None

    @property
    def name(self) -> str:
        """The standard's name of the message type."""
        return self.header.name

    @property
    def text(self) -> str:
        """The name and, where there is one, the short text of its content."""
        content = getattr(self.body, "text", "")
        return f"{self.name}: {content}" if content else self.name


@lru_cache(maxsize=4096)
def decode_message(payload: bytes, *, sop: str = SOP, offered: tuple[Pdo, ...] = ()) -> Message:
    """Take a message (header and data, no CRC) apart.

    `offered`: the list that a Request points into. Malformed data is kept and named in `fault`. Raises
    ValueError when there are not even the two header bytes.
    """
    if len(payload) < 2:
        raise ValueError(f"message of {len(payload)} bytes: expected a header of 2 bytes at least")
    header = decode_header(int.from_bytes(payload[:2], "little"), sop=sop)
    if header.extended:
        return _extended(payload, header, sop)
    words = words_of(payload[2:])
    fault = None
    if len(payload) != 2 + 4 * header.object_count:
        fault = f"header tells {header.object_count} objects, found {(len(payload) - 2) / 4:g}"
    body: Body = None
    if header.object_count and words:
        try:
            body = _data_body(header, words, sop, offered)
        except ValueError as problem:
            fault = str(problem)
    return Message(sop, header, None, payload, words, body, fault)


def complete(first: Message, data: bytes) -> Message:
    """The whole extended message whose parts began with `first` and together hold `data`."""
    body = _block(first.header, data)
    return Message(first.sop, first.header, first.extended, first.payload[:4] + data, words_of(data), body, None)


def _data_body(header: Header, words: tuple[int, ...], sop: str, offered: tuple[Pdo, ...]) -> Body:
    major = header.major
    match header.type_code:
        case 1 | 4:
            sink = header.type_code == 4
            return Capabilities(tuple(decode_pdo(w, sink=sink, revision=major) for w in words), sink)
        case 2:
            return _request(words[0], offered, major)
        case 9:
            copy = decode_pdo(words[1]) if len(words) > 1 else None
            return EprRequest(decode_rdo(words[0], pdo=copy), copy)
        case 11:
            return decode_source_info(*words[:2])
        case 15:
            return decode_vdm(words, sop=sop, revision=major)
    known = _SINGLE.get(header.type_code)
    return known(words[0]) if known else None


_SINGLE: dict[int, Callable[[int], Body]] = {
    3: decode_bist,
    5: decode_battery_status,
    6: decode_alert,
    7: decode_country_query,
    8: decode_enter_usb,
    10: decode_epr_mode,
    12: decode_revision,
}


def _request(word: int, offered: tuple[Pdo, ...], major: int) -> Rdo:
    position = rdo_position(word, revision=major)
    return decode_rdo(word, pdo=offered[position - 1] if 0 < position <= len(offered) else None, revision=major)


def _extended(payload: bytes, header: Header, sop: str) -> Message:
    if len(payload) < 4:
        short = f"extended message of {len(payload)} bytes: expected an extended header"
        return Message(sop, header, None, payload, (), Opaque(payload[2:], short), short)
    ext = decode_extended_header(int.from_bytes(payload[2:4], "little"))
    data = payload[4:]
    if ext.chunked and ext.request_chunk:
        body: Body = Chunk(ext.chunk_number, True, data)
    elif ext.chunked and (ext.chunk_number or ext.data_size > 26):
        body = Chunk(ext.chunk_number, False, data)
    else:
        body = _block(header, data[: ext.data_size])
    fault = None
    if not isinstance(body, Chunk) and len(data) < ext.data_size:
        fault = f"extended header tells {ext.data_size} data bytes, found {len(data)}"
    if isinstance(body, Opaque) and body.fault:
        fault = body.fault
    return Message(sop, header, ext, payload, words_of(data), body, fault)


def _block(header: Header, data: bytes) -> Body:
    if header.type_code in (17, 18):
        sink = header.type_code == 18
        return Capabilities(tuple(decode_pdo(w, sink=sink) for w in words_of(data)), sink, epr=True)
    return decode_block(header.type_code, data)
