"""How instruments and people head the columns of a log: words by what they tell. English and German; trade habit
(common practice, no source). The names of the glossary are tried first; these words are for the abbreviations.
"""

LOGGABLE = (
    "input_power", "input_voltage", "input_current", "power_factor", "mains_frequency", "port_voltage",
    "output_current", "output_power", "surface_temperature", "ambient_temperature", "part_temperature",
)  # fmt: skip
"""Quantities that a log column can hold."""

DIMENSION_WORDS = {
    "W": {"p", "power", "watt", "watts", "leistung", "wirkleistung", "active"},
    "V": {"v", "u", "volt", "volts", "voltage", "spannung", "vbus", "ubus"},
    "A": {"i", "current", "curr", "amp", "amps", "strom", "ibus"},
    "degC": {"t", "temp", "temperature", "temperatur", "tc", "thermocouple", "tk"},
    "1": {"pf", "lambda", "λ", "cosphi", "powerfactor", "leistungsfaktor"},
    "Hz": {"f", "freq", "frequency", "frequenz"},
}
"""SI unit -> words that name it."""

INPUT_WORDS = {
    "in", "input", "inp", "ac", "mains", "line", "primary", "pri", "prim", "source", "src", "supply", "wall",
    "grid", "netz", "eingang", "ein", "rms",
}  # fmt: skip
OUTPUT_WORDS = {
    "out", "output", "outp", "dc", "bus", "vbus", "ubus", "ibus", "load", "port", "usb", "secondary", "sec",
    "sink", "eload", "ausgang", "aus", "last", "o",
}  # fmt: skip
AMBIENT_WORDS = {"amb", "ambient", "room", "air", "ta", "raum", "luft", "umgebung", "env", "chamber"}
FACE_WORDS = {
    "case", "surface", "face", "housing", "skin", "shell", "enclosure", "gehäuse", "oberfläche", "hotspot", "ch",
    "channel", "kanal", "probe", "sensor",
}  # fmt: skip
NOT_MEASURED = {
    "set", "setpoint", "setting", "soll", "sollwert", "target", "limit", "lim", "range", "bereich", "prog",
    "programmed", "max", "min", "peak", "pk", "pp", "thd", "crest", "cf", "std", "sigma", "cj", "junction",
    "internal", "apparent", "reactive", "ripple", "eff", "efficiency", "loss", "error", "err",
}  # fmt: skip
"""Words of settings, extremes and derived values: such a column is not the reading itself."""

TIME_WORDS = {
    "time", "timestamp", "datetime", "date", "elapsed", "zeit", "datum", "uhrzeit", "zeitstempel", "clock",
    "epoch", "stamp", "laufzeit", "seconds", "sec", "sekunden", "utc", "unixtime", "unix",
}  # fmt: skip

HEADER_UNITS = {
    "V", "mV", "kV", "A", "mA", "uA", "µA", "W", "mW", "kW", "C", "degC", "°C", "K", "s", "ms", "us", "min", "h",
    "Hz", "kHz", "VA", "var", "Wh", "mWh", "Ah", "mAh", "Ω", "pct",
}  # fmt: skip
"""Units that may stand at the end of a header without brackets (`Vout_mV`); longer lists would take names for units."""
