"""The 16-bit message header and the 16-bit extended header.

Source: USB PD message header tables, as the Linux, ChromiumOS EC and Zephyr headers agree on them.
"""

from __future__ import annotations

from dataclasses import dataclass

from partingline.readers.cc.messages.fields import bits, flag
from partingline.readers.cc.messages.names import SOP, message_name

_REVISIONS = ("1.0", "2.0", "3.x", "reserved")


@dataclass(frozen=True, slots=True)
class Header:
    """A message header. `power_role` and `data_role` are None on cable packets, `from_plug` on SOP."""

    word: int
    extended: bool
    object_count: int
    message_id: int
    spec_revision: int
    type_code: int
    power_role: str | None
    data_role: str | None
    from_plug: bool | None

    @property
    def name(self) -> str:
        """The standard's name of the message."""
        return message_name(extended=self.extended, object_count=self.object_count, type_code=self.type_code)

    @property
    def revision(self) -> str:
        """`1.0`, `2.0`, `3.x` or `reserved`; 3.0, 3.1 and 3.2 all send 3.x."""
        return _REVISIONS[self.spec_revision]

    @property
    def major(self) -> int:
        """The revision as a number: 1, 2 or 3."""
        return min(self.spec_revision + 1, 3)


@dataclass(frozen=True, slots=True)
class ExtendedHeader:
    """The header of an extended message; `data_size` counts the whole data block in bytes."""

    word: int
    chunked: bool
    chunk_number: int
    request_chunk: bool
    data_size: int


def decode_header(word: int, *, sop: str = SOP) -> Header:
    """Take a 16-bit header apart; bits 8 and 5 mean other things on cable packets (`sop` other than SOP)."""
    on_sop = sop == SOP
    return Header(
        word=word,
        extended=flag(word, 15),
        object_count=bits(word, 14, 12),
        message_id=bits(word, 11, 9),
        spec_revision=bits(word, 7, 6),
        type_code=bits(word, 4, 0),
        power_role=("source" if flag(word, 8) else "sink") if on_sop else None,
        data_role=("DFP" if flag(word, 5) else "UFP") if on_sop else None,
        from_plug=None if on_sop else flag(word, 8),
    )


def decode_extended_header(word: int) -> ExtendedHeader:
    """Take a 16-bit extended header apart."""
    return ExtendedHeader(
        word=word,
        chunked=flag(word, 15),
        chunk_number=bits(word, 14, 11),
        request_chunk=flag(word, 10),
        data_size=bits(word, 8, 0),
    )
