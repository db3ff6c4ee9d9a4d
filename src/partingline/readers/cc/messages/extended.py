"""Data blocks of extended messages: PPS status, status, source capabilities, control, maker, country codes; and which
block each message carries. Security and firmware messages carry blocks of other standards, which stay as they are.

Source: ST `usbpd_def.h` and ChromiumOS EC structures; byte offsets as quoted there.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias

from partingline.readers.cc.messages.blocks import (
    BatteryCapabilities,
    BatteryQuery,
    CableStatus,
    CountryInfo,
    MakerQuery,
    SinkCapabilitiesExtended,
    decode_battery_capabilities,
    decode_battery_query,
    decode_cable_status,
    decode_country_info,
    decode_maker_query,
    decode_sink_extended,
)
from partingline.readers.cc.messages.fields import bits, flag, number

_TEMPERATURE = ("not reported", "normal", "warning", "over temperature")
_STATUS, _CABLE_STATUS_BYTES = 2, 2
_CONTROLS = {1: "EPR_Get_Source_Cap", 2: "EPR_Get_Sink_Cap", 3: "EPR_KeepAlive", 4: "EPR_KeepAlive_Ack"}


@dataclass(frozen=True, slots=True)
class PpsStatus:
    """What a programmable source measures itself; None where it does not report."""

    voltage_v: float | None
    current_a: float | None
    temperature: str
    current_limiting: bool

    @property
    def text(self) -> str:
        """`9.02 V 2.95 A, temperature normal`."""
        volts = "voltage not reported" if self.voltage_v is None else f"{number(self.voltage_v)} V"
        amps = "current not reported" if self.current_a is None else f"{number(self.current_a)} A"
        limit = ", current limit active" if self.current_limiting else ""
        return f"{volts} {amps}, temperature {self.temperature}{limit}"


@dataclass(frozen=True, slots=True)
class Status:
    """A port's status block. `temperature_c` is None when not reported, 1 means below 2 (from memory)."""

    temperature_c: int | None
    inputs: tuple[str, ...]
    battery_inputs: int
    events: tuple[str, ...]
    temperature: str
    limited_by: tuple[str, ...]
    power_state_code: int | None


@dataclass(frozen=True, slots=True)
class SourceCapabilitiesExtended:
    """A source's extended capabilities: the maker's own claim of power and protection."""

    vid: int
    pid: int
    xid: int
    fw_version: int
    hw_version: int
    voltage_regulation_code: int
    holdup_s: float
    compliance_code: int
    touch_current_code: int
    peak_currents: tuple[int, int, int]
    touch_temperature_code: int
    source_inputs_code: int
    batteries_code: int
    spr_pdp_w: float
    epr_pdp_w: float | None

    @property
    def text(self) -> str:
        """`vendor 1234, 65 W`."""
        epr = f", EPR {number(self.epr_pdp_w)} W" if self.epr_pdp_w else ""
        return f"vendor {self.vid:04X}, {number(self.spr_pdp_w)} W{epr}"


@dataclass(frozen=True, slots=True)
class ExtendedControl:
    """An extended control message: EPR capability requests and keep-alives."""

    type_code: int
    control: str
    data: int

    @property
    def text(self) -> str:
        """`EPR_KeepAlive`."""
        return self.control


@dataclass(frozen=True, slots=True)
class ManufacturerInfo:
    """A maker's ids and text (ASCII, as sent, undecodable bytes as backslash escapes)."""

    vid: int
    pid: int
    text: str


@dataclass(frozen=True, slots=True)
class CountryCodes:
    """The two-letter country codes that a port lists."""

    codes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class VendorExtended:
    """A vendor's own extended message: whose it is, the lower half of its header, and what follows."""

    vid: int
    header: int
    data: bytes

    @property
    def text(self) -> str:
        """`vendor 1234, 6 bytes`."""
        return f"vendor {self.vid:04X}, {len(self.data)} bytes"


@dataclass(frozen=True, slots=True)
class Opaque:
    """A data block that is not taken apart, or that is too short for its type."""

    data: bytes
    fault: str | None = None


Block: TypeAlias = (
    PpsStatus | Status | SourceCapabilitiesExtended | SinkCapabilitiesExtended | ExtendedControl
    | ManufacturerInfo | CountryCodes | CountryInfo | BatteryCapabilities | BatteryQuery | MakerQuery | CableStatus
    | VendorExtended | Opaque
)  # fmt: skip


