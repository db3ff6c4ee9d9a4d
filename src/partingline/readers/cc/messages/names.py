"""Names of message types and ordered sets.

Source: USB PD R3.2 message type tables as quoted by the headers of ChromiumOS EC, Zephyr and ST.
"""

from __future__ import annotations

from typing import Final

SOP: Final = "SOP"
SOP_PRIME: Final = "SOP'"
SOP_DOUBLE_PRIME: Final = "SOP''"
HARD_RESET: Final = "Hard Reset"
CABLE_RESET: Final = "Cable Reset"

CONTROL: Final[dict[int, str]] = dict(
    enumerate(
        (
            "GoodCRC", "GotoMin", "Accept", "Reject", "Ping", "PS_RDY", "Get_Source_Cap", "Get_Sink_Cap",
            "DR_Swap", "PR_Swap", "VCONN_Swap", "Wait", "Soft_Reset", "Data_Reset", "Data_Reset_Complete",
            "Not_Supported", "Get_Source_Cap_Extended", "Get_Status", "FR_Swap", "Get_PPS_Status",
            "Get_Country_Codes", "Get_Sink_Cap_Extended", "Get_Source_Info", "Get_Revision",
        ),
        start=1,
    )
)  # fmt: skip

DATA: Final[dict[int, str]] = {
    1: "Source_Capabilities", 2: "Request", 3: "BIST", 4: "Sink_Capabilities", 5: "Battery_Status",
    6: "Alert", 7: "Get_Country_Info", 8: "Enter_USB", 9: "EPR_Request", 10: "EPR_Mode", 11: "Source_Info",
    12: "Revision", 15: "Vendor_Defined",
}  # fmt: skip

EXTENDED: Final[dict[int, str]] = {
    1: "Source_Capabilities_Extended", 2: "Status", 3: "Get_Battery_Cap", 4: "Get_Battery_Status",
    5: "Battery_Capabilities", 6: "Get_Manufacturer_Info", 7: "Manufacturer_Info", 8: "Security_Request",
    9: "Security_Response", 10: "Firmware_Update_Request", 11: "Firmware_Update_Response", 12: "PPS_Status",
    13: "Country_Info", 14: "Country_Codes", 15: "Sink_Capabilities_Extended", 16: "Extended_Control",
    17: "EPR_Source_Capabilities", 18: "EPR_Sink_Capabilities", 30: "Vendor_Defined_Extended",
}  # fmt: skip


def message_name(*, extended: bool, object_count: int, type_code: int) -> str:
    """The standard's name of a message type, or `Reserved ... n`."""
    if extended:
        table, kind = EXTENDED, "extended"
    elif object_count:
        table, kind = DATA, "data"
    else:
        table, kind = CONTROL, "control"
    return table.get(type_code, f"Reserved {kind} {type_code}")
