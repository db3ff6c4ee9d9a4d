"""The design that fits what was measured outside: unknowns of the flyback as draws, by Bayes, with what would help.

The model is the one that computes the losses (`load_point`); its parameters are the logarithms of everything that it
hangs on. Unknowns start from the ranges of the trade or from what was said of them, the rest from the facts.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from partingline.calc.powerstage.bulk_average import averaged
from partingline.calc.powerstage.modes import DISCONTINUOUS
from partingline.calc.powerstage.peak import Peak, posterior_peak
from partingline.calc.powerstage.shared_draws import update
from partingline.calc.powerstage.which_measurement import Gain, narrowing
from partingline.facts.derivations.load_point import LoadPoint, currents_of, factor_name, load_point, losses_of
from partingline.facts.derivations.trade import MODEL_FACTORS, in_parallel, share_as_resistance
from partingline.facts.draws import Array

UNKNOWN = ("turns_ratio", "magnetising_inductance", "drain_capacitance", "primary_winding", "secondary_winding")
LATENT = ("leakage_share", "core_share", "fixed_share")
REFLECTED, INDUCTANCE, CAPACITANCE, POWER = 95.0, 250e-6, 110e-12, 65.0
PRIORS = {"turns_ratio": 1.4, "magnetising_inductance": 1.8, "drain_capacitance": 1.6}
"""Factors that hold 68 % about the trade's medians: 95 V reflected, 250 µH and 110 pF at 65 W (no source)."""
OWN_ERROR = {"frequency": 0.02, "loss": 0.08, "ripple": 0.15}
"""What the model may be off by at one reading alone, relative (our judgement)."""
LOSS_LEVEL, LOSS_TILT, LOSS_LINE = 0.10, 0.15, 0.15
"""What the model of the losses may be off by at all readings alike, towards light load (times ln(load)), and towards
high line (times ln(mains / 160 V))."""
COMMON = ("level", "load", "line")
WEIGHTS = {
    "bulk_capacitance": 0.02, "bridge_drop": 0.1, "rectifier_drop": 0.35, "source_resistance": 0.35, "path": 0.4,
    "ring_quality": 0.4, "sense": 0.01, "discharge": 0.02, "factor_frequency": 0.02, "leakage_share": 0.5,
    "core_share": 0.5, "fixed_share": 0.4, "primary_winding": 0.5, "secondary_winding": 0.5, "fall_time": 0.4,
    "rectifier_delay": 0.3, "clocked_turn_on": 0.4, "switches": 0.1,
}  # fmt: skip
USUAL_WEIGHT, SAID_WEIGHT = 0.2, 0.02
"""Relative uncertainties that weigh the parameters; the draws themselves carry their uncertainty."""
METER = 0.003
MOST_MISFIT = 4.0
"""A squared distance of so many times the number of readings: the model is not this converter."""
SHAPING = (
    "bulk_capacitance", "bridge_drop", "switch_heat", "rectifier_heat", "rectifier_drop", "esr", "clamp_resistance",
    "clamp_capacitance", "clamp_level", "ring_quality", "path",
)  # fmt: skip
SCALING = (
    "core_share", "fixed_share", "clocked_turn_on", "fall_time", "rectifier_delay", "bulk_esr", "source_resistance",
    "discharge", *(factor_name(item) for item in (*MODEL_FACTORS, "frequency")),
)  # fmt: skip
SEVERAL = ("switch", "rectifier", "sense", "switches")
"""What the model hangs on beside the unknowns: what shapes the cycle, what scales a result, parts side by side."""
KINDS = ("frequency", "loss", "ripple")


@dataclass(frozen=True)
class Reading:
    """What was read: its kind (frequency, loss, ripple) and the row of the load point where."""

    kind: str
    row: int


@dataclass(frozen=True)
class Design:
    """Draws of each unknown, the estimate first: ratio, H, F, Ω, Ω. NaN where no design fits.

    `priors` are the draws before; `gains` what single further measurements would bring, the best first; `misfit` the
    squared distance of the readings in units of their uncertainty, to be compared with `readings`, their number.
    """

    turns_ratio: Array
    magnetising_inductance: Array
    drain_capacitance: Array
    primary_winding: Array
    secondary_winding: Array
    priors: Mapping[str, Array]
    gains: tuple[Gain, ...]
    misfit: float
    readings: int


