"""Objects and data blocks beyond the worked messages, each built here by hand from the layout it names.

Layouts of the product objects: Linux `include/linux/usb/pd_vdo.h`. Order and sizes of the data blocks: ST
`usbpd_def.h`; their bits and steps from memory, as the modules say.
"""

from __future__ import annotations

import pytest

from partingline.readers.cc.messages.identity import decode_identity
from partingline.readers.cc.objects import (
    BatteryCapabilities,
    BatteryQuery,
    Body,
    CableStatus,
    CountryInfo,
    Identity,
    MakerQuery,
    Opaque,
    SinkCapabilitiesExtended,
    SourceInfo,
    VendorExtended,
    decode_message,
)

PLUG = "SOP'"


def _extended(kind: int, data: bytes, *, sop: str = "SOP") -> Body:
    padded = data + bytes(-(len(data) + 2) % 4)
    head = 0x8000 | (len(padded) + 2) // 4 << 12 | 2 << 6 | 0x100 | kind
    payload = head.to_bytes(2, "little") + (0x8000 | len(data)).to_bytes(2, "little") + padded
    return decode_message(payload, sop=sop).body


def _identity(product: int, *objects: int, sop: str = PLUG, revision: int = 3) -> Identity:
    return decode_identity((product << 27 | 0x1234, 0, 0x56780100, *objects), sop=sop, revision=revision)


def test_vconn_powered_device() -> None:
    """VDO_VPD(hw 1, fw 2, version 0, 20 V, 5 A, impedance fields 15 and 20, charge through)."""
    found = _identity(6, 1 << 28 | 2 << 24 | 0 << 15 | 1 << 14 | 15 << 7 | 20 << 1 | 1)
    assert found.vpd is not None
    assert (found.vpd.hw_version, found.vpd.fw_version, found.vpd.max_vbus_v) == (1, 2, 20.0)
    assert (found.vpd.charge_through, found.vpd.charge_through_a) == (True, 5.0)
    assert (found.vpd.vbus_ohm, found.vpd.ground_ohm) == (pytest.approx(0.03), pytest.approx(0.02))
    assert found.vpd.text == "VCONN-powered device, 20 V, charges through 5 A"
    assert found.others == ()


def test_vconn_powered_device_that_does_not_charge_through() -> None:
    found = _identity(6, 1 << 14 | 15 << 7 | 20 << 1)
    assert found.vpd is not None
    assert (found.vpd.charge_through_a, found.vpd.vbus_ohm, found.vpd.ground_ohm) == (None, None, None)


def test_second_object_of_an_active_cable() -> None:
    """75 °C at most, off at 90 °C, optical, retimer, USB4 (bit 8 clear), no USB 2.0, two lanes, Gen 2."""
    first = 3 << 21 | 2 << 18 | 2 << 5 | 2
    found = _identity(4, first, 75 << 24 | 90 << 16 | 1 << 10 | 1 << 9 | 2 << 6 | 1 << 5 | 1 << 3 | 1)
    second = found.active_cable
    assert found.cable is not None
    assert (found.cable.active, found.cable.current_a) == (True, 5.0)
    assert second is not None
    assert (second.max_operating_c, second.shutdown_c, second.lanes, second.usb2_hub_hops) == (75, 90, 2, 2)
    assert (second.optical, second.retimer, second.usb4, second.usb2, second.usb3) == (True, True, True, False, True)
    assert found.others == ()


def test_an_active_cable_of_revision_2_has_one_object() -> None:
    assert _identity(4, 2 << 18 | 2 << 5, 77, revision=2).others == (77,)


def test_alternate_mode_adapter() -> None:
    found = _identity(5, 1 << 28 | 3 << 24 | 2 << 5 | 1 << 4 | 1 << 3 | 3, sop="SOP")
    assert found.adapter is not None
    assert (found.adapter.hw_version, found.adapter.fw_version, found.adapter.vconn_w) == (1, 3, 2.0)
    assert (found.adapter.vbus_required, found.adapter.speed) == (True, "USB 2.0 billboard")


def test_sink_capabilities_extended() -> None:
    """10 % overload for 40 ms in 5 % of the time, PPS and VBUS powered, 5 to 65 W, EPR to 140 W."""
    load = 1 | 2 << 5 | 1 << 11 | 1 << 15
    data = bytes.fromhex("3412785601000000") + bytes([2, 1, 1, 1, load & 255, load >> 8, 0, 2, 0x10, 3, 5, 45, 65])
    short = _extended(15, data)
    assert isinstance(short, SinkCapabilitiesExtended)
    assert (short.vid, short.pid, short.fw_version, short.load_step_a_per_us) == (0x1234, 0x5678, 2, 0.5)
    assert (short.overload_share, short.overload_s, short.overload_duty) == pytest.approx((0.1, 0.04, 0.05))
    assert (short.tolerates_droop, short.modes) == (True, ("PPS", "VBUS powered"))
    assert (short.minimum_w, short.operational_w, short.maximum_w, short.epr_maximum_w) == (5, 45, 65, None)
    whole = _extended(15, data + bytes([5, 100, 140]))
    assert isinstance(whole, SinkCapabilitiesExtended)
    assert (whole.epr_minimum_w, whole.epr_operational_w, whole.epr_maximum_w) == (5, 100, 140)


def test_battery_and_maker() -> None:
    block = bytes.fromhex("34127856") + (560).to_bytes(2, "little") + (512).to_bytes(2, "little") + b"\0"
    assert _extended(5, block) == BatteryCapabilities(0x1234, 0x5678, 56.0, 51.2, False)
    assert _extended(5, block[:4] + b"\xff\xff\0\0\1") == BatteryCapabilities(0x1234, 0x5678, None, None, True)
    assert _extended(3, b"\4") == BatteryQuery(4)
    assert _extended(4, b"\0") == BatteryQuery(0)
    assert _extended(6, b"\1\2") == MakerQuery("battery", 2)


def test_country_and_vendor() -> None:
    assert _extended(13, b"DE\0\0\x01\x02") == CountryInfo("DE", b"\1\2")
    asked = decode_message((1 << 12 | 2 << 6 | 7).to_bytes(2, "little") + b"\0\0ED")
    assert asked.body == CountryInfo("DE", b"")
    assert _extended(30, bytes.fromhex("05003412") + b"abc") == VendorExtended(0x1234, 5, b"abc")


def test_status_of_a_cable_has_two_bytes() -> None:
    assert _extended(2, b"\x2a\1", sop=PLUG) == CableStatus(42, True)


def test_a_block_too_short_is_kept_and_named() -> None:
    short = _extended(15, bytes(20))
    assert isinstance(short, Opaque)
    assert short.fault == "expected at least 21 data bytes, found 20"


def test_blocks_of_other_standards_stay_as_they_are() -> None:
    assert _extended(8, b"\1\2\3\4") == Opaque(b"\1\2\3\4")


def test_second_object_of_source_info() -> None:
    """65.5 W at most, 30 W guaranteed, dynamic; layout as in ST's newest header."""
    words = (65 << 16 | 65 << 8 | 30, 1 << 30 | 131 << 9 | 60)
    payload = (2 << 12 | 2 << 6 | 0x100 | 11).to_bytes(2, "little") + b"".join(w.to_bytes(4, "little") for w in words)
    info = decode_message(payload).body
    assert isinstance(info, SourceInfo)
    assert (info.maximum_w, info.fine_maximum_w, info.fine_guaranteed_w, info.dynamic) == (65.0, 65.5, 30.0, True)
