"""Code letters that several schemes share: tolerance, rated voltage."""

from partingline.readers.markings.types import Said

# IEC 60062 / EIA, fractions. W P L E from memory, the others from a secondary copy.
TOLERANCE = {
    "B": 0.001, "C": 0.0025, "D": 0.005, "F": 0.01, "G": 0.02, "H": 0.03, "J": 0.05, "K": 0.10, "M": 0.20,
    "N": 0.30, "W": 0.0005, "P": 0.0002, "L": 0.0001, "E": 0.00005,
}  # fmt: skip
TOLERANCE_FROM_MEMORY = "WPLE"
# Below 10 pF the same letters count in picofarads.
TOLERANCE_BELOW_10_PF = {"B": 0.1e-12, "C": 0.25e-12, "D": 0.5e-12, "F": 1e-12, "G": 2e-12}
ASYMMETRIC = {"Q": (-0.10, 0.30), "T": (-0.10, 0.50), "S": (-0.20, 0.50), "Z": (-0.20, 0.80)}

# JIS C 5101 / EIA voltage codes, V; from memory.
VOLTAGE = {
    "0G": 4.0, "0J": 6.3, "1A": 10.0, "1C": 16.0, "1E": 25.0, "1V": 35.0, "1H": 50.0, "1J": 63.0, "2A": 100.0,
    "2D": 200.0, "2E": 250.0, "2V": 350.0, "2G": 400.0, "2W": 450.0,
}  # fmt: skip
TANTALUM_VOLTAGE = {"G": 4.0, "J": 6.3, "A": 10.0, "C": 16.0, "D": 20.0, "E": 25.0, "V": 35.0, "T": 50.0}


def tolerance_band(letter: str) -> tuple[float, float] | None:
    """The tolerance of a letter as fractions (lower, upper), None for no such letter."""
    if letter in ASYMMETRIC:
        return ASYMMETRIC[letter]
    width = TOLERANCE.get(letter)
    return None if width is None else (-width, width)


def nominal(quantity: str, value: float, unit: str, letter: str = "") -> tuple[Said, ...] | None:
    """A value with its tolerance letter; None where the letter means nothing for that value."""
    if not letter:
        return (Said(quantity, value, unit),)
    if quantity == "capacitance" and value < 10e-12:
        return _small_capacitance(value, letter)
    band = tolerance_band(letter)
    if band is None:
        return None
    evidence = "M" if letter in TOLERANCE_FROM_MEMORY else ""
    low, high = (value * (1 + part) for part in band)
    tolerance = Said("tolerance", None if letter in ASYMMETRIC else band[1], "1", *band, evidence=evidence)
    return Said(quantity, value, unit, low, high), tolerance


def _small_capacitance(value: float, letter: str) -> tuple[Said, ...] | None:
    width = TOLERANCE_BELOW_10_PF.get(letter)
    if width is None:
        return None
    return (Said("capacitance", value, "F", value - width, value + width),)
