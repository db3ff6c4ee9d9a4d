"""Worked messages decode to their stated meaning; sources in `worked.py`."""

from __future__ import annotations

import binascii

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partingline.readers.cc.objects import (
    AvsRdo,
    Capabilities,
    ChunkJoiner,
    DpCapabilities,
    EprAvs,
    EprRequest,
    FixedRdo,
    FixedSink,
    FixedSource,
    Identity,
    Message,
    Pdo,
    Pps,
    StructuredVdm,
    crc_bytes,
    crc_holds,
    decode_header,
    decode_message,
)
from tests.readers.cc.worked import BY_NAME, EPR_LIST, WORKED, Worked


def _offer() -> tuple[Pdo, ...]:
    body = decode_message(BY_NAME["V2"].packet[:-4]).body
    assert isinstance(body, Capabilities)
    return body.pdos


def _decode(name: str) -> Message:
    row = BY_NAME[name]
    return decode_message(row.packet[:-4], sop=row.sop, offered=_offer())


@pytest.mark.parametrize("row", WORKED, ids=[row.name for row in WORKED])
def test_worked_message(row: Worked) -> None:
    message = decode_message(row.packet[:-4], sop=row.sop, offered=_offer())
    head = message.header
    who = (
        ("from plug" if head.from_plug else "from port")
        if row.sop != "SOP"
        else (f"{head.power_role} {head.data_role}")
    )
    assert message.name == row.message
    assert f"id={head.message_id} n={head.object_count} rev={head.revision} {who}" == row.header
    assert message.text == (f"{row.message}: {row.text}" if row.text else row.message)
    assert message.fault is None
    assert crc_holds(row.packet)
    assert not crc_holds(row.packet[:-1] + bytes([row.packet[-1] ^ 1]))


def test_flags_of_source_list() -> None:
    first, *others, avs, pps = _offer()
    assert isinstance(first, FixedSource)
    assert first.unconstrained
    assert not first.epr_capable
    assert all(isinstance(pdo, FixedSource) and not pdo.unconstrained for pdo in others)
    assert (avs.min_v, avs.max_v, avs.max_a) == (9, 20, 3.25)
    assert isinstance(pps, Pps)
    assert not pps.power_limited


def test_request_fields() -> None:
    rdo = _decode("V3").body
    assert isinstance(rdo, FixedRdo)
    assert (rdo.position, rdo.current_a, rdo.limit_a) == (4, 3.25, 3.25)
    assert rdo.no_usb_suspend
    assert not rdo.mismatch
    avs = _decode("V7").body
    assert isinstance(avs, AvsRdo)
    assert (avs.voltage_v, avs.current_a) == (15.0, 3.0)


def test_epr_request_carries_its_object() -> None:
    body = _decode("V15").body
    assert isinstance(body, EprRequest)
    assert isinstance(body.rdo, AvsRdo)
    assert body.rdo.epr_capable
    assert body.pdo == EprAvs(min_v=15.0, max_v=28.0, pdp_w=140.0)


def test_cable_identity() -> None:
    vdm = _decode("V9").body
    assert isinstance(vdm, StructuredVdm)
    assert (vdm.header.svid, vdm.header.version) == (0xFF00, "2.1")
    identity = vdm.content
    assert isinstance(identity, Identity)
    assert (identity.id_header.vid, identity.pid, identity.xid, identity.bcd_device) == (
        0x1234, 0x5678, 0xABCD, 0x0100,
    )  # fmt: skip
    cable = identity.cable
    assert cable is not None
    assert (cable.hw_version, cable.fw_version, cable.plug, cable.latency_code) == (1, 2, "Type-C", 1)
    assert cable.text == "passive 5 A 50 V EPR USB 2.0"


def test_displayport_mode() -> None:
    vdm = _decode("V20").body
    assert isinstance(vdm, StructuredVdm)
    assert isinstance(vdm.content, tuple)
    mode = vdm.content[0]
    assert isinstance(mode, DpCapabilities)
    assert (mode.role, mode.receptacle, mode.dfp_pins, mode.ufp_pins) == ("UFP_D", True, "", "CD")
    assert (mode.signalling, mode.rates, mode.sink_pins) == (1, ("HBR2", "HBR3"), "CD")


