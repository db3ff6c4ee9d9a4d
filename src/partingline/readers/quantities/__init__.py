"""Numbers and quantities as people write them.

What comes in: text such as `47 µF`, `4R7`, `100-240 V~`, `25.8(3) µF`, `up to 94 %`. What goes out: a
`Quantity` in SI units with its uncertainty or interval, and the way back, `format_quantity`.

    units.py     the unit table: spellings, prefixes, dimensions
    numbers.py   decimal points, decimal commas and thousands separators
    forms.py     the small grammars inside a quantity: qualifiers, units with their form, tolerances
    reading.py   a quantity in a text: `parse_quantity` for a whole text, `find_quantities` for running text
    complaints.py what is said when a text is no quantity
    printing.py  `format_quantity`

Temperatures are kept in degrees Celsius (`degC`), temperature differences in kelvin (`K`), ratios as
fractions of 1.
"""

from partingline.readers.quantities.printing import format_quantity
from partingline.readers.quantities.reading import find_quantities, match_quantity, parse_quantity
from partingline.readers.quantities.types import (
    AmbiguousQuantity,
    FoundQuantity,
    Quantity,
    QuantityError,
    Sense,
)
from partingline.readers.quantities.units import Unit, convert, dimension_of, find_unit

__all__ = [
    "AmbiguousQuantity",
    "FoundQuantity",
    "Quantity",
    "QuantityError",
    "Sense",
    "Unit",
    "convert",
    "dimension_of",
    "find_quantities",
    "find_unit",
    "format_quantity",
    "match_quantity",
    "parse_quantity",
]