def design_from_readings(
    *, readings: tuple[Reading, ...], free: tuple[str, ...], told: tuple[str, ...], labels: tuple[str, ...],
    mains: tuple[float, ...], ring_read: bool, full_power: float, offer: float, current: float, rms: float,
    highest: float, counts: Mapping[str, Array], own: Array, losses: Array, frequencies: Array, input_power: Array,
    output_power: Array, port_voltage: Array, ripples: Array | None = None, **facts: Array,
) -> Design:  # fmt: skip
    """The design behind losses, frequencies and ripples, each in the order of `readings`; `labels` of the load points.

    `told` are the unknowns of which more than an assumption was said. `own` are draws of the spread of those priors
    that nothing else tells (`free`, of `PRIORS`), of the model's own error that losses have in common (`COMMON`), and
    of that at each reading.
    """
    spread = dict(zip(free, own, strict=False))
    prior = _prior(facts, spread, full_power, offer, current, rms, counts)
    names = tuple(prior)
    weights = np.array([SAID_WEIGHT if n in told else _weight(n, facts) for n in names])
    bench = _Bench(
        names, np.array([column[:, 0] for column in (input_power, output_power, port_voltage)])[..., np.newaxis],
        np.array(mains)[:, np.newaxis], full_power, highest,
    )  # fmt: skip
    seen = np.concatenate([losses, frequencies, *([ripples] if ripples is not None else [])])
    errors = _errors(readings, np.asarray(output_power[:, 0] / full_power), np.array(mains))
    measured = np.log(seen) + np.einsum("me,ed->md", errors, own[len(free) :])
    logs = np.log(np.stack([prior[name] for name in names]))
    covariance = errors @ errors.T + METER**2 * np.eye(len(readings))
    peak, table = _settled(bench, readings, logs[:, 0], weights, measured[:, 0], covariance)
    found = update(peak, prior=logs, measured=measured, sigma=weights, covariance=covariance)
    fits = found.misfit < MOST_MISFIT * len(readings)
    drawn = {name: np.exp(found.logs[names.index(name)]) * (1.0 if fits else np.nan) for name in UNKNOWN}
    open_ = {name: names.index(name) for name in UNKNOWN if name not in told}
    candidates = _candidates(bench, readings, labels, table, (*told, *(["ring"] if ring_read else [])))
    gains = narrowing(found.spread, open_, candidates) if open_ else ()
    return Design(**drawn, priors=prior, gains=gains, misfit=found.misfit, readings=len(readings))


def _errors(readings: tuple[Reading, ...], loads: Array, mains: Array) -> Array:
    """The model's own error in the logarithm of each reading, by its causes: those of `COMMON`, then one a reading."""
    rows = np.array([one.row for one in readings])
    common = np.stack(
        [np.full(rows.shape, LOSS_LEVEL), LOSS_TILT * np.log(loads[rows]), LOSS_LINE * np.log(mains[rows] / 160.0)],
        axis=1,
    )
    common[[one.kind != "loss" for one in readings]] = 0.0
    return np.concatenate([common, np.diag([OWN_ERROR[one.kind] for one in readings])], axis=1)


def _weight(name: str, facts: Mapping[str, Array]) -> float:
    if name == "leakage_share" and "said_leakage_inductance" in facts:
        return SAID_WEIGHT
    return float(np.log(PRIORS[name])) if name in PRIORS else WEIGHTS.get(name, USUAL_WEIGHT)


def _prior(
    facts: Mapping[str, Array], spread: Mapping[str, Array], power: float, offer: float, current: float, rms: float,
    counts: Mapping[str, Array],
) -> dict[str, Array]:  # fmt: skip
    """Draws of every parameter before the readings: the unknowns first."""
    medians = {
        "turns_ratio": REFLECTED / offer, "magnetising_inductance": INDUCTANCE * POWER / power,
        "drain_capacitance": CAPACITANCE * (power / POWER) ** 0.5,
    }  # fmt: skip
    prior = {
        name: median * PRIORS[name] ** spread[name] if name in spread else facts[f"said_{name}"]
        for name, median in medians.items()
    }
    shares = {"primary_winding": ("primary_share", rms), "secondary_winding": ("secondary_share", 1.5 * current)}
    for name, (share, amps) in shares.items():
        usual = share_as_resistance(share=facts[share], power=power, current=amps)
        prior[name] = facts.get(f"said_{name}", usual)
    leakage = facts.get("said_leakage_inductance")
    told = facts["leakage_share"] if leakage is None else leakage / prior["magnetising_inductance"]
    prior |= {"leakage_share": told} | {name: facts[name] for name in LATENT[1:]}
    for name in ("switch", "rectifier", "sense"):
        if name in facts:
            prior[name] = in_parallel(values=facts[name], counts=counts[name])
    if "switches" in facts:
        prior["switches"] = facts["switches"].mean(axis=0)
    used = {"primary_share", "secondary_share", *prior}
    return prior | {n: v for n, v in facts.items() if n not in used and not n.startswith("said_")}


@dataclass(frozen=True)
class _Bench:
    """The load points as columns, and what a converter of given parameters would show at them."""

    names: tuple[str, ...]
    powers: Array
    mains: Array
    full_power: float
    highest: float

    def shown(self, logs: Array) -> Array:
        """Logarithms of frequency, loss and ripple, shape (3, load points, columns of `logs`)."""
        at = dict(zip(self.names, np.exp(logs), strict=True))
        one = np.ones((1, 1))
        several = {name: at[name][np.newaxis] for name in SEVERAL if name in at}
        point = load_point(
            input_power=self.powers[0], output_power=self.powers[1], port_voltage=self.powers[2],
            turns_ratio=at["turns_ratio"], magnetising_inductance=at["magnetising_inductance"],
            leakage_inductance=at["leakage_share"] * at["magnetising_inductance"],
            drain_capacitance=at["drain_capacitance"], primary_winding=at["primary_winding"],
            secondary_winding=at["secondary_winding"], mains_voltage=self.mains, full_power=self.full_power,
            highest=self.highest, counts=dict.fromkeys(several, one), **several,
            **{name: value for name, value in at.items() if name in SHAPING},
        )  # fmt: skip
        scaling = {name: value for name, value in at.items() if name in SCALING}
        loss = sum(losses_of(point, **scaling).values()) + _whatever_phase(point, scaling)
        told: dict[str, Any] = currents_of(point)
        ripple = (
            point.stage.output_esr
            * point.stage.turns_ratio
            * averaged(np.asarray(point.cycle.peak_current), point.wave.weights)
        )
        frequency = told["frequency"] * at.get("factor_frequency", 1.0)
        return np.asarray(np.log(np.stack(np.broadcast_arrays(frequency, loss, ripple))))


