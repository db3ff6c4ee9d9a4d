"""What a recording says of VBUS: at power ready, behind it, on the way, and around a hard reset."""

from collections.abc import Iterator

from partingline.facts.statements.captured import Witness
from partingline.model import Sense, Statement
from partingline.readers.cc.conversation.contracts import Contract, in_force
from partingline.readers.cc.conversation.recovery import Recovery
from partingline.readers.cc.conversation.story import Reset
from partingline.readers.cc.conversation.vbus import HELD_S, VbusMeasure

_BEHIND_S = 50e-3
_RESET_BIN_S = 100e-6


def vbus_statements(witness: Witness) -> Iterator[Statement]:
    """Levels, slew and overshoot of every contract, and the times of every hard reset, where VBUS was recorded."""
    by_level: dict[tuple[str, float], list[tuple[Contract, VbusMeasure]]] = {}
    for contract in witness.capture.conversation.contracts:
        if contract.vbus is not None and contract.voltage_v is not None and contract.ready_s is not None:
            by_level.setdefault((contract.kind, contract.voltage_v), []).append((contract, contract.vbus))
    half = _resolution(witness)
    yield from _held(witness, half)
    for (kind, volts), measured in by_level.items():
        yield from _levels(witness, kind, volts, measured, half)
    changes = [pair for measured in by_level.values() for pair in measured]
    slews = [(vbus.slew_v_per_s, c.answered_s or 0.0, c.ready_s or 0.0) for c, vbus in changes]
    if slews:
        slew, start, end = max(slews)
        note = f"steepest of {len(slews)}, over 100 µs"
        yield witness.says("vbus_slew", slew, (start, end), note, half_width=2 * half / 100e-6)
    for reset in witness.capture.conversation.resets:
        if reset.vbus is not None:
            yield from _reset(witness, reset, reset.vbus)


def _resolution(witness: Witness) -> float:
    """Half the step of the VBUS channel's numbers, V."""
    recording = witness.capture.recording
    channel = recording.channel("vbus") if recording else None
    whole = channel is not None and channel.scale != 1.0
    return abs(channel.scale) / 2 if channel is not None and whole else 0.0


def _levels(
    witness: Witness, kind: str, volts: float, measured: list[tuple[Contract, VbusMeasure]], half: float
) -> Iterator[Statement]:
    at: dict[str, float | str] = {"offer": volts, "supply": kind}

    def worst(state: str, values: list[tuple[float, Contract]], note: str) -> Statement:
        value, contract = max(values, key=lambda pair: abs(pair[0] - volts))
        start = contract.ready_s or 0.0
        return witness.says(
            "vbus_level", value, (start, start + _BEHIND_S), note, half_width=half, at={**at, "state": state}
        )

    yield worst("power ready", [(v.at_ready_v, c) for c, v in measured], "VBUS in the millisecond behind PS_RDY")
    behind = [(level, c) for c, v in measured for level in (v.after_min_v, v.after_max_v)]
    yield worst("behind power ready", behind, "furthest off in the 50 ms behind PS_RDY")
    overshoot, contract = max(((v.overshoot_v, c) for c, v in measured), key=lambda pair: pair[0])
    span = (contract.answered_s or 0.0, (contract.ready_s or 0.0) + _BEHIND_S)
    yield witness.says("vbus_overshoot", overshoot, span, "beyond the contract's voltage", half_width=half, at=at)


def _held(witness: Witness, half: float) -> Iterator[Statement]:
    """Behind a refusal: the level furthest off what was in force."""
    refused: dict[tuple[str, float], list[tuple[float, Contract]]] = {}
    contracts = witness.capture.conversation.contracts
    for contract in contracts:
        if contract.held is None or contract.answered_s is None:
            continue
        running = in_force(contracts, contract.answered_s)
        kind, volts = running.kind if running else "fixed", contract.held.target_v
        levels = ((contract.held.after_min_v, contract), (contract.held.after_max_v, contract))
        refused.setdefault((kind, volts), []).extend(levels)
    for (kind, volts), levels_of in refused.items():
        value, contract = max(levels_of, key=lambda pair: abs(pair[0] - volts))
        at: dict[str, float | str] = {"offer": volts, "supply": kind, "state": "behind a refusal"}
        start = contract.answered_s or 0.0
        note = f"furthest off behind the answer to {contract.rdo.text}"
        yield witness.says("vbus_level", value, (start, start + HELD_S), note, half_width=half, at=at)


def _reset(witness: Witness, reset: Reset, vbus: Recovery) -> Iterator[Statement]:
    """Times after a hard reset, counted from the end of its signalling."""
    extended = any(
        s.succeeded_s is not None and s.ended_by == "hard reset" and s.ended_s == reset.time_s
        for s in witness.capture.conversation.epr_sessions
    )
    at: dict[str, float | str] = {"reset": round(reset.time_s, 6)}
    if extended:
        at["range"] = "extended"
    known = {
        "reset_fall_delay": vbus.falling_s,
        "reset_discharge_time": vbus.safe_0v_s,
        "reset_off_time": vbus.leaves_0v_s,
        "reset_turn_on_time": _between(vbus.leaves_0v_s, vbus.safe_5v_s),
    }
    for quantity, value in known.items():
        if value is not None:
            span = (reset.end_s, reset.end_s + value)
            yield witness.says(quantity, value, span, half_width=_RESET_BIN_S, at=at)
    looked = min(witness.end_s - reset.end_s, 3.0)
    if vbus.safe_0v_s is None and looked > 0.65:
        span, note = (reset.end_s, reset.end_s + looked), "not below 0.8 V up to then"
        yield witness.says("reset_discharge_time", looked, span, note, sense=Sense.AT_LEAST, half_width=0.0, at=at)


def _between(start: float | None, end: float | None) -> float | None:
    return None if start is None or end is None else end - start