def decode_block(type_code: int, data: bytes) -> Block:
    """Take the whole data block of an extended message apart; EPR capability lists are decoded elsewhere."""
    if type_code == _STATUS and len(data) == _CABLE_STATUS_BYTES:
        return decode_cable_status(data)
    known = _BLOCKS.get(type_code)
    if known is None:
        return Opaque(data)
    decode, shortest = known
    if len(data) < shortest:
        return Opaque(data, f"expected at least {shortest} data bytes, found {len(data)}")
    return decode(data)


def _pps_status(data: bytes) -> PpsStatus:
    volts = int.from_bytes(data[:2], "little")
    return PpsStatus(
        voltage_v=None if volts == 0xFFFF else volts / 50,
        current_a=None if data[2] == 0xFF else data[2] / 20,
        temperature=_TEMPERATURE[bits(data[3], 2, 1)],
        current_limiting=flag(data[3], 3),
    )


def _status(data: bytes) -> Status:
    supply = "AC" if flag(data[1], 2) else "DC"
    inputs = ((1, f"external {supply}"), (3, "battery"), (4, "other internal"))
    events = ((1, "OCP"), (2, "OTP"), (3, "OVP"), (4, "CL mode"))
    limits = ((1, "cable"), (2, "other ports"), (3, "input"), (4, "events"), (5, "temperature"))
    return Status(
        temperature_c=data[0] or None,
        inputs=tuple(name for bit, name in inputs if flag(data[1], bit)),
        battery_inputs=data[2],
        events=tuple(name for bit, name in events if flag(data[3], bit)),
        temperature=_TEMPERATURE[bits(data[4], 2, 1)],
        limited_by=tuple(name for bit, name in limits if flag(data[5], bit)),
        power_state_code=data[6] if len(data) > 6 else None,
    )


def _source_extended(data: bytes) -> SourceCapabilitiesExtended:
    def half(at: int) -> int:
        return int.from_bytes(data[at : at + 2], "little")

    return SourceCapabilitiesExtended(
        vid=half(0),
        pid=half(2),
        xid=int.from_bytes(data[4:8], "little"),
        fw_version=data[8],
        hw_version=data[9],
        voltage_regulation_code=data[10],
        holdup_s=data[11] * 1e-3,
        compliance_code=data[12],
        touch_current_code=data[13],
        peak_currents=(half(14), half(16), half(18)),
        touch_temperature_code=data[20],
        source_inputs_code=data[21],
        batteries_code=data[22],
        spr_pdp_w=float(data[23] & 0x7F),
        epr_pdp_w=float(data[24]) if len(data) > 24 else None,
    )


def _control(data: bytes) -> ExtendedControl:
    return ExtendedControl(data[0], _CONTROLS.get(data[0], f"reserved {data[0]}"), data[1])


def _maker(data: bytes) -> ManufacturerInfo:
    text = data[4:].rstrip(b"\0").decode("ascii", "backslashreplace")
    return ManufacturerInfo(int.from_bytes(data[:2], "little"), int.from_bytes(data[2:4], "little"), text)


def _countries(data: bytes) -> CountryCodes:
    """One count byte, one reserved, then two letters each (from memory)."""
    pairs = [data[i : i + 2] for i in range(2, 2 + 2 * data[0], 2)]
    return CountryCodes(tuple(pair.decode("ascii", "backslashreplace") for pair in pairs if len(pair) == 2))


def _vendor(data: bytes) -> VendorExtended:
    """A VDM header leads it (from memory)."""
    head = int.from_bytes(data[:4], "little")
    return VendorExtended(head >> 16, head & 0xFFFF, data[4:])


_BLOCKS: dict[int, tuple[Callable[[bytes], Block], int]] = {
    1: (_source_extended, 24),
    _STATUS: (_status, 6),
    3: (decode_battery_query, 1),
    4: (decode_battery_query, 1),
    5: (decode_battery_capabilities, 9),
    6: (decode_maker_query, 2),
    7: (_maker, 4),
    12: (_pps_status, 4),
    13: (decode_country_info, 4),
    14: (_countries, 2),
    15: (decode_sink_extended, 21),
    16: (_control, 2),
    30: (_vendor, 4),
}
