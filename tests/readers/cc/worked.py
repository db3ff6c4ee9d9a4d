"""Worked messages of the fact sheet: bytes, and what they mean, written out by hand.

Source: decodings worked from the USB PD tables by a standard-library program independent of this package;
vendor and product ids are invented. Each row: name, SOP, bytes with CRC, message name, header facts,
content text.
"""

from __future__ import annotations

from typing import NamedTuple


class Worked(NamedTuple):
    name: str
    sop: str
    packet: bytes
    message: str
    header: str
    text: str


def _row(name: str, sop: str, packet: str, message: str, header: str, text: str) -> Worked:
    return Worked(name, sop, bytes.fromhex(packet), message, header, text)


SIXTY_FIVE = (
    "#1 5 V 3 A; #2 9 V 3 A; #3 15 V 3 A; #4 20 V 3.25 A; #5 SPR AVS 9-15 V 3 A, 15-20 V 3.25 A; #6 PPS 5-21 V 3.25 A"
)
EPR_LIST = (
    "#1 5 V 3 A; #2 9 V 3 A; #3 15 V 3 A; #4 20 V 5 A; #5 SPR AVS 9-15 V 3 A, 15-20 V 5 A; "
    "#8 28 V 5 A; #9 EPR AVS 15-28 V 140 W"
)

WORKED = (
    _row("V1", "SOP", "81 00 f5 bb 41 63", "GoodCRC", "id=0 n=0 rev=3.x sink UFP", ""),
    _row(
        "V2", "SOP",
        "a1 61 2c 91 01 08 2c d1 02 00 2c b1 04 00 45 41 06 00 45 b1 04 e0 41 32 a4 c1 39 90 5b 54",
        "Source_Capabilities", "id=0 n=6 rev=3.x source DFP", SIXTY_FIVE,
    ),
    _row("V3", "SOP", "82 10 45 15 05 41 25 cf d1 48", "Request", "id=0 n=1 rev=3.x sink UFP", "#4 3.25 A"),
    _row("V4", "SOP", "a3 03 6f ac fa 5d", "Accept", "id=1 n=0 rev=3.x source DFP", ""),
    _row("V5", "SOP", "a6 05 1f fd ee c9", "PS_RDY", "id=2 n=0 rev=3.x source DFP", ""),
    _row(
        "V6", "SOP", "82 12 3c 84 03 61 da 26 c3 b5", "Request", "id=1 n=1 rev=3.x sink UFP", "#6 PPS 9 V 3 A"
    ),
    _row(
        "V7", "SOP", "82 14 3c b0 04 51 5d 38 79 70", "Request", "id=2 n=1 rev=3.x sink UFP",
        "#5 AVS 15 V 3 A"
    ),
    _row(
        "V8", "SOP'", "8f 10 01 a8 00 ff 1c 14 11 7c", "Vendor_Defined", "id=0 n=1 rev=3.x from port",
        "Discover Identity REQ",
    ),
    _row(
        "V9", "SOP'",
        "8f 51 41 a8 00 ff 34 12 00 18 cd ab 00 00 00 01 78 56 40 26 0a 12 12 d9 d9 85",
        "Vendor_Defined", "id=0 n=5 rev=3.x from plug", "Discover Identity ACK",
    ),
    _row(
        "V10", "SOP", "8a 16 00 00 8c 01 ee 13 78 01", "EPR_Mode", "id=3 n=1 rev=3.x sink UFP",
        "Enter, sink 140 W",
    ),
    _row(
        "V11", "SOP", "aa 15 00 00 00 03 63 da 4c 38", "EPR_Mode", "id=2 n=1 rev=3.x source DFP",
        "Enter Succeeded",
    ),
    _row(
        "V12", "SOP",
        "b1 f7 24 80 2c 91 81 08 2c d1 02 00 2c b1 04 00 "
        "f4 41 06 00 f4 b1 04 e0 00 00 00 00 00 00 2b af a6 7d",
        "EPR_Source_Capabilities", "id=3 n=7 rev=3.x source DFP", "chunk 0",
    ),
    _row(
        "V13", "SOP", "91 98 00 8c 00 00 70 ea a1 6e", "EPR_Source_Capabilities", "id=4 n=1 rev=3.x sink UFP",
        "request of chunk 1",
    ),
    _row(
        "V14", "SOP", "b1 b9 24 88 00 00 f4 c1 08 00 8c 96 30 d2 42 81 10 86",
        "EPR_Source_Capabilities", "id=4 n=3 rev=3.x source DFP", "chunk 1",
    ),
    _row(
        "V15", "SOP", "89 2a 64 80 47 91 8c 96 30 d2 8d 7a 43 25", "EPR_Request", "id=5 n=2 rev=3.x sink UFP",
        "#9 AVS 24 V 5 A",
    ),
    _row(
        "V16", "SOP", "ab 1d 8c 8c 8c 80 bd ac 47 6f", "Source_Info", "id=6 n=1 rev=3.x source DFP",
        "guaranteed, maximum 140 W, present 140 W, reported 140 W",
    ),
    _row(
        "V17", "SOP", "ac 1f 00 00 11 32 f5 02 a2 a6", "Revision", "id=7 n=1 rev=3.x source DFP",
        "Revision 3.2 version 1.1",
    ),
    _row(
        "V18", "SOP", "ac a1 04 80 c3 01 3b 02 00 00 ea 1e df 21", "PPS_Status",
        "id=0 n=2 rev=3.x source DFP",
        "9.02 V 2.95 A, temperature normal",
    ),
    _row(
        "V19", "SOP", "61 21 2c 91 01 08 c8 d0 02 00 76 92 29 58", "Source_Capabilities",
        "id=0 n=2 rev=2.0 source DFP", "#1 5 V 3 A; #2 9 V 2 A",
    ),
    _row(
        "V20", "SOP", "8f 20 43 a8 01 ff 45 00 0c 00 74 13 64 a4", "Vendor_Defined",
        "id=0 n=2 rev=3.x sink UFP", "Discover Modes ACK",
    ),
    _row(
        "V21", "SOP", "a6 17 00 00 00 18 94 80 2b bf", "Alert", "id=3 n=1 rev=3.x source DFP",
        "OTP, operating condition",
    ),
    _row(
        "V22", "SOP", "84 28 2c 91 01 10 2c d1 42 9a 5c b7 ad cd", "Sink_Capabilities",
        "id=4 n=2 rev=3.x sink UFP", "#1 5 V 3 A; #2 Variable 9-21 V 3 A",
    ),
)  # fmt: skip

BY_NAME = {row.name: row for row in WORKED}
