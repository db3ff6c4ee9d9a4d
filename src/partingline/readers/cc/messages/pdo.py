"""Power data objects: what a source offers and what a sink asks for, bit by bit.

Source: USB PD R3.2 V1.0 PDO tables (fixed, battery, variable, tables 6.14, 6.15, 6.21, 6.22 for AVS) as
quoted by the Linux, ChromiumOS EC, Zephyr, ST and Fuchsia headers, which agree. SI units throughout.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, TypeAlias

from partingline.readers.cc.messages.fields import number

PEAK_CURRENT: Final[tuple[tuple[tuple[float, float], ...], ...]] = (
    (),
    ((1.5, 1e-3), (1.25, 2e-3), (1.1, 10e-3)),
    ((2.0, 1e-3), (1.5, 2e-3), (1.25, 10e-3)),
    ((2.0, 1e-3), (1.75, 2e-3), (1.5, 10e-3)),
)
"""By peak code: (multiple of the rated current, for so many seconds) in a 20 ms period; R3.1 6.4.1.2.2.8."""


@dataclass(frozen=True, slots=True)
class FixedSource:
    """A fixed supply offered by a source. The flags are meaningful in the first object of a list only."""

    voltage_v: float
    current_a: float
    dual_role_power: bool = False
    usb_suspend: bool = False
    unconstrained: bool = False
    usb_comms: bool = False
    dual_role_data: bool = False
    unchunked: bool = False
    epr_capable: bool = False
    peak_code: int = 0
    reserved: int = 0

    kind = "fixed"

    @property
    def text(self) -> str:
        """`20 V 3.25 A`."""
        return f"{number(self.voltage_v)} V {number(self.current_a)} A"

    @property
    def min_v(self) -> float:
        """The lowest nominal voltage."""
        return self.voltage_v

    @property
    def max_v(self) -> float:
        """The highest nominal voltage."""
        return self.voltage_v

    @property
    def max_a(self) -> float:
        """The highest current at any voltage of the object."""
        return self.current_a

    @property
    def max_w(self) -> float:
        """Highest voltage times current."""
        return self.voltage_v * self.current_a


@dataclass(frozen=True, slots=True)
class FixedSink:
    """A fixed supply that a sink can use; `fast_swap_code`: 0 none, 1 default, 2 1.5 A, 3 3 A."""

    voltage_v: float
    current_a: float
    dual_role_power: bool = False
    higher_capability: bool = False
    unconstrained: bool = False
    usb_comms: bool = False
    dual_role_data: bool = False
    fast_swap_code: int = 0
    reserved: int = 0

    kind = "fixed"

    @property
    def text(self) -> str:
        """`20 V 3.25 A`."""
        return f"{number(self.voltage_v)} V {number(self.current_a)} A"

    @property
    def min_v(self) -> float:
        """The lowest nominal voltage."""
        return self.voltage_v

    @property
    def max_v(self) -> float:
        """The highest nominal voltage."""
        return self.voltage_v

    @property
    def max_a(self) -> float:
        """The operating current."""
        return self.current_a

    @property
    def max_w(self) -> float:
        """Voltage times operating current."""
        return self.voltage_v * self.current_a


@dataclass(frozen=True, slots=True)
class Battery:
    """A battery supply: voltage window and power (maximum from a source, operating for a sink)."""

    min_v: float
    max_v: float
    power_w: float
    sink: bool = False

    kind = "battery"

    @property
    def text(self) -> str:
        """`Battery 9-21 V 45 W`."""
        return f"Battery {number(self.min_v)}-{number(self.max_v)} V {number(self.power_w)} W"

    @property
    def max_a(self) -> float | None:
        """None: the object states power."""
        return None

    @property
    def max_w(self) -> float:
        """The power."""
        return self.power_w


@dataclass(frozen=True, slots=True)
class Variable:
    """A variable supply: voltage window and current (maximum from a source, operating for a sink)."""

    min_v: float
    max_v: float
    current_a: float
    sink: bool = False

    kind = "variable"

    @property
    def text(self) -> str:
        """`Variable 9-21 V 3 A`."""
        return f"Variable {number(self.min_v)}-{number(self.max_v)} V {number(self.current_a)} A"

    @property
    def max_a(self) -> float:
        """The current."""
        return self.current_a

    @property
    def max_w(self) -> float:
        """Highest voltage times current."""
        return self.max_v * self.current_a


@dataclass(frozen=True, slots=True)
class Pps:
    """A programmable supply (SPR PPS): the sink sets voltage in 20 mV and a current limit in 50 mA steps."""

    min_v: float
    max_v: float
    current_a: float
    power_limited: bool = False
    sink: bool = False
    reserved: int = 0

    kind = "pps"

    @property
    def text(self) -> str:
        """`PPS 5-21 V 3.25 A`."""
        return f"PPS {number(self.min_v)}-{number(self.max_v)} V {number(self.current_a)} A"

    @property
    def max_a(self) -> float:
        """The highest current limit."""
        return self.current_a

    @property
    def max_w(self) -> float:
        """Highest voltage times current; a power-limited source gives less (its PDP)."""
        return self.max_v * self.current_a


@dataclass(frozen=True, slots=True)
class SprAvs:
    """SPR AVS (R3.2): currents for 9-15 V and for above 15 to 20 V; 0 A means that range is not offered."""

    current_15v_a: float
    current_20v_a: float = 0.0
    peak_code: int = 0
    sink: bool = False
    reserved: int = 0

    kind = "spr_avs"

    @property
    def text(self) -> str:
        """`SPR AVS 9-15 V 3 A, 15-20 V 3.25 A`."""
        ranges = [f"9-15 V {number(self.current_15v_a)} A"]
        if self.current_20v_a:
            ranges.append(f"15-20 V {number(self.current_20v_a)} A")
        return "SPR AVS " + ", ".join(ranges)

    @property
    def min_v(self) -> float:
        """9 V by definition, or 15 V when only the upper range is offered."""
        return 9.0 if self.current_15v_a or not self.current_20v_a else 15.0

    @property
    def max_v(self) -> float:
        """20 V when the upper range is offered, else 15 V."""
        return 20.0 if self.current_20v_a else 15.0

    @property
    def max_a(self) -> float:
        """The larger of the two currents."""
        return max(self.current_15v_a, self.current_20v_a)

    @property
    def max_w(self) -> float:
        """The larger of the two range ends."""
        return max(15.0 * self.current_15v_a, 20.0 * self.current_20v_a)


@dataclass(frozen=True, slots=True)
class EprAvs:
    """EPR AVS: a voltage window and the PDP; the current at v is PDP / v, at most 5 A."""

    min_v: float
    max_v: float
    pdp_w: float
    peak_code: int = 0
    sink: bool = False
    reserved: int = 0

    kind = "epr_avs"

    @property
    def text(self) -> str:
        """`EPR AVS 15-28 V 140 W`."""
        return f"EPR AVS {number(self.min_v)}-{number(self.max_v)} V {number(self.pdp_w)} W"

    @property
    def max_a(self) -> float:
        """PDP over the lowest voltage, at most 5 A (from memory)."""
        return min(5.0, self.pdp_w / self.min_v) if self.min_v else 5.0

    @property
    def max_w(self) -> float:
        """The PDP."""
        return self.pdp_w


@dataclass(frozen=True, slots=True)
class EmptyPdo:
    """A padding object (all zero), as EPR lists use for unused places 1 to 7."""

    kind = "empty"
    text = "empty"
    min_v = max_v = max_w = 0.0
    max_a: float | None = None


@dataclass(frozen=True, slots=True)
class ReservedPdo:
    """A word whose type the revision in use does not define; kept whole."""

    raw: int

    kind = "reserved"
    min_v = max_v = max_w = 0.0
    max_a: float | None = None

    @property
    def text(self) -> str:
        """`reserved 0xF0000000`."""
        return f"reserved 0x{self.raw:08X}"


Pdo: TypeAlias = FixedSource | FixedSink | Battery | Variable | Pps | SprAvs | EprAvs | EmptyPdo | ReservedPdo
