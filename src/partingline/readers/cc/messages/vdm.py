"""Vendor defined messages: the VDM header and, by command, what follows it.

Source: USB PD structured VDM header table as quoted by the Linux and ChromiumOS EC headers.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, TypeAlias

from partingline.readers.cc.messages.displayport import (
    DpCapabilities,
    DpConfigure,
    DpStatus,
    decode_dp_capabilities,
    decode_dp_configure,
    decode_dp_status,
)
from partingline.readers.cc.messages.fields import bits, flag
from partingline.readers.cc.messages.identity import Identity, decode_identity
from partingline.readers.cc.messages.names import SOP

PD_SID: Final = 0xFF00
DISPLAYPORT_SID: Final = 0xFF01

_COMMANDS = {
    1: "Discover Identity", 2: "Discover SVIDs", 3: "Discover Modes", 4: "Enter Mode", 5: "Exit Mode",
    6: "Attention",
}  # fmt: skip
_DP_COMMANDS = {16: "DisplayPort Status Update", 17: "DisplayPort Configure"}
_ANSWERS = ("REQ", "ACK", "NAK", "BUSY")
_VERSIONS = {(0, 0): "1.0", (1, 0): "2.0", (1, 1): "2.1"}


@dataclass(frozen=True, slots=True)
class VdmHeader:
    """A structured VDM header."""

    word: int
    svid: int
    version: str
    object_position: int
    answer: str
    command_code: int
    command: str


VdmContent: TypeAlias = Identity | DpStatus | DpConfigure | tuple[DpCapabilities, ...] | tuple[int, ...] | None


@dataclass(frozen=True, slots=True)
class StructuredVdm:
    """A structured VDM. `content`: identity, SVIDs or mode words as numbers, DisplayPort objects, or None."""

    header: VdmHeader
    objects: tuple[int, ...]
    content: VdmContent

    @property
    def text(self) -> str:
        """`Discover Identity ACK`."""
        return f"{self.header.command} {self.header.answer}"


@dataclass(frozen=True, slots=True)
class UnstructuredVdm:
    """A vendor's own message: the vendor's id, its 15 free bits, and the objects as they are."""

    svid: int
    free_bits: int
    objects: tuple[int, ...]

    @property
    def text(self) -> str:
        """`unstructured, vendor 1234`."""
        return f"unstructured, vendor {self.svid:04X}"


def decode_vdm(words: tuple[int, ...], *, sop: str = SOP, revision: int = 3) -> StructuredVdm | UnstructuredVdm:
    """Take the objects of a Vendor_Defined message apart. Raises ValueError when there is none."""
    if not words:
        raise ValueError("Vendor_Defined without objects: expected 1 to 7")
    head, objects = words[0], words[1:]
    if not flag(head, 15):
        return UnstructuredVdm(svid=head >> 16, free_bits=head & 0x7FFF, objects=objects)
    header = _header(head)
    return StructuredVdm(header, objects, _content(header, objects, sop, revision))


def _header(word: int) -> VdmHeader:
    svid, code = word >> 16, bits(word, 4, 0)
    major, minor = bits(word, 14, 13), bits(word, 12, 11)
    names = _COMMANDS | _DP_COMMANDS if svid == DISPLAYPORT_SID else _COMMANDS
    return VdmHeader(
        word=word,
        svid=svid,
        version=_VERSIONS.get((major, minor), f"reserved {major}.{minor}"),
        object_position=bits(word, 10, 8),
        answer=_ANSWERS[bits(word, 7, 6)],
        command_code=code,
        command=names.get(code, f"SVID command {code}" if code >= 16 else f"reserved {code}"),
    )


def _content(header: VdmHeader, objects: tuple[int, ...], sop: str, revision: int) -> VdmContent:
    displayport = header.svid == DISPLAYPORT_SID
    match header.command_code, header.answer:
        case 1, "ACK":
            return decode_identity(objects, sop=sop, revision=revision) if objects else None
        case 2, "ACK":
            return _svids(objects)
        case 3, "ACK":
            return tuple(decode_dp_capabilities(word) for word in objects) if displayport else objects
        case 6, _ if displayport and objects:
            return decode_dp_status(objects[0])
        case 16, _ if displayport and objects:
            return decode_dp_status(objects[0])
        case 17, "REQ" if displayport and objects:
            return decode_dp_configure(objects[0])
        case _:
            return None


def _svids(objects: tuple[int, ...]) -> tuple[int, ...]:
    """Two to an object, high half first; a zero ends the list."""
    found: list[int] = []
    for word in objects:
        for svid in (word >> 16, word & 0xFFFF):
            if svid == 0:
                return tuple(found)
            found.append(svid)
    return tuple(found)
