"""Data blocks of sinks, batteries, makers and countries in extended messages.

Source: field order and sizes of ST `usbpd_def.h` (the sizes also in the ChromiumOS EC). From memory, since neither
tells them: the steps of the sink's load, the bits of its modes, byte offsets of the battery and country blocks, and
the two bytes of a cable's status.
"""

from __future__ import annotations

from dataclasses import dataclass

from partingline.readers.cc.messages.fields import bits, flag, number

_MODES = ("PPS", "VBUS powered", "mains powered", "battery powered", "battery without end", "AVS")
_LOAD_STEPS_A_PER_US = {0: 0.15, 1: 0.5}
_MOST_OVERLOAD = 25


@dataclass(frozen=True, slots=True)
class SinkCapabilitiesExtended:
    """What a sink says of itself. Powers in W; `epr` powers are None in the shorter block of R3.0.

    `load_step_a_per_us`: None for a reserved code. Overload in shares of the current: so much more, for so long, in
    that share of the time.
    """

    vid: int
    pid: int
    xid: int
    fw_version: int
    hw_version: int
    block_version: int
    load_step_a_per_us: float | None
    overload_share: float
    overload_s: float
    overload_duty: float
    tolerates_droop: bool
    compliance_code: int
    touch_temperature_code: int
    batteries_code: int
    modes: tuple[str, ...]
    minimum_w: float
    operational_w: float
    maximum_w: float
    epr_minimum_w: float | None
    epr_operational_w: float | None
    epr_maximum_w: float | None

    @property
    def text(self) -> str:
        """`vendor 1234, 45 to 65 W`."""
        return f"vendor {self.vid:04X}, {number(self.operational_w)} to {number(self.maximum_w)} W"


@dataclass(frozen=True, slots=True)
class BatteryCapabilities:
    """A battery's capacities in Wh, None where unknown or, with 0, where there is no battery."""

    vid: int
    pid: int
    design_wh: float | None
    last_full_wh: float | None
    invalid_reference: bool

    @property
    def text(self) -> str:
        """`56 Wh, last full charge 51.2 Wh`."""
        design = "capacity not told" if self.design_wh is None else f"{number(self.design_wh)} Wh"
        return design if self.last_full_wh is None else f"{design}, last full charge {number(self.last_full_wh)} Wh"


@dataclass(frozen=True, slots=True)
class BatteryQuery:
    """A question for a battery: 0 to 3 are fixed ones, 4 to 7 hot-swap slots."""

    reference: int


@dataclass(frozen=True, slots=True)
class MakerQuery:
    """A question for the maker of the `port` or of a `battery` by its reference."""

    target: str
    reference: int


@dataclass(frozen=True, slots=True)
class CountryInfo:
    """What holds for a country; its content is the country's own."""

    country: str
    data: bytes


@dataclass(frozen=True, slots=True)
class CableStatus:
    """The status of an active cable's plug. `temperature_c` is None when not told, 1 means below 2."""

    temperature_c: int | None
    thermal_shutdown: bool


def decode_sink_extended(data: bytes) -> SinkCapabilitiesExtended:
    """21 bytes of R3.0, 24 from R3.1 on."""
    load = _half(data, 12)
    epr = [float(byte) for byte in data[21:24]] if len(data) >= 24 else [None] * 3
    return SinkCapabilitiesExtended(
        vid=_half(data, 0),
        pid=_half(data, 2),
        xid=int.from_bytes(data[4:8], "little"),
        fw_version=data[8],
        hw_version=data[9],
        block_version=data[10],
        load_step_a_per_us=_LOAD_STEPS_A_PER_US.get(bits(data[11], 1, 0)),
        overload_share=0.1 * min(bits(load, 4, 0), _MOST_OVERLOAD),
        overload_s=0.02 * bits(load, 10, 5),
        overload_duty=0.05 * bits(load, 14, 11),
        tolerates_droop=flag(load, 15),
        compliance_code=data[14],
        touch_temperature_code=data[15],
        batteries_code=data[16],
        modes=tuple(name for bit, name in enumerate(_MODES) if flag(data[17], bit)),
        minimum_w=float(data[18] & 0x7F),
        operational_w=float(data[19] & 0x7F),
        maximum_w=float(data[20] & 0x7F),
        epr_minimum_w=epr[0],
        epr_operational_w=epr[1],
        epr_maximum_w=epr[2],
    )


def decode_battery_capabilities(data: bytes) -> BatteryCapabilities:
    """9 bytes: ids, capacities in 0.1 Wh, type."""
    return BatteryCapabilities(
        vid=_half(data, 0),
        pid=_half(data, 2),
        design_wh=_tenths(_half(data, 4)),
        last_full_wh=_tenths(_half(data, 6)),
        invalid_reference=flag(data[8], 0),
    )


def decode_battery_query(data: bytes) -> BatteryQuery:
    """One byte."""
    return BatteryQuery(data[0])


def decode_maker_query(data: bytes) -> MakerQuery:
    """Target and reference."""
    return MakerQuery({0: "port", 1: "battery"}.get(data[0], f"reserved {data[0]}"), data[1])


def decode_country_info(data: bytes) -> CountryInfo:
    """Two letters, two reserved bytes, the country's own data."""
    return CountryInfo(data[:2].decode("ascii", "backslashreplace"), data[4:])


def decode_country_query(word: int) -> CountryInfo:
    """The object of Get_Country_Info: the letters in its upper half."""
    return CountryInfo((word >> 16).to_bytes(2, "big").decode("ascii", "backslashreplace"), b"")


def decode_cable_status(data: bytes) -> CableStatus:
    """Temperature and a flag."""
    return CableStatus(data[0] or None, flag(data[1], 0))


def _half(data: bytes, at: int) -> int:
    return int.from_bytes(data[at : at + 2], "little")


def _tenths(count: int) -> float | None:
    return None if count in (0, 0xFFFF) else count / 10
