"""Discover Identity: ID header, certification, product, and the port-side product objects.

Source: USB PD R3.2 V1.0 tables 6-34, 6-40 and 6-41 as quoted by the ChromiumOS EC headers.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from partingline.readers.cc.messages.adapters import (
    ActiveCable2Vdo,
    AdapterVdo,
    VpdVdo,
    decode_active_cable_2,
    decode_adapter_vdo,
    decode_vpd_vdo,
)
from partingline.readers.cc.messages.cable import CableVdo, decode_cable_vdo
from partingline.readers.cc.messages.fields import bits, flag
from partingline.readers.cc.messages.names import SOP

_PASSIVE, _ACTIVE, _ADAPTER, _VPD = 3, 4, 5, 6
_UFP_TYPES = {
    0: "undefined",
    1: "hub",
    2: "peripheral",
    3: "power sink",
    5: "alternate mode adapter",
    6: "VPD",
}
_CABLE_TYPES = {0: "undefined", 3: "passive cable", 4: "active cable", 6: "VPD"}
_DFP_TYPES = {0: "undefined", 1: "hub", 2: "host", 3: "power brick", 4: "alternate mode controller"}


@dataclass(frozen=True, slots=True)
class IdHeader:
    """The ID header. `product_type` is the port-side (UFP) type on SOP, the cable type elsewhere."""

    word: int
    usb_host: bool
    usb_device: bool
    product_code: int
    product_type: str
    modal: bool
    dfp_code: int
    dfp_type: str
    connector_code: int
    vid: int


@dataclass(frozen=True, slots=True)
class UfpVdo:
    """What a device port can do. Capability bits: 0 USB 2.0, 1 billboard only, 2 USB 3.2, 3 USB4."""

    word: int
    version: int
    capability: int
    connector_code: int
    vconn_power_code: int
    vconn_required: bool
    vbus_required: bool
    alternate_modes: int
    speed_code: int


@dataclass(frozen=True, slots=True)
class DfpVdo:
    """What a host port can do. Capability bits: 0 USB 2.0, 1 USB 3.2, 2 USB4."""

    word: int
    version: int
    capability: int
    connector_code: int
    port_number: int


@dataclass(frozen=True, slots=True)
class Identity:
    """An answer to Discover Identity; `others` keeps product objects that are not taken apart."""

    id_header: IdHeader
    xid: int | None = None
    pid: int | None = None
    bcd_device: int | None = None
    cable: CableVdo | None = None
    ufp: UfpVdo | None = None
    dfp: DfpVdo | None = None
    active_cable: ActiveCable2Vdo | None = None
    vpd: VpdVdo | None = None
    adapter: AdapterVdo | None = None
    others: tuple[int, ...] = ()


def decode_identity(objects: tuple[int, ...], *, sop: str = SOP, revision: int = 3) -> Identity:
    """Take the objects after the VDM header apart. Raises ValueError when there is none."""
    if not objects:
        raise ValueError("Discover Identity answer without an ID header: expected 3 to 6 objects")
    header = decode_id_header(objects[0], sop=sop, revision=revision)
    product = objects[2] if len(objects) > 2 else None
    rest = objects[3:]
    identity = Identity(
        id_header=header,
        xid=objects[1] if len(objects) > 1 else None,
        pid=None if product is None else product >> 16,
        bcd_device=None if product is None else product & 0xFFFF,
        others=rest,
    )
    if not rest:
        return identity
    if sop != SOP:
        return _of_plug(identity, rest, revision)
    if header.product_code == _ADAPTER:
        return replace(identity, adapter=decode_adapter_vdo(rest[0], revision=revision), others=rest[1:])
    if revision >= 3:
        ufp, dfp, rest = _port_products(header, rest)
        return replace(identity, ufp=ufp, dfp=dfp, others=rest)
    return identity


def _of_plug(identity: Identity, rest: tuple[int, ...], revision: int) -> Identity:
    """What answers on SOP' or SOP'': a passive cable, an active one with two objects from R3 on, a powered device."""
    code = identity.id_header.product_code
    if code == _VPD and revision >= 3:
        return replace(identity, vpd=decode_vpd_vdo(rest[0]), others=rest[1:])
    if code not in (_PASSIVE, _ACTIVE):
        return identity
    cable = decode_cable_vdo(rest[0], active=code == _ACTIVE, revision=revision)
    if code == _ACTIVE and revision >= 3 and len(rest) > 1:
        return replace(identity, cable=cable, active_cable=decode_active_cable_2(rest[1]), others=rest[2:])
    return replace(identity, cable=cable, others=rest[1:])


def decode_id_header(word: int, *, sop: str = SOP, revision: int = 3) -> IdHeader:
    """Take an ID header apart; bits 25..16 are reserved in R2."""
    code = bits(word, 29, 27)
    names = _UFP_TYPES if sop == SOP else _CABLE_TYPES
    dfp = bits(word, 25, 23) if revision >= 3 and sop == SOP else 0
    return IdHeader(
        word=word,
        usb_host=flag(word, 31),
        usb_device=flag(word, 30),
        product_code=code,
        product_type=names.get(code, f"reserved {code}"),
        modal=flag(word, 26),
        dfp_code=dfp,
        dfp_type=_DFP_TYPES.get(dfp, f"reserved {dfp}"),
        connector_code=bits(word, 22, 21) if revision >= 3 else 0,
        vid=word & 0xFFFF,
    )


def _port_products(header: IdHeader, rest: tuple[int, ...]) -> tuple[UfpVdo | None, DfpVdo | None, tuple[int, ...]]:
    """UFP object first; with both roles a zero pad follows it before the DFP object (docks)."""
    ufp, dfp = None, None
    if header.product_code in (1, 2, 3) and rest:
        ufp, rest = _ufp(rest[0]), rest[1:]
        if header.dfp_code and rest and rest[0] == 0:
            rest = rest[1:]
    if header.dfp_code in (1, 2, 3) and rest:
        dfp, rest = _dfp(rest[0]), rest[1:]
    return ufp, dfp, rest


def _ufp(word: int) -> UfpVdo:
    return UfpVdo(
        word=word,
        version=bits(word, 31, 29),
        capability=bits(word, 27, 24),
        connector_code=bits(word, 23, 22),
        vconn_power_code=bits(word, 10, 8),
        vconn_required=flag(word, 7),
        vbus_required=flag(word, 6),
        alternate_modes=bits(word, 5, 3),
        speed_code=bits(word, 2, 0),
    )


def _dfp(word: int) -> DfpVdo:
    return DfpVdo(
        word=word,
        version=bits(word, 31, 29),
        capability=bits(word, 26, 24),
        connector_code=bits(word, 23, 22),
        port_number=bits(word, 4, 0),
    )
