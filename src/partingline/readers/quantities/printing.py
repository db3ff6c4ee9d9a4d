"""Quantities as text: the trade's prefix, the uncertainty rounded as the GUM asks, a thin space."""

import math
from decimal import ROUND_HALF_EVEN, Decimal

from partingline.readers.quantities.types import QuantityError
from partingline.readers.quantities.units import known_unit

THIN = "\u202f"
_MINUS = "\u2212"

# From which SI value on which shown unit is used: common practice of the trade, no source (0.47 µF, not 470
# nF; 4700 µF, not 4.7 mF; 0.25 W, but 75 mW; a spacing of 0.4 mm).
_SHOWN: dict[str, tuple[tuple[float, str], ...]] = {
    "F": ((1e-7, "µF"), (1e-9, "nF"), (0.0, "pF")),
    "H": ((1.0, "H"), (1e-3, "mH"), (1e-6, "µH"), (0.0, "nH")),
    "Ω": ((1e6, "MΩ"), (1e3, "kΩ"), (1.0, "Ω"), (0.0, "mΩ")),
    "V": ((1e4, "kV"), (1.0, "V"), (1e-3, "mV"), (0.0, "µV")),
    "A": ((1e-1, "A"), (1e-3, "mA"), (1e-6, "µA"), (0.0, "nA")),
    "W": ((1e3, "kW"), (1e-1, "W"), (1e-3, "mW"), (0.0, "µW")),
    "Hz": ((1e6, "MHz"), (1e3, "kHz"), (0.0, "Hz")),
    "s": ((1.0, "s"), (1e-3, "ms"), (1e-6, "µs"), (0.0, "ns")),
    "m": ((1.0, "m"), (1e-4, "mm"), (0.0, "µm")),
    "m²": ((1.0, "m²"), (1e-4, "cm²"), (0.0, "mm²")),
    "m³": ((1.0, "m³"), (1e-6, "cm³"), (0.0, "mm³")),
    "kg": ((1.0, "kg"), (1e-3, "g"), (0.0, "mg")),
    "J": ((1e3, "kJ"), (1.0, "J"), (1e-3, "mJ"), (0.0, "µJ")),
    "C": ((3.6, "mAh"), (1e-3, "mC"), (1e-6, "µC"), (0.0, "nC")),
    "T": ((1.0, "T"), (0.0, "mT")),
    "Wb": ((1e-3, "mWb"), (0.0, "µWb")),
    "degC": ((0.0, "°C"),),
    "degree": ((0.0, "°"),),
    "W/m³": ((0.0, "W/cm³"),),
    "kg/m³": ((0.0, "g/cm³"),),
    "1/K": ((0.0, "ppm/K"),),
    "V/s": ((0.0, "V/µs"),),
    "A/s": ((0.0, "A/µs"),),
}


def format_quantity(
    value: float, unit: str, u: float | None = None, *, shown: str | None = None, digits: int = 6
) -> str:
    """A value in `unit` as text, with its standard uncertainty: `25.80 ± 0.30 µF`.

    u: standard uncertainty in `unit`, printed with two significant digits and the value to the same decimal
    place (JCGM 100:2008, 7.2.6). shown: the unit to print; without it the trade's habit chooses the prefix.
    digits: significant digits of a value that has no uncertainty; trailing zeros are dropped.
    Raises QuantityError for an unknown unit, another dimension, or a value that is not finite.
    """
    if not math.isfinite(value) or (u is not None and not (math.isfinite(u) and u >= 0)):
        raise QuantityError(f"Cannot print {value!r} ± {u!r}: expected finite numbers, the uncertainty not negative.")
    source = known_unit(unit)
    si = value * source.factor + source.offset
    name = shown or _habit(si, source.si, digits, unit)
    target = known_unit(name)
    if target.si != source.si:
        raise QuantityError(f"Cannot print {unit} as {name}: not the same dimension.")
    number = value if name == unit else (si - target.offset) / target.factor
    if not u:
        return _with_unit(_plain(number, digits), name)
    place = u * source.factor / target.factor
    return _with_unit(_to_place(number, place), name)


def _habit(si: float, unit: str, digits: int, asked: str) -> str:
    steps = _SHOWN.get(unit)
    if steps is None:
        return asked
    size = float(f"{abs(si):.{digits - 1}e}")
    if size == 0:
        return next((name for least, name in steps if least <= 1.0), steps[-1][1])
    return next(name for least, name in steps if size >= least)


def _plain(number: float, digits: int) -> str:
    rounded = Decimal(f"{number:.{digits - 1}e}").normalize()
    return _grouped(f"{rounded + 0:f}")


def _to_place(number: float, u: float) -> str:
    """Value and uncertainty, both to the second significant digit of the uncertainty."""
    shortest = Decimal(repr(u))
    exponent = shortest.adjusted() - 1
    if shortest.quantize(Decimal(1).scaleb(exponent), ROUND_HALF_EVEN).adjusted() > shortest.adjusted():
        exponent += 1
    place = Decimal(1).scaleb(exponent)
    written = [f"{Decimal(repr(one)).quantize(place, ROUND_HALF_EVEN):f}" for one in (number, u)]
    return " ± ".join(_grouped(one) for one in written)


def _grouped(number: str) -> str:
    """Five and more digits before the point in groups of three (SI Brochure, 5.4.4); a true minus sign."""
    sign = _MINUS if number.startswith("-") and number.strip("-0.") else ""
    whole, point, fraction = number.lstrip("-").partition(".")
    if len(whole) > 4:
        whole = f"{int(whole):,}".replace(",", THIN)
    return f"{sign}{whole}{point}{fraction}"


def _with_unit(number: str, name: str) -> str:
    if name == "1":
        return number
    return f"{number}{name}" if name == "°" else f"{number}{THIN}{name}"
