"""Part markings: every plausible reading of what is printed on a part.

What comes in: the text of a marking and, if known, the kind of part. What goes out: `Reading`s, each with the
scheme, its source and how well that is known; none is hidden because another is likelier.

    types.py      Said, Found, Reading, Scheme
    letters.py    tolerance and voltage letters that schemes share
    schemes/      one scheme, one file
    decoding.py   all schemes over one text, in order of plausibility
    wording.py    a reading in one line

A new scheme is one new file in `schemes/` with a `SCHEME`, and its name in `SCHEMES` below.
"""

from datetime import date

from partingline.readers.markings import decoding
from partingline.readers.markings.schemes import (
    capacitor_code,
    capacitor_rkm,
    capacitor_safety,
    date_iec60062,
    date_week,
    eia198_class1,
    eia198_class2,
    electrolytic,
    fuse,
    inductor_code,
    lithium_cell,
    mlcc_two_character,
    resistor_bands,
    resistor_digits,
    resistor_eia96,
    resistor_milli,
    resistor_plain,
    resistor_rkm,
    semiconductor,
    tantalum,
    thermistor,
    varistor,
)
from partingline.readers.markings.types import EVIDENCE, Found, Reading, Said, Scheme

SCHEMES: tuple[Scheme, ...] = (
    resistor_digits.SCHEME,
    resistor_rkm.SCHEME,
    resistor_eia96.SCHEME,
    resistor_milli.SCHEME,
    resistor_plain.SCHEME,
    resistor_bands.SCHEME,
    capacitor_code.SCHEME,
    capacitor_rkm.SCHEME,
    capacitor_safety.SCHEME,
    electrolytic.SCHEME,
    tantalum.SCHEME,
    mlcc_two_character.SCHEME,
    eia198_class1.SCHEME,
    eia198_class2.SCHEME,
    inductor_code.SCHEME,
    fuse.SCHEME,
    thermistor.SCHEME,
    varistor.SCHEME,
    lithium_cell.SCHEME,
    semiconductor.SCHEME,
    date_week.SCHEME,
    date_iec60062.SCHEME,
)

__all__ = ["EVIDENCE", "SCHEMES", "Found", "Reading", "Said", "Scheme", "decode_marking", "tried_schemes"]


def decode_marking(text: str, kind: str | None = None, *, not_after: date | None = None) -> tuple[Reading, ...]:
    """Every plausible reading of a marking, the most plausible one first.

    kind: the kind of part if known (`resistor`, `X capacitor`, `fuse`, ...): its readings come first.
    not_after: drops date codes that begin later, such as the day of purchase.
    Empty where no scheme fits; then `tried_schemes` has the sentence to show.
    """
    return decoding.decode(text, kind, not_after, SCHEMES)


def tried_schemes(text: str) -> str:
    """The sentence for a marking without a reading: which schemes were tried."""
    return decoding.tried(text, SCHEMES)
