"""Product objects beside those of passive cables and ports: VCONN-powered devices, the second object of active cables,
and alternate mode adapters of R2 and R3.0.

Source: Linux `include/linux/usb/pd_vdo.h`. From memory: the steps of the VPD's impedances, and that a temperature of 0
in the active cable's second object is none.
"""

from __future__ import annotations

from dataclasses import dataclass

from partingline.readers.cc.messages.fields import bits, flag, number

_ADAPTER_SPEEDS = {0: "USB 2.0", 1: "USB Gen 1", 2: "USB Gen 2", 3: "USB 2.0 billboard"}
_ADAPTER_VCONN_W = {0: 1.0, 1: 1.5, 2: 2.0, 3: 3.0, 4: 4.0, 5: 5.0, 6: 6.0}


@dataclass(frozen=True, slots=True)
class VpdVdo:
    """A VCONN-powered device. What charging through it can carry is None where it does not let charge through."""

    word: int
    hw_version: int
    fw_version: int
    vdo_version: int
    max_vbus_v: float
    charge_through: bool
    charge_through_a: float | None
    vbus_ohm: float | None
    ground_ohm: float | None

    @property
    def text(self) -> str:
        """`VCONN-powered device, 20 V, charges through 5 A`."""
        through = f", charges through {number(self.charge_through_a)} A" if self.charge_through_a else ""
        return f"VCONN-powered device, {number(self.max_vbus_v)} V{through}"


@dataclass(frozen=True, slots=True)
class ActiveCable2Vdo:
    """The second object of an active cable. Temperatures in °C, None where not told."""

    word: int
    max_operating_c: int | None
    shutdown_c: int | None
    u3_power_code: int
    u3_to_u0_through_u3s: bool
    optical: bool
    retimer: bool
    usb4: bool
    usb2_hub_hops: int
    usb2: bool
    usb3: bool
    lanes: int
    optically_isolated: bool
    gen2_or_higher: bool


@dataclass(frozen=True, slots=True)
class AdapterVdo:
    """An alternate mode adapter (deprecated since R3.1)."""

    word: int
    hw_version: int
    fw_version: int
    vdo_version: int
    vconn_w: float | None
    vconn_required: bool
    vbus_required: bool
    speed: str


def decode_vpd_vdo(word: int) -> VpdVdo:
    """Take the object of a VCONN-powered device apart."""
    through = flag(word, 0)
    return VpdVdo(
        word=word,
        hw_version=bits(word, 31, 28),
        fw_version=bits(word, 27, 24),
        vdo_version=bits(word, 23, 21),
        max_vbus_v=20.0 + 10.0 * bits(word, 16, 15),
        charge_through=through,
        charge_through_a=(5.0 if flag(word, 14) else 3.0) if through else None,
        vbus_ohm=bits(word, 12, 7) * 2e-3 if through else None,
        ground_ohm=bits(word, 6, 1) * 1e-3 if through else None,
    )


def decode_active_cable_2(word: int) -> ActiveCable2Vdo:
    """Take the second object of an active cable apart. Bits 8, 5 and 4 say "not supported"."""
    return ActiveCable2Vdo(
        word=word,
        max_operating_c=bits(word, 31, 24) or None,
        shutdown_c=bits(word, 23, 16) or None,
        u3_power_code=bits(word, 14, 12),
        u3_to_u0_through_u3s=flag(word, 11),
        optical=flag(word, 10),
        retimer=flag(word, 9),
        usb4=not flag(word, 8),
        usb2_hub_hops=bits(word, 7, 6),
        usb2=not flag(word, 5),
        usb3=not flag(word, 4),
        lanes=2 if flag(word, 3) else 1,
        optically_isolated=flag(word, 2),
        gen2_or_higher=flag(word, 0),
    )


def decode_adapter_vdo(word: int, *, revision: int = 3) -> AdapterVdo:
    """Take the object of an alternate mode adapter apart; the VDO version exists from R3 on."""
    return AdapterVdo(
        word=word,
        hw_version=bits(word, 31, 28),
        fw_version=bits(word, 27, 24),
        vdo_version=bits(word, 23, 21) if revision >= 3 else 0,
        vconn_w=_ADAPTER_VCONN_W.get(bits(word, 7, 5)) if flag(word, 4) else None,
        vconn_required=flag(word, 4),
        vbus_required=flag(word, 3),
        speed=_ADAPTER_SPEEDS.get(bits(word, 2, 0), f"reserved {bits(word, 2, 0)}"),
    )
