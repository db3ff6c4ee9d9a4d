"""Power banks: what comes out of the cells, and what it takes to fill them."""

from partingline.calc.declare import Example, Real, calculation
from partingline.sources import cite


@calculation(
    source=cite("algebra", "energy delivered over energy printed", "C"),
    units={"delivered_energy": "J", "rated_energy": "J"},
    gives="1",
    example=Example(
        {"delivered_energy": 115200.0, "rated_energy": 133200.0}, 0.8649, 1e-3, "32 Wh of 37 Wh", outside=False
    ),
    no_outside="a definition",
)
def conversion_efficiency(*, delivered_energy: Real, rated_energy: Real) -> Real:
    """The share of the printed energy that a port gives from full to cut-off."""
    return delivered_energy / rated_energy


@calculation(
    source=cite("algebra", "energy delivered over energy taken", "C"),
    units={"delivered_energy": "J", "recharge_energy": "J"},
    gives="1",
    example=Example(
        {"delivered_energy": 115200.0, "recharge_energy": 151200.0}, 0.7619, 1e-3, "32 Wh for 42 Wh", outside=False
    ),
    no_outside="a definition",
)
def storage_efficiency(*, delivered_energy: Real, recharge_energy: Real) -> Real:
    """The share of the energy taken to recharge that a port gives back."""
    return delivered_energy / recharge_energy


@calculation(
    source=cite("algebra", "charge times nominal cell voltage", "C"),
    units={"capacity": "C", "cell_voltage": "V"},
    gives="J",
    example=Example({"capacity": 36000.0, "cell_voltage": 3.7}, 133200.0, 1e-9, "10 Ah at 3.7 V: 37 Wh", outside=False),
    no_outside="a definition",
)
def cell_energy(*, capacity: Real, cell_voltage: Real) -> Real:
    """The energy behind a printed capacity of cells; 3.6 V to 3.85 V are usual nominal voltages."""
    return capacity * cell_voltage