def test_sink_list_and_revision_2_list() -> None:
    sink = _decode("V22").body
    assert isinstance(sink, Capabilities)
    assert isinstance(sink.pdos[0], FixedSink)
    assert sink.pdos[0].higher_capability
    older = _decode("V19").body
    assert isinstance(older, Capabilities)
    assert isinstance(older.pdos[0], FixedSource)
    assert older.pdos[0].unconstrained


def test_chunks_are_joined() -> None:
    joiner = ChunkJoiner()
    assert joiner.add(_decode("V12")) is None
    assert joiner.add(_decode("V13")) is None
    whole = joiner.add(_decode("V14"))
    assert whole is not None
    assert isinstance(whole.body, Capabilities)
    assert whole.body.text == EPR_LIST
    assert isinstance(whole.body.pdos[0], FixedSource)
    assert whole.body.pdos[0].epr_capable
    assert [pdo.kind for pdo in whole.body.pdos[5:7]] == ["empty", "empty"]


def test_chunk_out_of_turn_is_dropped() -> None:
    joiner = ChunkJoiner()
    assert joiner.add(_decode("V14")) is None
    assert joiner.add(_decode("V12")) is None


@pytest.mark.parametrize(
    ("word", "name", "message_id", "role"),
    [
        (0x1A82, "Request", 5, "sink"),
        (0x01A3, "Accept", 0, "source"),
        (0x03A6, "PS_RDY", 1, "source"),
        (0x1C82, "Request", 6, "sink"),
        (0x05A3, "Accept", 2, "source"),
        (0x07A6, "PS_RDY", 3, "source"),
    ],
)
def test_headers_of_a_kernel_log(word: int, name: str, message_id: int, role: str) -> None:
    """Headers printed in the log of a Linux kernel patch series on AVS (rev 3.x)."""
    header = decode_header(word)
    assert (header.name, header.message_id, header.power_role, header.revision) == (
        name, message_id, role, "3.x",
    )  # fmt: skip


def _bitwise_crc(data: bytes) -> int:
    """CRC-32 by the definition: straight register, polynomial 0x04C11DB7, bits in wire order."""
    register = 0xFFFFFFFF
    for byte in data:
        for i in range(8):
            top = register >> 31 ^ (byte >> i & 1)
            register = register << 1 & 0xFFFFFFFF ^ (0x04C11DB7 if top else 0)
    return int(f"{register ^ 0xFFFFFFFF:032b}"[::-1], 2)


@given(st.binary(min_size=2, max_size=40))
def test_crc_against_definition_and_binascii(data: bytes) -> None:
    assert int.from_bytes(crc_bytes(data), "little") == _bitwise_crc(data) == binascii.crc32(data)
    assert crc_holds(data + crc_bytes(data))


def test_crc_check_value() -> None:
    """The check value every CRC-32 (IEEE 802.3) catalogue lists."""
    assert int.from_bytes(crc_bytes(b"123456789"), "little") == _bitwise_crc(b"123456789") == 0xCBF43926


@given(st.binary(min_size=2, max_size=280), st.sampled_from(["SOP", "SOP'", "SOP''"]))
def test_any_bytes_decode_without_exception(payload: bytes, sop: str) -> None:
    message = decode_message(payload, sop=sop)
    assert message.text.startswith(message.name)
    ChunkJoiner().add(message)


@pytest.mark.parametrize("payload", [b"", b"\x81"])
def test_no_header_is_refused(payload: bytes) -> None:
    with pytest.raises(ValueError, match="expected a header"):
        decode_message(payload)


def test_wrong_object_count_is_named() -> None:
    message = decode_message(BY_NAME["V2"].packet[:-8])
    assert message.fault == "header tells 6 objects, found 5"
