"""What is said when a text cannot be read as a quantity: what was expected, with an example."""

from partingline.readers.quantities.forms import match_qualifier
from partingline.readers.quantities.numbers import read_number
from partingline.readers.quantities.spellings import DIMENSIONS
from partingline.readers.quantities.types import FoundQuantity, Quantity
from partingline.readers.quantities.units import known_unit, unknown_unit

_EXAMPLES = {
    "capacitance": "47 µF", "resistance": "4R7", "voltage": "100–240 V~", "current": "2.5 A", "power": "65 W",
    "temperature": "38 °C", "time": "12 min", "length": "4.31 mm", "mass": "118 g", "ratio": "94 %",
}  # fmt: skip


def why_not(text: str, unit: str | None) -> str:
    """Why a text is no quantity."""
    expected = known_unit(unit) if unit else None
    example = _EXAMPLES.get(DIMENSIONS[expected.si], "47 µF") if expected else "47 µF"
    _, _, position = match_qualifier(text, 0)
    number = read_number(text, position)
    rest = text[number.end :].strip() if number else ""
    if not rest:
        wanted = "a unit behind the number" if number else "a number with a unit"
        return f"Cannot read {text!r} as a quantity: expected {wanted}, such as {example}."
    return f"Cannot read {text!r} as a quantity such as {example}. {unknown_unit(rest.split()[0])}"


def left_over(text: str, found: FoundQuantity) -> str:
    """What stands behind a quantity and could not be read."""
    read, rest = text[: found.end], text[found.end :].strip()
    return f"Cannot read {rest!r} behind {read!r}: expected one quantity alone, such as {read.strip()}."


def other_dimension(text: str, reading: Quantity, unit: str) -> str:
    """A quantity of another dimension than the expected one."""
    dimension = DIMENSIONS[known_unit(unit).si]
    example = _EXAMPLES.get(dimension, f"1 {unit}")
    return f"{text!r} is a {DIMENSIONS[reading.unit]}: expected a {dimension}, such as {example}."
