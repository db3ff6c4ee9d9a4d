"""The unit table: symbols and spellings of the trade, prefixes, dimensions."""

import difflib
from dataclasses import dataclass
from functools import lru_cache

from partingline.readers.quantities.spellings import (
    BASES,
    DIMENSIONS,
    PREFIXES,
    SHOUTED,
    SUPERSCRIPTS,
)
from partingline.readers.quantities.types import QuantityError


@dataclass(frozen=True, slots=True)
class Unit:
    """`si_value = number * factor + offset`, in the unit `si`; `note` tells what was assumed."""

    si: str
    factor: float
    offset: float = 0.0
    note: str = ""


def dimension_of(unit: str) -> str:
    """The dimension of a unit: `dimension_of('mΩ') == 'resistance'`.

    Raises QuantityError for an unknown unit.
    """
    return DIMENSIONS[known_unit(unit).si]


def convert(value: float, unit: str, to: str) -> float:
    """A value in another unit of the same dimension: `convert(36000, 'C', 'mAh') == 10000`.

    Raises QuantityError for an unknown unit or different dimensions.
    """
    source, target = known_unit(unit), known_unit(to)
    if source.si != target.si:
        said = f"{unit} is a {DIMENSIONS[source.si]}, {to} a {DIMENSIONS[target.si]}"
        raise QuantityError(f"{said}: expected two units of one dimension.")
    if source == target:
        return value
    return (value * source.factor + source.offset - target.offset) / target.factor


def known_unit(text: str) -> Unit:
    """The unit that a program names; unlike in people's text, `C` is the coulomb here.

    Raises QuantityError with a 'did you mean' for an unknown one.
    """
    unit = Unit(text, 1.0) if text in DIMENSIONS else find_unit(text)
    if unit is None:
        raise QuantityError(unknown_unit(text))
    return unit


def unknown_unit(text: str) -> str:
    """The sentence for a unit that is not in the table."""
    said = f"Unknown unit {text!r}: expected one such as V, mA, µF, kΩ, °C or W/cm³."
    near = difflib.get_close_matches(text, _spellings(), n=3, cutoff=0.6)
    return f"{said} Did you mean {' or '.join(near)}?" if near else said


@lru_cache(maxsize=1)
def _spellings() -> tuple[str, ...]:
    common = [p + b for b in ("V", "A", "W", "F", "H", "Hz", "Ω", "s") for p in ("p", "n", "µ", "u", "m", "k", "M")]
    return tuple(BASES) + tuple(spelling for spelling in common if find_unit(spelling))


@lru_cache(maxsize=4096)
def find_unit(text: str) -> Unit | None:
    """The unit of a spelling, None where there is none: `find_unit('mΩ') == Unit('Ω', 1e-3)`."""
    simple = _simple(text)
    if simple is not None or len(text) < 2:
        return simple
    return _composite(text)


def _simple(text: str) -> Unit | None:
    """One symbol with at most one prefix."""
    if text in SHOUTED:
        meant = SHOUTED[text]
        unit = _simple(meant)
        assert unit is not None
        return Unit(unit.si, unit.factor, unit.offset, f"'{text}' was read as {meant}.")
    base = BASES.get(text)
    if base is not None:
        return Unit(base.si, base.factor, base.offset, base.note)
    for prefix, factor in PREFIXES.items():
        base = BASES.get(text[len(prefix) :]) if text.startswith(prefix) else None
        if base is not None and prefix in base.prefixes:
            return Unit(base.prefixed_si or base.si, base.factor * factor)
    return None


def _composite(text: str) -> Unit | None:
    """A product and quotient such as `W/cm³`, `ppm/K`: known where its SI form has a dimension."""
    top, slash, bottom = text.replace("*", "·").partition("/")
    if "/" in bottom or (slash and not bottom):
        return None
    over, under = _product(top), _product(bottom)
    if over is None or under is None:
        return None
    si = over[0] + (f"/{under[0]}" if under[0] else "")
    factor = float(f"{over[1] / under[1]:.15g}")  # (1e-2)**3 is not quite 1e-6
    return Unit(si, factor) if si in DIMENSIONS else None


def _product(text: str) -> tuple[str, float] | None:
    symbols, factor = "", 1.0
    for power in _powers(text):
        symbol, exponent = power
        unit = _simple(symbol)
        if unit is None:
            return None
        # A prefixed or a per-degree temperature is a difference: its offset has no meaning in a product.
        name = "K" if unit.si == "degC" else unit.si
        symbols += name + (SUPERSCRIPTS[exponent] if exponent > 1 else "")
        factor *= unit.factor**exponent
    return symbols, factor


def _powers(text: str) -> list[tuple[str, int]]:
    """`A²·s` -> [('A', 2), ('s', 1)]; a superscript also ends a symbol (`A²s`)."""
    powers: list[tuple[str, int]] = []
    for piece in text.replace("^", "").split("·") if text else []:
        symbol = ""
        for character in piece:
            exponent = "²³23".find(character)
            if exponent < 0:
                symbol += character
            else:
                powers.append((symbol, 2 + exponent % 2))
                symbol = ""
        if symbol:
            powers.append((symbol, 1))
    return powers
