"""A reading in one line."""

from partingline.readers.markings.types import Found, Said
from partingline.readers.quantities import format_quantity

_LABELS = {"breaking_capacity": "breaking capacity ", "rated_life": "life ", "cold_resistance": "at 25 °C "}
_SHOWN = {"rated_life": "h", "rated_capacity": "mAh", "rated_energy": "Wh"}
_AC = frozenset({"rated_ac_voltage"})


def one_line(found: Found) -> str:
    """`film capacitor: 0.1 µF, ±5 %, 100 V`."""
    name = found.variety if found.kind in found.variety else f"{found.variety} {found.kind}".strip()
    told = ", ".join(text for text in map(_said, found.said) if text)
    return f"{name}: {told}" if told else name


def _said(said: Said) -> str:
    if said.quantity == "tolerance":
        return _tolerance(said)
    if said.value is None and said.low is None:
        text = said.words
    elif said.quantity == "temperature_coefficient":
        text = _coefficient(said)
    elif said.value is None:
        text = _interval(said)
    else:
        text = _value(said)
    condition = f" ({said.condition})" if said.condition else ""
    return f"{_LABELS.get(said.quantity, '')}{text}{condition}"


def _value(said: Said) -> str:
    if said.quantity == "resistance" and said.value == 0:
        return "0 Ω (jumper)"
    shown = _SHOWN.get(said.quantity)
    return format_quantity(said.value or 0.0, said.unit, shown=shown) + ("~" if said.quantity in _AC else "")


def _interval(said: Said) -> str:
    shown = "%" if said.unit == "1" else None
    low, high = said.low or 0.0, said.high or 0.0
    if low == -high:
        return f"±{format_quantity(high, said.unit, shown=shown)}"
    return " to ".join(format_quantity(end, said.unit, shown=shown) for end in (low, high))


def _coefficient(said: Said) -> str:
    width = format_quantity(((said.high or 0.0) - (said.low or 0.0)) / 2, said.unit, shown="ppm/K")
    centre = round((said.value or 0.0) * 1e6)
    return f"±{width}" if not centre else f"{centre:d} ±{width}".replace("-", "\u2212")


def _tolerance(said: Said) -> str:
    low, high = (said.low or 0.0) * 100, (said.high or 0.0) * 100
    if said.value is not None:
        return f"±{high:g}\u202f%"
    return f"{low:+g}/{high:+g}\u202f%".replace("-", "\u2212")