def _whatever_phase(point: LoadPoint, scaling: Mapping[str, Array]) -> Array:
    """What to add to the loss in W so that cycles on a clock turn on at the mean over the ring's phases.

    Where on the ring the clock falls hangs on the capacitance in a way that no real controller follows.
    """
    cycle, stage, bulk = point.cycle, point.stage, point.wave.voltages
    clocked = np.asarray(cycle.mode) == DISCONTINUOUS
    swing = np.asarray(cycle.reflected_voltage) ** 2
    charged = 0.5 * stage.drain_capacitance * np.asarray(cycle.frequency)
    turn_on = charged * (bulk**2 + 0.5 * swing) - np.asarray(cycle.turn_on_loss)
    ring = charged * 0.5 * swing - np.asarray(cycle.ring_loss)
    turn_on = turn_on * scaling["clocked_turn_on"] * scaling["factor_switch_turn_on"]
    return averaged(np.where(clocked, turn_on + ring * scaling["factor_drain_ring"], 0.0), point.wave.weights)


def _settled(
    bench: _Bench, readings: tuple[Reading, ...], centre: Array, weights: Array, seen: Array, errors: Array
) -> tuple[Peak, Array]:
    """The peak over the unknowns, all else at its estimate; slopes over everything, and those of all that is shown.

    `errors` is the covariance of what was read, the model's own error included.
    """
    kinds, rows = [KINDS.index(r.kind) for r in readings], [r.row for r in readings]
    count = len(UNKNOWN) + len(LATENT)
    slopes = _slopes(bench, centre)[1][kinds, rows]
    rest = slopes[:, count:] * weights[count:]
    covariance = errors + rest @ rest.T

    def predict(points: Array) -> Array:
        whole = np.repeat(centre[:, np.newaxis], points.shape[1], axis=1)
        whole[:count] = points
        return np.asarray(bench.shown(whole)[kinds, rows])

    found = posterior_peak(predict, centre[:count], weights[:count], seen, np.asarray(np.linalg.inv(covariance)))
    at = np.concatenate([found.at, centre[count:]])
    shown, table = _slopes(bench, at)
    return Peak(at, np.diag(weights**2), shown[kinds, rows], table[kinds, rows]), table


def _slopes(bench: _Bench, at: Array, step: float = 1e-3) -> tuple[Array, Array]:
    """What is shown at a point (3, load points), and its slopes over every parameter (3, load points, parameters)."""
    count = len(at)
    moved = np.concatenate([np.zeros((count, 1)), np.eye(count), -np.eye(count)], axis=1)
    found = bench.shown(at[:, np.newaxis] + step * moved)
    slopes = (found[..., 1 : count + 1] - found[..., count + 1 :]) / (2 * step)
    return found[..., 0], np.where(np.isfinite(slopes), slopes, 0.0)


def _candidates(
    bench: _Bench, readings: tuple[Reading, ...], labels: tuple[str, ...], table: Array, told: tuple[str, ...]
) -> dict[str, tuple[Array, float]]:
    """Measurements that could still be made: slopes over the parameters, and the uncertainty they would have."""
    read = {(reading.kind, reading.row) for reading in readings}
    candidates = {
        f"the {name} at {labels[row]}": (table[KINDS.index(kind), row], float(np.hypot(OWN_ERROR[kind], METER)))
        for kind, name in (("frequency", "switching frequency"), ("ripple", "output ripple"))
        for row in range(len(labels))
        if (kind, row) not in read
    }

    def along(**slopes: float) -> Array:
        return np.array([slopes.get(name, 0.0) for name in bench.names])

    direct = {
        "ring": (
            "the period of the drain's ring after demagnetisation",
            along(magnetising_inductance=0.5, drain_capacitance=0.5),
        ),
        "turns_ratio": ("the turns ratio, as the ratio of two voltages", along(turns_ratio=1.0)),
        "magnetising_inductance": ("the primary inductance, secondary open", along(magnetising_inductance=1.0)),
    }
    for name, (said, slope) in direct.items():
        if name not in told:
            candidates[said] = (slope, 0.01)
    shorted = along(magnetising_inductance=1.0, leakage_share=1.0)
    return candidates | {"the primary inductance, secondary shorted": (shorted, 0.05)}
