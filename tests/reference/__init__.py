"""Reference values with their sources, and the calculation or reader that each name stands for."""

from collections.abc import Callable
from typing import Any

from tests.reference.energy_values import ENERGY
from tests.reference.mains_values import MAINS
from tests.reference.marking_values import MARKINGS
from tests.reference.metrology_values import METROLOGY
from tests.reference.part_values import PARTS
from tests.reference.spacing_values import SPACING

Adapter = Callable[[dict[str, Any]], Any]

ADAPTERS: dict[str, Adapter] = {**ENERGY, **SPACING, **PARTS, **MAINS, **METROLOGY, **MARKINGS}
"""From the name of a reference value to a function of its inputs, in the units of the file."""
