"""DisplayPort alternate mode objects (SVID FF01): capabilities, status, configuration.

Source: Linux `typec_dp.h` and ChromiumOS EC `usb_dp_alt_mode.h`, restating the VESA
DisplayPort Alt Mode standard.
"""

from __future__ import annotations

from dataclasses import dataclass

from partingline.readers.cc.messages.fields import bits, flag

_PINS = "ABCDEF"
_ROLES = {0: "none", 1: "UFP_D", 2: "DFP_D", 3: "both"}
_CONFIGURED = {0: "USB", 1: "DFP_D", 2: "UFP_D", 3: "reserved"}
_CONNECTED = {0: "none", 1: "DFP_D", 2: "UFP_D", 3: "both"}
FOUR_LANE_PINS = "ACE"
"""Pin assignments that give all four high-speed pairs to DisplayPort; B, D and F leave two for USB."""


@dataclass(frozen=True, slots=True)
class DpCapabilities:
    """The answer to Discover Modes. `sink_pins` are those usable with a display-side (UFP_D) device."""

    word: int
    role: str
    signalling: int
    receptacle: bool
    usb2_not_used: bool
    dfp_pins: str
    ufp_pins: str
    uhbr13_5: bool
    cable_code: int
    version_code: int

    @property
    def sink_pins(self) -> str:
        """A plug keeps the pins of a display-side device in the DFP_D field, a receptacle in UFP_D."""
        return self.ufp_pins if self.receptacle else self.dfp_pins

    @property
    def rates(self) -> tuple[str, ...]:
        """The named signalling rates that the object declares."""
        return _rates(self.word)


@dataclass(frozen=True, slots=True)
class DpStatus:
    """A Status Update answer, or the object of an Attention."""

    word: int
    connected: str
    power_low: bool
    enabled: bool
    multi_function: bool
    usb_request: bool
    exit_request: bool
    hot_plug: bool
    irq: bool


@dataclass(frozen=True, slots=True)
class DpConfigure:
    """The configuration that a host sets; `lanes` is 4, 2, or 0 when the pairs carry USB only."""

    word: int
    configured_as: str
    signalling: int
    pins: str
    version_code: int

    @property
    def lanes(self) -> int:
        """DisplayPort lanes of the chosen pin assignment."""
        if self.configured_as == "USB" or not self.pins:
            return 0
        return 4 if self.pins[0] in FOUR_LANE_PINS else 2

    @property
    def rates(self) -> tuple[str, ...]:
        """The named signalling rates of the configuration."""
        return _rates(self.word)


def decode_dp_capabilities(word: int) -> DpCapabilities:
    """Take a DisplayPort mode object apart."""
    return DpCapabilities(
        word=word,
        role=_ROLES[bits(word, 1, 0)],
        signalling=bits(word, 5, 2),
        receptacle=flag(word, 6),
        usb2_not_used=flag(word, 7),
        dfp_pins=_pins(bits(word, 15, 8)),
        ufp_pins=_pins(bits(word, 23, 16)),
        uhbr13_5=flag(word, 26),
        cable_code=bits(word, 29, 28),
        version_code=bits(word, 31, 30),
    )


def decode_dp_status(word: int) -> DpStatus:
    """Take a DisplayPort status object apart."""
    return DpStatus(
        word=word,
        connected=_CONNECTED[bits(word, 1, 0)],
        power_low=flag(word, 2),
        enabled=flag(word, 3),
        multi_function=flag(word, 4),
        usb_request=flag(word, 5),
        exit_request=flag(word, 6),
        hot_plug=flag(word, 7),
        irq=flag(word, 8),
    )


def decode_dp_configure(word: int) -> DpConfigure:
    """Take a DisplayPort configuration object apart."""
    return DpConfigure(
        word=word,
        configured_as=_CONFIGURED[bits(word, 1, 0)],
        signalling=bits(word, 5, 2),
        pins=_pins(bits(word, 15, 8)),
        version_code=bits(word, 31, 30),
    )


def _pins(mask: int) -> str:
    return "".join(name for i, name in enumerate(_PINS) if mask >> i & 1)


def _rates(word: int) -> tuple[str, ...]:
    """HBR2 is taken as always there (from memory); UHBR rates need alternate mode version 2.1."""
    rates = ["HBR2"]
    if flag(word, 2):
        rates.append("HBR3")
    if bits(word, 31, 30) == 1:
        rates += [name for bit, name in ((3, "UHBR10"), (26, "UHBR13.5"), (4, "UHBR20")) if flag(word, bit)]
    return tuple(rates)
