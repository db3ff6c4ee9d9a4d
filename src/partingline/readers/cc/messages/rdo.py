"""Request data objects: what a sink asks of one offered object.

Source: USB PD R3.1 tables 6-21 to 6-24 and the R3.2 AVS request table, as the Zephyr, Linux, ST and Fuchsia
headers quote them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from partingline.readers.cc.messages.fields import bits, flag, number
from partingline.readers.cc.messages.pdo import (
    Battery,
    EprAvs,
    FixedSink,
    FixedSource,
    Pdo,
    Pps,
    SprAvs,
    Variable,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Request:
    word: int
    position: int
    mismatch: bool
    usb_comms: bool
    no_usb_suspend: bool
    unchunked: bool
    epr_capable: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class FixedRdo(_Request):
    """Request of a fixed or variable supply. `limit_a` is the maximum, or the minimum with `give_back`."""

    give_back: bool
    current_a: float
    limit_a: float

    kind = "fixed"

    @property
    def text(self) -> str:
        """`#4 3.25 A`."""
        return f"#{self.position} {number(self.current_a)} A"


@dataclass(frozen=True, slots=True, kw_only=True)
class BatteryRdo(_Request):
    """Request of a battery supply, in watts."""

    give_back: bool
    power_w: float
    limit_w: float

    kind = "battery"

    @property
    def text(self) -> str:
        """`#2 45 W`."""
        return f"#{self.position} {number(self.power_w)} W"


@dataclass(frozen=True, slots=True, kw_only=True)
class PpsRdo(_Request):
    """Request of a programmable supply: the voltage and the limit that the source enforces."""

    voltage_v: float
    current_a: float

    kind = "pps"

    @property
    def text(self) -> str:
        """`#6 PPS 9 V 3 A`."""
        return f"#{self.position} PPS {number(self.voltage_v)} V {number(self.current_a)} A"


@dataclass(frozen=True, slots=True, kw_only=True)
class AvsRdo(_Request):
    """Request of an adjustable supply (SPR or EPR): the sink limits its own current."""

    voltage_v: float
    current_a: float

    kind = "avs"

    @property
    def text(self) -> str:
        """`#9 AVS 24 V 5 A`."""
        return f"#{self.position} AVS {number(self.voltage_v)} V {number(self.current_a)} A"


@dataclass(frozen=True, slots=True, kw_only=True)
class UnresolvedRdo(_Request):
    """A request whose offered object was not seen: its remaining fields cannot be told apart."""

    kind = "unresolved"

    @property
    def text(self) -> str:
        """`#4 of an offer that was not seen`."""
        return f"#{self.position} of an offer that was not seen"


Rdo: TypeAlias = FixedRdo | BatteryRdo | PpsRdo | AvsRdo | UnresolvedRdo


def rdo_position(word: int, *, revision: int = 3) -> int:
    """The object position; bit 31 belongs to it from R3.1 on and is reserved in R2."""
    return bits(word, 31, 28) if revision >= 3 else bits(word, 30, 28)


def decode_rdo(word: int, *, pdo: Pdo | None, revision: int = 3) -> Rdo:
    """Take a request apart, given the object it points at (None: not seen)."""
    position = rdo_position(word, revision=revision)
    mismatch, comms, suspend = flag(word, 26), flag(word, 25), flag(word, 24)
    r3 = revision >= 3
    unchunked, epr = r3 and flag(word, 23), r3 and flag(word, 22)
    match pdo:
        case FixedSource() | FixedSink() | Variable():
            return FixedRdo(
                word=word, position=position, mismatch=mismatch, usb_comms=comms, no_usb_suspend=suspend,
                unchunked=unchunked, epr_capable=epr, give_back=flag(word, 27),
                current_a=bits(word, 19, 10) / 100, limit_a=bits(word, 9, 0) / 100,
            )  # fmt: skip
        case Battery():
            return BatteryRdo(
                word=word, position=position, mismatch=mismatch, usb_comms=comms, no_usb_suspend=suspend,
                unchunked=unchunked, epr_capable=epr, give_back=flag(word, 27),
                power_w=bits(word, 19, 10) / 4, limit_w=bits(word, 9, 0) / 4,
            )  # fmt: skip
        case Pps():
            return PpsRdo(
                word=word, position=position, mismatch=mismatch, usb_comms=comms, no_usb_suspend=suspend,
                unchunked=unchunked, epr_capable=epr,
                voltage_v=bits(word, 19, 9) / 50, current_a=bits(word, 6, 0) / 20,
            )  # fmt: skip
        case SprAvs() | EprAvs():
            return AvsRdo(
                word=word, position=position, mismatch=mismatch, usb_comms=comms, no_usb_suspend=suspend,
                unchunked=unchunked, epr_capable=epr,
                voltage_v=bits(word, 20, 9) / 40, current_a=bits(word, 6, 0) / 20,
            )  # fmt: skip
        case _:
            return UnresolvedRdo(
                word=word, position=position, mismatch=mismatch, usb_comms=comms, no_usb_suspend=suspend,
                unchunked=unchunked, epr_capable=epr,
            )  # fmt: skip
