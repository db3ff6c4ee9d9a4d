"""A cable as the unit: what its plug answers to Discover Identity, as claims seen on the wire.

Source: USB PD R3.2 table 6-42 as quoted by the ChromiumOS EC headers. A marking of 50 V carries the 48 V of the
extended range and needs its bit; without either the cable is one for 20 V (from memory).
"""

from collections.abc import Iterator

from partingline.facts.statements.captured import Witness
from partingline.model import Key, Number, Route, Sense, Statement

_SPEEDS = {0: 480e6, 1: 5e9, 2: 20e9, 3: 40e9, 4: 80e9}
"""bit/s by the code of the mark, both pairs of lanes together from Gen 2 on (from memory)."""
_EXTENDED, _HIGHEST, _STANDARD = 50.0, 48.0, 20.0


def plug_statements(witness: Witness) -> Iterator[Statement]:
    """Current and voltage of the mark, and the power that a contract may make of them; nothing without an answer."""
    cable = witness.capture.conversation.cable
    if cable is None:
        return
    extended = cable.epr_capable and cable.max_vbus_v >= _EXTENDED
    yield _says(witness, Key.of("unit", "cable_voltage"), cable.max_vbus_v, f"mark: {cable.text}")
    if (speed := _SPEEDS.get(cable.speed_code)) is not None:
        yield _says(witness, Key.of("unit", "data_rate"), speed, f"mark: {cable.speed}")
    if cable.current_a is None:
        return
    yield _says(witness, Key.of("unit", "cable_current"), cable.current_a, f"mark: {cable.text}")
    at = Key.of("unit", "available_current", offer=cable.max_vbus_v)
    yield _says(witness, at, cable.current_a, "as the plug answers")
    power = cable.current_a * (_HIGHEST if extended else _STANDARD)
    note = f"{cable.current_a:g} A at {_HIGHEST if extended else _STANDARD:g} V, as the plug answers"
    yield _says(witness, Key.of("unit", "output_power"), power, note)


def _says(witness: Witness, key: Key, value: float, note: str) -> Statement:
    return Statement(key, Number(value), Route.CAPTURED, Sense.EQUALS, (witness.whole(),), note=note)
