"""Unit symbols and spellings, prefixes and dimensions, as tables.

Sources: SI Brochure, 9th edition (symbols, prefixes, units accepted with the SI); the inch and the ounce by
the international yard and pound agreement of 1959; the other spellings are trade habit (common practice, no
source).
"""

from dataclasses import dataclass

PREFIXES = {
    "f": 1e-15, "p": 1e-12, "n": 1e-9, "µ": 1e-6, "μ": 1e-6, "u": 1e-6, "m": 1e-3, "c": 1e-2, "d": 1e-1,
    "k": 1e3, "K": 1e3, "M": 1e6, "G": 1e9, "T": 1e12,
}  # fmt: skip
SUPERSCRIPTS = {2: "²", 3: "³"}

_ALL = ("f", "p", "n", "µ", "μ", "u", "m", "k", "K", "M", "G", "T")
_UP = ("k", "K", "M", "G", "T")
_SMALL = ("f", "p", "n", "µ", "μ", "u", "m")
_METRE = ("n", "µ", "μ", "u", "m", "c", "d", "k")
_GRAM = ("µ", "μ", "u", "m", "k", "K")


@dataclass(frozen=True, slots=True)
class Base:
    """A unit without prefix; `prefixed_si` where a prefix changes the meaning (C is °C, but µC a charge)."""

    si: str
    factor: float = 1.0
    offset: float = 0.0
    prefixes: tuple[str, ...] = ()
    prefixed_si: str = ""
    note: str = ""


_CELSIUS = ("degC", "°C", "℃", "ºC", "deg C", "° C", "Celsius", "celsius")
_TABLE: tuple[tuple[tuple[str, ...], Base], ...] = (
    (("V", "v", "Volt", "Volts", "volt", "volts"), Base("V", prefixes=_ALL)),
    (("A", "a", "Amp", "Amps", "amp", "amps", "Ampere", "ampere", "amperes"), Base("A", prefixes=_ALL)),
    (("W", "w", "Watt", "Watts", "watt", "watts"), Base("W", prefixes=_ALL)),
    (("VA", "va"), Base("VA", prefixes=_ALL)),
    (("var", "VAr", "VAR", "Var"), Base("var", prefixes=_ALL)),
    (("Ω", "Ω", "ohm", "ohms", "Ohm", "Ohms", "OHM", "OHMS", "R"), Base("Ω", prefixes=_ALL)),
    (("F", "farad", "Farad"), Base("F", prefixes=_SMALL)),
    (("H", "henry", "Henry"), Base("H", prefixes=_SMALL)),
    (("Hz", "hz", "HZ", "hertz", "Hertz"), Base("Hz", prefixes=("m", *_UP))),
    (("s", "sec", "secs", "second", "seconds", "Sekunden"), Base("s", prefixes=_SMALL)),
    (("min", "mins", "minute", "minutes", "Min", "Minuten"), Base("s", 60.0)),
    (("h", "hr", "hrs", "hour", "hours", "Std", "Stunden"), Base("s", 3600.0, prefixes=("k",))),
    (("m", "metre", "metres", "meter", "meters"), Base("m", prefixes=_METRE)),
    (("in", "inch", "inches", '"', "″"), Base("m", 0.0254)),
    (("mil", "mils"), Base("m", 2.54e-5)),
    (("ft", "feet", "foot"), Base("m", 0.3048)),
    (("g", "gram", "grams", "gramme", "grammes", "gm", "Gramm"), Base("kg", 1e-3, prefixes=_GRAM)),
    (("oz", "ounce", "ounces"), Base("kg", 0.028349523125)),
    (("lb", "lbs", "pound", "pounds"), Base("kg", 0.45359237)),
    (("L", "l", "litre", "litres", "liter", "liters"), Base("m³", 1e-3, prefixes=("µ", "u", "m", "c"))),
    (_CELSIUS, Base("degC")),
    (("C",), Base("degC", prefixes=_SMALL, prefixed_si="C", note="'C' was read as degrees Celsius.")),
    (("°F", "℉", "ºF", "degF", "deg F"), Base("degC", 5 / 9, -160 / 9)),
    (("K", "kelvin", "Kelvin"), Base("K", prefixes=("m",))),
    (("J", "joule", "joules", "Joule"), Base("J", prefixes=_ALL)),
    (("Wh", "WH", "wh"), Base("J", 3600.0, prefixes=("µ", "μ", "u", "m", *_UP))),
    (("coulomb", "Coulomb"), Base("C")),
    (("Ah", "AH", "ah"), Base("C", 3600.0, prefixes=("µ", "μ", "u", "m", "k"))),
    (("%", "%", "percent", "per cent", "pct", "Prozent"), Base("1", 1e-2)),
    (("‰",), Base("1", 1e-3)),
    (("ppm", "PPM"), Base("1", 1e-6)),
    (("1",), Base("1")),
    (("T", "tesla"), Base("T", prefixes=_SMALL)),
    (("Wb",), Base("Wb", prefixes=_SMALL)),
    (("Vs", "V·s"), Base("Wb", prefixes=_SMALL)),
    (("N", "newton"), Base("N", prefixes=("µ", "μ", "u", "m", "k"))),
    (("Pa",), Base("Pa", prefixes=("m", "h", "k", "M", "G"))),
    (("bar",), Base("Pa", 1e5, prefixes=("m",))),
    (("bit/s", "bps", "b/s"), Base("bit/s", prefixes=_UP)),
    (("Bd", "baud"), Base("Bd", prefixes=_UP)),
    (("°", "deg", "degree", "degrees"), Base("degree")),
    (("rad",), Base("degree", 57.29577951308232, prefixes=("m",))),
    (("A²s", "A2s", "A^2s"), Base("A²s")),
    (("W/mK", "W/(m·K)", "W/(mK)", "W/m-K"), Base("W/mK")),
    (("Ωcm", "ohmcm", "ohm-cm"), Base("Ωm", 1e-2, prefixes=("µ", "μ", "u", "m"))),
    (("cd",), Base("cd")),
    (("lx",), Base("lx", prefixes=("k",))),
)  # fmt: skip

