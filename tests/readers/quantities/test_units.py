"""The unit table against pint, an independent general library, over every prefix and many units."""

import pint
import pytest

from partingline.readers.quantities import QuantityError, convert, dimension_of, find_unit

# our SI unit -> the pint expression for it
SI = {
    "V": "V", "A": "A", "W": "W", "VA": "V*A", "Ω": "ohm", "F": "F", "H": "H", "Hz": "Hz", "s": "s", "m": "m",
    "m²": "m**2", "m³": "m**3", "kg": "kg", "J": "J", "C": "coulomb", "T": "T", "Wb": "Wb", "N": "N",
    "Pa": "Pa", "W/m³": "W/m**3", "kg/m³": "kg/m**3", "1/K": "1/K", "K/W": "K/W", "V/s": "V/s",
    "A/s": "A/s", "A²s": "A**2*s", "W/m²": "W/m**2", "W/kg": "W/kg", "F/W": "F/W", "V/m": "V/m",
    "Ω/m": "ohm/m", "Ωm": "ohm*m", "W/mK": "W/m/K",
}  # fmt: skip
# our spelling -> pint's
SPELLED = {
    "min": "minute", "h": "hour", "in": "inch", "mil": "thou", "oz": "ounce", "lb": "pound", "ft": "foot",
    "mAh": "mA*hour", "Wh": "W*hour", "L": "liter", "cm³": "cm**3", "mm²": "mm**2", "in³": "inch**3",
    "W/cm³": "W/cm**3", "W/in³": "W/inch**3", "g/cm³": "g/cm**3", "ppm/K": "1e-6/K", "°C/W": "K/W",
    "kV/µs": "kV/microsecond", "A/µs": "A/microsecond", "A²s": "A**2*s", "mW/cm²": "mW/cm**2",
    "W/g": "W/g", "µF/W": "microfarad/W", "kV/mm": "kV/mm", "mΩ/m": "milliohm/m", "bar": "bar",
    "nC": "nanocoulomb", "µVs": "microvolt*s", "uF": "microfarad", "MFD": "microfarad",
    "KHZ": "kilohertz", "%/K": "0.01/K", "W/m·K": "W/m/K", "µΩcm": "microohm*cm", "var": "V*A", "l": "liter",
}  # fmt: skip
PREFIXES = {
    "p": "pico",
    "n": "nano",
    "µ": "micro",
    "u": "micro",
    "m": "milli",
    "k": "kilo",
    "M": "mega",
    "G": "giga",
}
NAMES = {"V": "volt", "A": "ampere", "W": "watt", "Ω": "ohm", "J": "joule", "VA": "volt_ampere"}


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry:
    return pint.UnitRegistry()


@pytest.mark.parametrize("name", list(SPELLED))
def test_spelling_against_pint(registry: pint.UnitRegistry, name: str) -> None:
    unit = find_unit(name)
    assert unit is not None
    expected = registry.parse_expression(SPELLED[name]).to(SI.get(unit.si, "V*A")).magnitude
    assert unit.factor == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("prefix", list(PREFIXES))
@pytest.mark.parametrize("symbol", list(NAMES))
def test_prefix_against_pint(registry: pint.UnitRegistry, prefix: str, symbol: str) -> None:
    unit = find_unit(prefix + symbol)
    assert unit is not None
    assert unit.si == symbol
    if prefix + symbol == "MA":  # in capitals on a label: never megaamperes (trade habit)
        prefix = "m"
    expected = registry.parse_expression(PREFIXES[prefix] + NAMES[symbol]).to_base_units().magnitude
    base = registry.parse_expression(NAMES[symbol]).to_base_units().magnitude
    assert unit.factor == pytest.approx(expected / base, rel=1e-12)


@pytest.mark.parametrize("fahrenheit", [-40.0, 32.0, 77.0, 212.0])
def test_fahrenheit_against_pint(registry: pint.UnitRegistry, fahrenheit: float) -> None:
    expected = registry.Quantity(fahrenheit, "degF").to("degC").magnitude
    assert convert(fahrenheit, "°F", "degC") == pytest.approx(expected, abs=1e-9)
    assert convert(expected, "degC", "°F") == pytest.approx(fahrenheit, abs=1e-9)


def test_c_is_the_coulomb_for_programs_and_celsius_for_people() -> None:
    assert convert(36000.0, "C", "mAh") == pytest.approx(10000.0)
    people = find_unit("C")
    assert people is not None
    assert people.si == "degC"


def test_dimensions() -> None:
    assert dimension_of("mΩ") == "resistance"
    assert dimension_of("W/cm³") == "power density"
    with pytest.raises(QuantityError, match="Did you mean"):
        dimension_of("uFF")
    with pytest.raises(QuantityError, match="a current"):
        convert(1.0, "V", "A")


@pytest.mark.parametrize("name", ["", "xyz", "V/V/V", "kmin", "µ", "mm⁴", "W/", "Vm", "mdegC"])
def test_no_such_unit(name: str) -> None:
    assert find_unit(name) is None
