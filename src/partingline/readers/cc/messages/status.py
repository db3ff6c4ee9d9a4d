"""Data messages that report: alert, battery status, source information, revision, modes, tests.

Source: USB PD data message tables as the ChromiumOS EC and ST headers agree on them.
"""

from __future__ import annotations

from dataclasses import dataclass

from partingline.readers.cc.messages.fields import bits, flag, number

_ALERTS = {
    1: "battery status", 2: "OCP", 3: "OTP", 4: "operating condition", 5: "source input", 6: "OVP",
    7: "extended",
}  # fmt: skip
_ALERT_EVENTS = {1: "power state change", 2: "power button press", 3: "power button release", 4: "wake"}
_EPR_ACTIONS = {1: "Enter", 2: "Enter Acknowledged", 3: "Enter Succeeded", 4: "Enter Failed", 5: "Exit"}
_EPR_CAUSES = {
    0: "unknown cause", 1: "cable not EPR capable", 2: "source failed to become VCONN source",
    3: "EPR capable bit not set in RDO", 4: "source unable at this time", 5: "EPR capable bit not set in PDO",
}  # fmt: skip
_BIST = {
    0: "receiver mode", 1: "transmit mode", 2: "returned counters", 3: "carrier mode 0", 4: "carrier mode 1",
    5: "carrier mode", 6: "carrier mode 3", 7: "eye pattern", 8: "test data", 9: "shared test mode entry",
    10: "shared test mode exit",
}  # fmt: skip
_USB_MODES = {0: "USB 2.0", 1: "USB 3.2", 2: "USB4"}


@dataclass(frozen=True, slots=True)
class Alert:
    """What a port warns of."""

    word: int
    causes: tuple[str, ...]
    fixed_batteries: int
    hot_swap_batteries: int
    event: str | None

    @property
    def text(self) -> str:
        """`OTP, operating condition`."""
        return ", ".join(self.causes) or "no cause given"


@dataclass(frozen=True, slots=True)
class BatteryStatus:
    """State of a battery; `capacity_wh` is None when unknown."""

    word: int
    capacity_wh: float | None
    invalid_reference: bool
    present: bool
    charging: str


@dataclass(frozen=True, slots=True)
class SourceInfo:
    """The powers a source states for this port, in whole watts rounded down by the sender.

    The `fine` powers, in half watts, and `dynamic` come with a second object that only the newest of ST's headers
    knows; None without it.
    """

    word: int
    guaranteed: bool
    maximum_w: float
    present_w: float
    reported_w: float
    fine_maximum_w: float | None = None
    fine_guaranteed_w: float | None = None
    dynamic: bool | None = None

    @property
    def text(self) -> str:
        """`guaranteed, maximum 140 W, present 140 W, reported 140 W`."""
        kind = "guaranteed" if self.guaranteed else "managed"
        return (
            f"{kind}, maximum {number(self.maximum_w)} W, present {number(self.present_w)} W, "
            f"reported {number(self.reported_w)} W"
        )


@dataclass(frozen=True, slots=True)
class RevisionInfo:
    """The exact revision and version that a port implements."""

    word: int
    revision: str
    version: str

    @property
    def text(self) -> str:
        """`Revision 3.2 version 1.1`."""
        return f"Revision {self.revision} version {self.version}"


@dataclass(frozen=True, slots=True)
class EprMode:
    """A step of EPR mode entry or exit. `sink_pdp_w` with Enter, `cause` with Enter Failed."""

    word: int
    action: str
    data: int
    sink_pdp_w: float | None
    cause: str | None

    @property
    def text(self) -> str:
        """`Enter, sink 140 W`."""
        if self.sink_pdp_w is not None:
            return f"{self.action}, sink {number(self.sink_pdp_w)} W"
        return f"{self.action}, {self.cause}" if self.cause else self.action


@dataclass(frozen=True, slots=True)
class Bist:
    """A built-in self test request."""

    word: int
    mode: str


@dataclass(frozen=True, slots=True)
class EnterUsb:
    """A request to enter a USB mode; `cable_current_a` None when the code is reserved."""

    word: int
    mode: str
    cable_speed_code: int
    cable_type_code: int
    cable_current_a: float | None
    pcie: bool
    displayport: bool
    thunderbolt: bool
    host_present: bool


def decode_alert(word: int) -> Alert:
    """Take an alert object apart."""
    return Alert(
        word=word,
        causes=tuple(name for bit, name in _ALERTS.items() if flag(word, 24 + bit)),
        fixed_batteries=bits(word, 23, 20),
        hot_swap_batteries=bits(word, 19, 16),
        event=_ALERT_EVENTS.get(bits(word, 3, 0)) if flag(word, 31) else None,
    )


def decode_battery_status(word: int) -> BatteryStatus:
    """Take a battery status object apart; the capacity counts 0.1 Wh."""
    capacity, state = word >> 16, bits(word, 11, 10)
    return BatteryStatus(
        word=word,
        capacity_wh=None if capacity == 0xFFFF else capacity / 10,
        invalid_reference=flag(word, 8),
        present=flag(word, 9),
        charging=("charging", "discharging", "idle", "reserved")[state],
    )


def decode_source_info(word: int, second: int | None = None) -> SourceInfo:
    """Take a source information object apart, and the one behind it where there is one."""
    return SourceInfo(
        word=word,
        guaranteed=flag(word, 31),
        maximum_w=float(bits(word, 23, 16)),
        present_w=float(bits(word, 15, 8)),
        reported_w=float(bits(word, 7, 0)),
        fine_maximum_w=None if second is None else bits(second, 17, 9) / 2,
        fine_guaranteed_w=None if second is None else bits(second, 8, 0) / 2,
        dynamic=None if second is None else flag(second, 30),
    )


def decode_revision(word: int) -> RevisionInfo:
    """Take a revision object apart."""
    return RevisionInfo(
        word=word,
        revision=f"{bits(word, 31, 28)}.{bits(word, 27, 24)}",
        version=f"{bits(word, 23, 20)}.{bits(word, 19, 16)}",
    )


def decode_epr_mode(word: int) -> EprMode:
    """Take an EPR mode object apart. The sink's operational PDP in the data of Enter is from memory."""
    code, data = bits(word, 31, 24), bits(word, 23, 16)
    return EprMode(
        word=word,
        action=_EPR_ACTIONS.get(code, f"reserved {code}"),
        data=data,
        sink_pdp_w=float(data) if code == 1 else None,
        cause=_EPR_CAUSES.get(data, f"reserved {data}") if code == 4 else None,
    )


def decode_bist(word: int) -> Bist:
    """Take a self test object apart."""
    code = bits(word, 31, 28)
    return Bist(word=word, mode=_BIST.get(code, f"reserved {code}"))


def decode_enter_usb(word: int) -> EnterUsb:
    """Take an Enter_USB object apart (R3.2 table 6-50)."""
    mode = bits(word, 30, 28)
    return EnterUsb(
        word=word,
        mode=_USB_MODES.get(mode, f"reserved {mode}"),
        cable_speed_code=bits(word, 23, 21),
        cable_type_code=bits(word, 20, 19),
        cable_current_a={2: 3.0, 3: 5.0}.get(bits(word, 18, 17)),
        pcie=flag(word, 16),
        displayport=flag(word, 15),
        thunderbolt=flag(word, 14),
        host_present=flag(word, 13),
    )
