"""Copper loss of windings at the frequencies of their current: layers, proximity, harmonics."""

import numpy as np

from partingline.calc.declare import Example, Real, calculation
from partingline.calc.numbers import plain
from partingline.sources import cite

RESISTIVITY = 1.724e-8
TEMPERATURE = 0.00393
MU_0 = 4e-7 * np.pi
HARMONICS = 30


@calculation(
    source=cite("from-memory", "skin depth of copper", "M"),
    units={"frequency": "Hz", "temperature": "degC"},
    gives="m",
    example=Example({"frequency": 100e3, "temperature": 100.0}, 0.24e-3, 0.01, "7.5 cm/sqrt(f) at 100 °C, from memory"),
)
def skin_depth(*, frequency: Real, temperature: Real = 20.0) -> Real:
    """The depth at which the current density in copper falls to 1/e."""
    resistivity = RESISTIVITY * (1 + TEMPERATURE * (temperature - 20.0))
    return plain(np.sqrt(resistivity / (np.pi * MU_0 * np.asarray(frequency))))


@calculation(
    source=cite("from-memory", "Dowell 1966; Erickson and Maksimovic, section 13.4", "M"),
    units={
        "thickness": "m", "layers": "1", "frequency": "Hz", "porosity": "1", "temperature": "degC",
    },
    gives="1",
    errata="Layers count from zero field on: interleaving halves them. Gap fringing is left out.",
    example=Example(
        {"thickness": 1e-6, "layers": 3.0, "frequency": 1e3, "porosity": 1.0, "temperature": 20.0},
        1.0, 1e-9, "direct current in the limit", outside=False,
    ),
    no_outside="held against the field equation solved numerically in layers, and against its limits",
)  # fmt: skip
def layer_factor(
    *, thickness: Real, layers: Real, frequency: Real, porosity: Real = 1.0, temperature: Real = 20.0
) -> Real:
    """AC over DC resistance of a winding of foil layers at one frequency.

    A round wire counts as a square of the same area: thickness 0.886 times its diameter, porosity the share of the
    layer's width that copper fills. `layers` are those of one portion, from zero field on.
    """
    depth = skin_depth(frequency=frequency, temperature=temperature)
    x = np.maximum(np.asarray(thickness * np.sqrt(porosity) / depth, dtype=float), 1e-3)
    x = np.minimum(x, 50.0)
    own = (np.sinh(2 * x) + np.sin(2 * x)) / (np.cosh(2 * x) - np.cos(2 * x))
    near = (np.sinh(x) - np.sin(x)) / (np.cosh(x) + np.cos(x))
    return plain(x * (own + 2 / 3 * (np.asarray(layers) ** 2 - 1) * near))


@calculation(
    source=cite("algebra", "Fourier series of a ramp that runs for a share of the period", "C"),
    units={"share": "1", "valley_ratio": "1"},
    gives="1",
    example=Example(
        {"share": 1.0, "valley_ratio": 1.0}, 0.0, 1e-9, "a steady current has no alternating part", outside=False
    ),
    no_outside="an identity; held against sampled waveforms",
)  # fmt: skip
def alternating_share(*, share: Real, valley_ratio: Real = 0.0) -> Real:
    """The part of the square of the RMS that alternates, for a current that runs straight between valley and peak."""
    ratio = np.asarray(valley_ratio, dtype=float)
    mean = share * (1 + ratio) / 2
    square = share * (1 + ratio + ratio**2) / 3
    return plain(1 - mean**2 / square)


@calculation(
    source=cite("algebra", "loss summed over harmonics", "C"),
    units={
        "share": "1", "edge_share": "1", "frequency": "Hz", "thickness": "m", "layers": "1", "porosity": "1",
        "temperature": "degC",
    },
    gives="1",
    example=Example(
        {
            "share": 0.4, "edge_share": 0.01, "frequency": 1.0, "thickness": 1e-4, "layers": 2.0,
            "porosity": 1.0, "temperature": 20.0,
        },
        1.0, 1e-2, "direct current in the limit", outside=False,
    ),
    no_outside="sum of `layer_factor` over a Fourier series; held against a sampled waveform",
)  # fmt: skip
def waveform_factor(
    *,
    share: Real,
    edge_share: Real,
    frequency: Real,
    thickness: Real,
    layers: Real,
    porosity: Real = 1.0,
    temperature: Real = 20.0,
) -> Real:
    """Loss of a triangular current over that of a direct current of the same RMS, 30 harmonics.

    The current rises from zero for a share of the period and falls within `edge_share` of it.
    """
    d, edge = np.asarray(share, dtype=float), np.maximum(np.asarray(edge_share, dtype=float), 1e-4)
    h = np.arange(1, HARMONICS + 1).reshape(-1, *([1] * max(d.ndim, edge.ndim, np.ndim(frequency))))
    # Second derivative of the waveform: three impulses, each turned by its place in the period.
    turn = 2j * np.pi * h
    impulses = 1 / d - (1 / d + 1 / edge) * np.exp(-turn * d) + np.exp(-turn * (d + edge)) / edge
    squares = 2 * np.abs(impulses / turn**2) ** 2
    factors = layer_factor(
        thickness=thickness,
        layers=layers,
        frequency=np.asarray(h * frequency, dtype=float),
        porosity=porosity,
        temperature=temperature,
    )
    total, mean = (d + edge) / 3, ((d + edge) / 2) ** 2
    rest = np.maximum(total - mean - squares.sum(axis=0), 0.0)
    loss = mean + np.sum(squares * factors, axis=0) + rest * np.asarray(factors)[-1]
    return plain(loss / total)
