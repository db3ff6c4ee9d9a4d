"""Numbers of facts as a reader sees them: the glossary's unit, rounded with the uncertainty."""

import math

from partingline.model import Fact, Interval, Key, Number, Sense, Statement, Text, Value
from partingline.sources import quantities

THIN, MINUS = "\u202f", "\u2212"
LOWEST_MAINS = 60.0
"""V: what feeds a unit with less is a supply of direct current, and no mains (ES1 ends there)."""
_PREFIXED = {"F", "H", "Ω", "A", "V", "W", "Hz", "s", "bit/s"}
_OWN_PREFIX = {"Ω", "bit/s"}
"""Units of which people always write 1 to 1000: `480 Mbit/s`, `142 mΩ`."""
_PREFIXES = (
    (1e9, "G"),
    (1e6, "M"),
    (1e3, "k"),
    (1.0, ""),
    (1e-3, "m"),
    (1e-6, "µ"),
    (1e-9, "n"),
    (1e-12, "p"),
)


def show_fact(fact: Fact) -> str:
    """The preferred value of a fact with its standard uncertainty and unit."""
    return show_statement(fact.preferred, fact.u)


def show_statement(statement: Statement, u: float | None = None) -> str:
    """A statement's value in its sense: `≥ 3.25 A`, `82 µF ± 20 %`, `100–240 V`, `90.6 ± 0.3 %`."""
    value, quantity = statement.value, statement.key.quantity
    if isinstance(value, Number) and statement.sense is Sense.NOMINAL:
        width = sum(abs(c.width) for c in value.components)
        class_ = f" ±{THIN}{width / value.value * 100:.3g}{THIN}%" if width and value.value else ""
        return show_value(value.value, quantity) + class_
    return show(value, quantity, u)


def show(value: Value, quantity: str, u: float | None = None) -> str:
    """Any value of a quantity as text."""
    if isinstance(value, Text):
        return value.text
    if isinstance(value, Interval):
        number, unit = split(value.high, quantity)
        low, _ = split(value.low, quantity, unit=unit)
        return number + THIN + unit if low == number else f"{low}–{number}{THIN}{unit}"
    return show_value(value.value, quantity, value.u if u is None else u)


def show_value(value: float, quantity: str, u: float = 0.0) -> str:
    """A number of a quantity with unit, and `± u` where it has one: `148 ± 4 mW`."""
    number, unit = split(value, quantity)
    if not u or not math.isfinite(value) or not math.isfinite(u):
        return (number + THIN + unit).rstrip(THIN)
    number, spread, unit = split_u(value, u, quantity)
    return f"{number} ± {spread}{THIN}{unit}".rstrip(THIN)


def split(value: float, quantity: str, unit: str = "") -> tuple[str, str]:
    """Four significant digits and the unit, apart; `unit` forces the shown unit."""
    scale, shown = _scale(value, quantity, unit)
    return _plain(value * scale), shown


def split_u(value: float, u: float, quantity: str) -> tuple[str, str, str]:
    """Value, standard uncertainty and unit, apart and rounded together (JCGM 100:2008, 7.2.6).

    The uncertainty keeps two digits where they start below 3.55, one above: it is never rounded by more than 15 %.
    """
    scale, shown = _scale(max(abs(value), u) if value else 0.0, quantity, "")
    places = _places(u * scale)
    return f"{_round(value * scale, places)}", f"{_round(u * scale, places)}", shown


def condition_text(key: Key) -> str:
    """The conditions of a fact in words: `115 V mains, 20 V, 25 % load`."""
    parts: list[str] = []
    for name, value in key.at:
        if isinstance(value, str):
            parts.append(f"with {value}" if name == "with" else f"{name} {value}")
        elif name == "load":
            parts.append(f"{value * 100:g}{THIN}% load")
        else:
            unit = {"mains": "V mains", "offer": "V", "frequency": "Hz"}.get(name, "")
            unit = "V supply" if name == "mains" and value < LOWEST_MAINS else unit
            parts.append(f"{value:g}{THIN}{unit}" if unit else f"{name} {value:g}")
    return ", ".join(parts)


def subject_text(subject: str) -> str:
    """A subject as people name it: `C1`, `C1 + A1`, `C3`, `main barrier`."""
    kind, _, name = subject.partition(":")
    if kind in ("port", "part"):
        return name
    if kind == "ports":
        return " + ".join(sorted(name.split("+"), key=lambda port: (not port.startswith("C"), port)))
    return f"{name.replace('_', ' ')} {kind}" if name else kind


def key_text(key: Key) -> str:
    """A fact's name: subject, quantity and conditions."""
    quantity = quantities()[key.quantity].name if key.quantity in quantities() else key.quantity
    subject = "" if key.subject == "unit" else subject_text(key.subject) + " · "
    conditions = condition_text(key)
    return f"{subject}{quantity}" + (f", {conditions}" if conditions else "")


def _scale(value: float, quantity: str, unit: str) -> tuple[float, str]:
    known = quantities().get(quantity)
    if known is None:
        return 1.0, unit
    scale, shown = known.scale, {"1": "", "degC": "°C"}.get(known.shown, known.shown)
    size = abs(value * scale)
    if unit and unit != shown:
        prefix = unit.removesuffix(known.unit)
        return next(1 / factor for factor, name in _PREFIXES if name == prefix), unit
    prefixed = known.unit in _PREFIXED and shown.endswith(known.unit)
    low, high = (1.0, 999.95) if known.unit in _OWN_PREFIX else (0.1, 9999.5)
    if unit or not prefixed or size == 0 or low <= size < high or not math.isfinite(size):
        return scale, shown
    factor, prefix = next(((f, p) for f, p in _PREFIXES if abs(value) >= f * 0.99995), _PREFIXES[-1])
    return 1 / factor, prefix + known.unit


def _places(u: float) -> int:
    exponent = math.floor(math.log10(u))
    lead = u / 10**exponent
    return 1 - exponent if lead < 3.55 else (-exponent if lead < 9.5 else -exponent - 1)


def _round(value: float, places: int) -> str:
    return f"{round(value, places) + 0.0:.{max(0, places)}f}".replace("-", MINUS)


def _plain(value: float) -> str:
    text = f"{value:.4g}"
    if "e" in text:
        text = f"{value:.0f}" if abs(value) >= 1 else f"{value:.2g}"
    return f"{MINUS}{text[1:]}" if text.startswith("-") else text
