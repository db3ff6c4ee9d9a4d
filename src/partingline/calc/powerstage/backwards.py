"""What a flyback with given unknowns would show on the bench: the model that `infer` turns round."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from partingline.calc.declare import Real
from partingline.calc.numbers import Array
from partingline.calc.powerstage.budget import Parts, converter_losses, input_losses, mean_losses
from partingline.calc.powerstage.bulk_average import averaged, bulk_wave
from partingline.calc.powerstage.control import Controller, run
from partingline.calc.powerstage.infer import Measured, Model, Prior
from partingline.calc.powerstage.stage import Flyback

MODEL_ERROR = {"frequency": 0.02, "loss": 0.15, "ripple": 0.10}
"""Relative standard uncertainty of the model by kind of reading. Frequency: what leakage and loss do to the lossless
cycle at a typical point of our reference grid; loss and ripple: our judgement."""
LOSS_FLOOR = 0.01
"""Share of the largest output power that the loss may be off at any point: the clamp at light load, where on the drain
ring a clock turns on, the core outside the range of its coefficients."""
KINDS = ("frequency", "loss", "ripple")
OWN_SHARE = 0.5
"""Share of the model's error that differs from point to point; the rest is common to a kind."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One measurement: `frequency` (Hz), `loss` (W) or `ripple` (V), with its standard uncertainty and conditions.

    `input_power` sets the bulk ripple; `output_current` is what the converter delivers at `output_voltage`.
    """

    kind: str
    value: float
    u: float
    mains_voltage: float
    mains_frequency: float
    output_voltage: float
    output_current: float
    input_power: float

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise ValueError(f"a reading of kind '{self.kind}': expected frequency, loss or ripple")

    @property
    def conditions(self) -> tuple[float, ...]:
        """What the reading was taken at."""
        return self.mains_voltage, self.mains_frequency, self.output_voltage, self.output_current, self.input_power


@dataclass(frozen=True)
class Conditions:
    """Where readings were taken: columns of shape (conditions, 1) in V, Hz, V, A and W."""

    mains_voltage: Array
    mains_frequency: Array
    output_voltage: Array
    output_current: Array
    input_power: Array


@dataclass(frozen=True)
class Known:
    """What is not inferred: stage and parts (estimates or draws), controller, bulk capacitance in F."""

    stage: Flyback
    parts: Parts
    controller: Controller
    bulk_capacitance: Real


def trade_priors(*, output_voltage: float, output_power: float, core_area: float) -> dict[str, Prior]:
    """Priors of a mains flyback of a power with a core of an area: ranges of the trade, no source.

    The reflected voltage lies about 95 V; the drain node has 110 pF at 65 W and follows the power's root; the least
    turns carry 0.3 T at twice the mean of the peak current, and the inductance follows from 90 kHz.
    """
    ratio = 95.0 / output_voltage
    inductance = 0.5 * 65.0 / output_power * 500e-6
    windings = 0.8 * 65.0 / output_power * np.sqrt(90e-6 / core_area)
    return {
        "turns_ratio": Prior(ratio, 1.4),
        "magnetising_inductance": Prior(inductance, 1.8),
        "drain_capacitance": Prior(110e-12 * float(np.sqrt(output_power / 65.0)), 1.6),
        "winding_resistance": Prior(float(windings), 1.8),
        "leakage_share": Prior(0.008, 1.7),
        "core_scale": Prior(1.0, 1.8),
        "fixed_loss": Prior(0.45, 1.5),
    }


def flyback_model(known: Known, readings: Sequence[Reading]) -> Model:
    """The predictions of the readings for parameters named as in `trade_priors`.

    `winding_resistance` is that of both windings seen from the primary, half on each side; `leakage_share` of the
    magnetising inductance; `core_scale` multiplies the core loss; `fixed_loss` in W.
    """
    conditions = list(dict.fromkeys(reading.conditions for reading in readings))
    rows = np.array([conditions.index(reading.conditions) for reading in readings])
    kinds = np.array([KINDS.index(reading.kind) for reading in readings])
    columns = Conditions(*(np.array(column)[:, np.newaxis] for column in zip(*conditions, strict=True)))

    def model(parameters: Mapping[str, Array]) -> Array:
        stage, parts = stage_with(known, parameters)
        return np.asarray(shown(Known(stage, parts, known.controller, known.bulk_capacitance), columns)[kinds, rows])

    return model


def measured_with_model_error(readings: Sequence[Reading]) -> Measured:
    """The readings with a covariance of their own uncertainty and of the model's error, in part common by kind."""
    values = np.array([reading.value for reading in readings])
    power = max(reading.output_voltage * reading.output_current for reading in readings)
    floors = np.array([LOSS_FLOOR * power if reading.kind == "loss" else 0.0 for reading in readings])
    errors = np.hypot(np.array([MODEL_ERROR[reading.kind] for reading in readings]) * values, floors)
    alike = np.array([[float(a.kind == b.kind) for b in readings] for a in readings])
    shared = (1 - OWN_SHARE**2) * alike + OWN_SHARE**2 * np.eye(len(readings))
    own = np.diag([reading.u**2 for reading in readings])
    return Measured(values, np.asarray(np.outer(errors, errors) * shared + own, dtype=float))


def stage_with(known: Known, parameters: Mapping[str, Array]) -> tuple[Flyback, Parts]:
    """The stage and parts with the parameters put in."""
    ratio, inductance = parameters["turns_ratio"], parameters["magnetising_inductance"]
    windings = parameters["winding_resistance"]
    stage = known.stage.with_values(
        turns_ratio=ratio, magnetising_inductance=inductance, drain_capacitance=parameters["drain_capacitance"],
        leakage_inductance=parameters["leakage_share"] * inductance, primary_winding_resistance=0.5 * windings,
        secondary_winding_resistance=0.5 * windings / ratio**2,
    )  # fmt: skip
    return stage, replace(
        known.parts,
        core_bias=parameters["core_scale"] * known.parts.core_bias,
        controller_power=parameters["fixed_loss"],
    )


def shown(known: Known, at: Conditions) -> Array:
    """What the bench would read, shape (kinds, conditions, draws), the kinds as in `KINDS`.

    Fields of stage and parts are floats or of shape (draws,).
    """
    stage, parts = known.stage, known.parts
    wave = bulk_wave(
        power=at.input_power, capacitance=known.bulk_capacitance, mains_voltage=at.mains_voltage,
        mains_frequency=at.mains_frequency, bridge_drop=parts.bridge_drop,
    )  # fmt: skip
    cycle = run(
        stage, known.controller, bulk_voltage=wave.voltages, output_voltage=at.output_voltage,
        output_current=at.output_current, rounds=4,
    )  # fmt: skip
    losses = converter_losses(stage, parts, cycle, wave.voltages, at.output_voltage, at.output_current)
    items = mean_losses(losses, wave, input_losses(parts, wave, at.mains_voltage))
    swing = stage.output_esr * stage.turns_ratio * np.asarray(cycle.peak_current)
    frequency = averaged(np.asarray(cycle.frequency), wave.weights)
    ripple = averaged(np.asarray(swing), wave.weights)
    return np.stack(np.broadcast_arrays(frequency, sum(items.values()), ripple))