BASES: dict[str, Base] = {spelling: base for spellings, base in _TABLE for spelling in spellings}

# Labels are often set in capitals: in this trade these are never mega-units or megametres.
SHOUTED = {
    "UF": "µF", "MFD": "µF", "mfd": "µF", "µfd": "µF", "NF": "nF", "PF": "pF", "UH": "µH", "MH": "mH",
    "NH": "nH", "MA": "mA", "ma": "mA", "MAH": "mAh", "mAH": "mAh", "mah": "mAh", "MM": "mm", "CM": "cm",
    "KG": "kg", "Kg": "kg", "KHZ": "kHz", "khz": "kHz", "Khz": "kHz", "MHZ": "MHz", "MSEC": "ms",
    "US": "µs", "MS": "ms", "KV": "kV", "kv": "kV", "mv": "mV", "KVA": "kVA", "mw": "mW", "kw": "kW",
    "KW": "kW", "KWH": "kWh", "UA": "µA", "ua": "µA", "uf": "µF", "nf": "nF", "pf": "pF", "uh": "µH",
    "mh": "mH", "nh": "nH", "msec": "ms", "usec": "µs",
}  # fmt: skip

# The dimension of every SI unit that this reader writes; a composite unit is known where its SI form is
# listed.
DIMENSIONS = {
    "1": "ratio", "V": "voltage", "A": "current", "W": "power", "VA": "apparent power",
    "var": "reactive power", "Ω": "resistance", "F": "capacitance", "H": "inductance", "Hz": "frequency",
    "s": "time", "m": "length", "m²": "area", "m³": "volume", "kg": "mass", "degC": "temperature",
    "K": "temperature difference", "J": "energy", "C": "charge", "T": "flux density", "Wb": "flux",
    "N": "force", "Pa": "pressure", "bit/s": "data rate", "Bd": "symbol rate", "degree": "angle",
    "cd": "luminous intensity", "lx": "illuminance", "A²s": "joule integral", "W/m³": "power density",
    "W/m²": "heat flux density", "W/kg": "specific power", "kg/m³": "density",
    "1/K": "temperature coefficient", "V/K": "voltage temperature coefficient",
    "K/W": "thermal resistance", "W/K": "thermal conductance", "W/mK": "thermal conductivity",
    "V/s": "voltage slew rate", "A/s": "current slew rate", "V/m": "field strength",
    "A/m²": "current density", "F/W": "capacitance per power", "Ω/m": "resistance per length",
    "Ωm": "resistivity", "K/s": "heating rate", "J/K": "heat capacity",
}  # fmt: skip
