"""The cable object of a Discover Identity answer.

Source: USB PD R3.2 V1.0 tables 6-42 and 6-43 (R2: 6-28, 6-29) as quoted by the ChromiumOS EC headers; the EPR
bit 17 from ST's header, where the other header still says reserved.
"""

from __future__ import annotations

from dataclasses import dataclass

from partingline.readers.cc.messages.fields import bits, flag, number

_PLUGS = {2: "Type-C", 3: "captive"}
_R2_PLUGS = {0: "A", 1: "B", 2: "Type-C", 3: "captive"}
_SPEEDS = {0: "USB 2.0", 1: "USB Gen 1", 2: "USB Gen 2", 3: "USB4 Gen 3", 4: "USB4 Gen 4"}
_LENGTH_NS = {1: 10, 2: 20, 3: 30, 4: 40, 5: 50, 6: 60, 7: 70}


@dataclass(frozen=True, slots=True)
class CableVdo:
    """What a cable's plug says of it. `current_a` is None for default USB current or a reserved code."""

    word: int
    active: bool
    hw_version: int
    fw_version: int
    vdo_version: int
    plug: str
    epr_capable: bool
    latency_code: int
    latency_below_s: float | None
    termination_code: int
    max_vbus_v: float
    current_a: float | None
    vbus_through: bool
    sop2_controller: bool
    speed_code: int
    speed: str
    sbu_supported: bool | None

    @property
    def text(self) -> str:
        """`passive 5 A 50 V EPR USB 2.0`."""
        current = "default current" if self.current_a is None else f"{number(self.current_a)} A"
        epr = " EPR" if self.epr_capable else ""
        kind = "active" if self.active else "passive"
        return f"{kind} {current} {number(self.max_vbus_v)} V{epr} {self.speed}"


def decode_cable_vdo(word: int, *, active: bool = False, revision: int = 3) -> CableVdo:
    """Take a passive cable object or the first active cable object apart."""
    r3 = revision >= 3
    plug_code, latency, speed = bits(word, 19, 18), bits(word, 16, 13), bits(word, 2, 0)
    length_ns = _LENGTH_NS.get(latency)
    if active and latency in (8, 9, 10):
        length_ns = (latency - 7) * 1000
    return CableVdo(
        word=word,
        active=active,
        hw_version=bits(word, 31, 28),
        fw_version=bits(word, 27, 24),
        vdo_version=bits(word, 23, 21) if r3 else 0,
        plug=(_PLUGS if r3 else _R2_PLUGS).get(plug_code, f"reserved {plug_code}"),
        epr_capable=r3 and flag(word, 17),
        latency_code=latency,
        latency_below_s=None if length_ns is None else length_ns * 1e-9,
        termination_code=bits(word, 12, 11),
        max_vbus_v=20.0 + 10.0 * bits(word, 10, 9) if r3 else 20.0,
        current_a={1: 3.0, 2: 5.0}.get(bits(word, 6, 5)),
        vbus_through=flag(word, 4) if active or not r3 else True,
        sop2_controller=flag(word, 3) if active or not r3 else False,
        speed_code=speed,
        speed=_SPEEDS.get(speed, f"reserved {speed}"),
        sbu_supported=not flag(word, 8) if active and r3 else None,
    )
