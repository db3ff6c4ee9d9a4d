"""Power data objects to and from their 32-bit words; `encode_pdo(decode_pdo(w)) == w` for every word."""

from __future__ import annotations

from partingline.readers.cc.messages.fields import bits, flag, steps
from partingline.readers.cc.messages.pdo import (
    Battery,
    EmptyPdo,
    EprAvs,
    FixedSink,
    FixedSource,
    Pdo,
    Pps,
    ReservedPdo,
    SprAvs,
    Variable,
)


def decode_pdo(word: int, *, sink: bool = False, revision: int = 3) -> Pdo:
    """Take one power data object apart.

    `sink`: the object stands in Sink_Capabilities. `revision` is the major revision in use: augmented objects
    and the flags of R3 are reserved below 3. Raises ValueError when `word` is not a 32-bit number.
    """
    if not 0 <= word <= 0xFFFFFFFF:
        raise ValueError(f"object word {word}: expected a number from 0 to 0xFFFFFFFF")
    if word == 0:
        return EmptyPdo()
    kind = bits(word, 31, 30)
    if kind == 0:
        return _fixed_sink(word, revision) if sink else _fixed_source(word, revision)
    if kind == 3:
        return _augmented(word, sink) if revision >= 3 else ReservedPdo(word)
    low, high, last = bits(word, 19, 10) / 20, bits(word, 29, 20) / 20, bits(word, 9, 0)
    if kind == 1:
        return Battery(min_v=low, max_v=high, power_w=last / 4, sink=sink)
    return Variable(min_v=low, max_v=high, current_a=last / 100, sink=sink)


def encode_pdo(pdo: Pdo) -> int:
    """The 32-bit word of an object. Raises ValueError when a value is off its step or does not fit."""
    match pdo:
        case EmptyPdo():
            return 0
        case ReservedPdo():
            return pdo.raw
        case FixedSource():
            return _encode_fixed_source(pdo)
        case FixedSink():
            return _encode_fixed_sink(pdo)
        case Battery():
            return 1 << 30 | _window(pdo.min_v, pdo.max_v) | steps(pdo.power_w, 0.25, 10, "power in W")
        case Variable():
            return 2 << 30 | _window(pdo.min_v, pdo.max_v) | steps(pdo.current_a, 0.01, 10, "current in A")
        case Pps():
            return _encode_pps(pdo)
        case SprAvs():
            low = steps(pdo.current_15v_a, 0.01, 10, "current in A")
            high = steps(pdo.current_20v_a, 0.01, 10, "current in A")
            return 14 << 28 | pdo.peak_code << 26 | low << 10 | high | pdo.reserved
        case EprAvs():
            volts = steps(pdo.max_v, 0.1, 9, "voltage in V") << 17
            volts |= steps(pdo.min_v, 0.1, 8, "voltage in V") << 8
            power = steps(pdo.pdp_w, 1.0, 8, "power in W")
            return 13 << 28 | pdo.peak_code << 26 | volts | power | pdo.reserved


def _fixed_source(word: int, revision: int) -> FixedSource:
    r3 = revision >= 3
    return FixedSource(
        voltage_v=bits(word, 19, 10) / 20,
        current_a=bits(word, 9, 0) / 100,
        dual_role_power=flag(word, 29),
        usb_suspend=flag(word, 28),
        unconstrained=flag(word, 27),
        usb_comms=flag(word, 26),
        dual_role_data=flag(word, 25),
        unchunked=r3 and flag(word, 24),
        epr_capable=r3 and flag(word, 23),
        peak_code=bits(word, 21, 20),
        reserved=word & (1 << 22 if r3 else 7 << 22),
    )


def _fixed_sink(word: int, revision: int) -> FixedSink:
    r3 = revision >= 3
    return FixedSink(
        voltage_v=bits(word, 19, 10) / 20,
        current_a=bits(word, 9, 0) / 100,
        dual_role_power=flag(word, 29),
        higher_capability=flag(word, 28),
        unconstrained=flag(word, 27),
        usb_comms=flag(word, 26),
        dual_role_data=flag(word, 25),
        fast_swap_code=bits(word, 24, 23) if r3 else 0,
        reserved=word & (7 << 20 if r3 else 31 << 20),
    )


def _augmented(word: int, sink: bool) -> Pdo:
    kind = bits(word, 29, 28)
    if kind == 0:
        return Pps(
            min_v=bits(word, 15, 8) / 10,
            max_v=bits(word, 24, 17) / 10,
            current_a=bits(word, 6, 0) / 20,
            power_limited=not sink and flag(word, 27),
            sink=sink,
            reserved=word & (0x0E010080 if sink else 0x06010080),
        )
    peak = 0 if sink else bits(word, 27, 26)
    peak_reserved = word & (3 << 26) if sink else 0
    if kind == 1:
        return EprAvs(
            min_v=bits(word, 15, 8) / 10,
            max_v=bits(word, 25, 17) / 10,
            pdp_w=float(bits(word, 7, 0)),
            peak_code=peak,
            sink=sink,
            reserved=peak_reserved | word & (1 << 16),
        )
    if kind == 2:
        return SprAvs(
            current_15v_a=bits(word, 19, 10) / 100,
            current_20v_a=bits(word, 9, 0) / 100,
            peak_code=peak,
            sink=sink,
            reserved=peak_reserved | word & 0x03F00000,
        )
    return ReservedPdo(word)


def _window(low_v: float, high_v: float) -> int:
    high = steps(high_v, 0.05, 10, "voltage in V") << 20
    return high | steps(low_v, 0.05, 10, "voltage in V") << 10


def _encode_fixed_source(pdo: FixedSource) -> int:
    flags = (
        pdo.dual_role_power << 29 | pdo.usb_suspend << 28 | pdo.unconstrained << 27 | pdo.usb_comms << 26
        | pdo.dual_role_data << 25 | pdo.unchunked << 24 | pdo.epr_capable << 23
    )  # fmt: skip
    return flags | pdo.peak_code << 20 | _volts_amps(pdo.voltage_v, pdo.current_a) | pdo.reserved


def _encode_fixed_sink(pdo: FixedSink) -> int:
    flags = (
        pdo.dual_role_power << 29 | pdo.higher_capability << 28 | pdo.unconstrained << 27
        | pdo.usb_comms << 26 | pdo.dual_role_data << 25
    )  # fmt: skip
    return flags | pdo.fast_swap_code << 23 | _volts_amps(pdo.voltage_v, pdo.current_a) | pdo.reserved


def _volts_amps(voltage_v: float, current_a: float) -> int:
    volts = steps(voltage_v, 0.05, 10, "voltage in V")
    return volts << 10 | steps(current_a, 0.01, 10, "current in A")


def _encode_pps(pdo: Pps) -> int:
    volts = steps(pdo.max_v, 0.1, 8, "voltage in V") << 17 | steps(pdo.min_v, 0.1, 8, "voltage in V") << 8
    limit = steps(pdo.current_a, 0.05, 7, "current in A")
    return 12 << 28 | pdo.power_limited << 27 | volts | limit | pdo.reserved
