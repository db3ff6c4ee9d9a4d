"""A map over line and load: operating point, stress and every loss, averaged over the bulk ripple, for many draws."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, fields, replace
from typing import Any, TypeVar

import numpy as np

from partingline.calc.mains import rectifier_cycle_with_source_resistance
from partingline.calc.numbers import Array
from partingline.calc.powerstage.budget import ITEMS, Parts, converter_losses, input_losses, mean_losses
from partingline.calc.powerstage.bulk_average import averaged, bulk_wave
from partingline.calc.powerstage.control import Controller, run
from partingline.calc.powerstage.stage import Flyback

Row = TypeVar("Row", Flyback, Parts)
TOGETHER = 10
"""Cells in one array: few enough for the processor's cache, enough that two threads seldom wait for each other."""
QUICK = 3
"""Evaluations of the load beside the first: the load is then met within 1e-5 (held by a test)."""


@dataclass(frozen=True)
class Map:
    """Means over the draws and their standard deviations on a grid of (mains voltages, loads).

    `losses` in W by item; `values` holds frequency (Hz), peak, switch and secondary current (A), drain and rectifier
    voltage (V), peak flux density (T), valley (V), total loss (W) and efficiency. `held` is the share of draws that
    have a cycle at every instant of the bulk ripple; where it is below one half all else is NaN.
    """

    mains: Array
    loads: Array
    losses: dict[str, Array]
    values: dict[str, Array]
    deviations: dict[str, Array]
    held: Array


def power_map(
    stage: Flyback,
    parts: Parts,
    controller: Controller,
    *,
    mains: Array,
    loads: Array,
    output_voltage: float,
    mains_frequency: float,
    bulk_capacitance: float | Array,
    source_resistance: float = 0.5,
    workers: int = 2,
) -> Map:
    """The map of a stage whose fields are floats or draws of one length.

    The power that the bulk capacitor gives is found first for the estimates (index 0 of the draws), then taken with
    its efficiency for the draws of that cell.
    """
    cells = [(float(v), float(i)) for v in mains for i in loads]
    central = _central(
        stage, parts, controller, cells, output_voltage, mains_frequency, bulk_capacitance, source_resistance
    )

    def group(first: int) -> list[dict[str, tuple[float, float]]]:
        part = slice(first, first + TOGETHER)
        v, load = (np.array(column)[:, np.newaxis] for column in zip(*cells[part], strict=True))
        ratio, share = (np.array(column)[:, np.newaxis] for column in zip(*central[part], strict=True))
        rows = _at(stage, parts, controller, v, load, output_voltage, mains_frequency, bulk_capacitance, ratio, share)
        return [_summary({name: np.atleast_1d(values)[k] for name, values in rows.items()}) for k in range(len(v))]

    with ThreadPoolExecutor(workers) as pool:
        found = [one for some in pool.map(group, range(0, len(cells), TOGETHER)) for one in some]
    shape = (len(mains), len(loads))
    means = {name: np.array([one[name][0] for one in found]).reshape(shape) for name in found[0]}
    spread = {name: np.array([one[name][1] for one in found]).reshape(shape) for name in found[0]}
    return Map(
        mains=np.asarray(mains), loads=np.asarray(loads), losses={n: means[n] for n in ITEMS if n in means},
        values={n: v for n, v in means.items() if n not in ITEMS and n != "held"},
        deviations=spread, held=means["held"],
    )  # fmt: skip


def _central(
    stage: Flyback, parts: Parts, controller: Controller, cells: list[tuple[float, float]], output: float,
    mains_frequency: float, bulk_capacitance: float | Array, source_resistance: float,
) -> list[tuple[float, float]]:  # fmt: skip
    """For each cell the ratio of bulk power to output power, and of line current with and without resistance."""
    first_stage, first_parts = estimate_of(stage), estimate_of(parts)
    capacitance = float(np.ravel(bulk_capacitance)[0])
    v, load = (np.array(column) for column in zip(*cells, strict=True))
    ratio = np.full(v.shape, 1.08)
    for _ in range(2):
        rows = _at(first_stage, first_parts, controller, v, load, output, mains_frequency, capacitance, ratio, 1.0)
        lost = sum(np.asarray(rows[name]) for name in ITEMS if name in rows and name not in ("bridge",))
        ratio = np.where(np.isfinite(lost), 1 + lost / (output * load), ratio)
    drop = float(np.ravel(first_parts.bridge_drop)[0])
    marched = rectifier_cycle_with_source_resistance(
        power=ratio * output * load, capacitance=capacitance, mains_voltage=v, mains_frequency=mains_frequency,
        source_resistance=source_resistance, bridge_drop=drop,
    )  # fmt: skip
    exact = bulk_wave(
        power=ratio * output * load, capacitance=capacitance, mains_voltage=v, mains_frequency=mains_frequency,
        bridge_drop=drop,
    )  # fmt: skip
    share = np.nan_to_num(np.asarray(marched.line_current) / exact.line_current, nan=1.0)
    return [(float(a), float(b)) for a, b in zip(ratio, share, strict=True)]


def _at(
    stage: Flyback, parts: Parts, controller: Controller, mains: Any, load: Any, output: float,
    mains_frequency: float, bulk_capacitance: Any, ratio: Any, line_share: Any,
) -> dict[str, Array]:  # fmt: skip
    """Every quantity of one or more cells, averaged over the bulk ripple."""
    wave = bulk_wave(
        power=ratio * output * load, capacitance=bulk_capacitance, mains_voltage=mains, mains_frequency=mains_frequency,
        bridge_drop=parts.bridge_drop,
    )  # fmt: skip
    cycle = run(stage, controller, bulk_voltage=wave.voltages, output_voltage=output, output_current=load, rounds=QUICK)
    losses = mean_losses(
        converter_losses(stage, parts, cycle, wave.voltages, output, load),
        wave,
        input_losses(parts, wave, mains, line_share),
    )
    total = sum(losses.values())
    flux = (
        stage.magnetising_inductance * np.asarray(cycle.winding_peak_current) / (parts.primary_turns * parts.core_area)
    )
    return losses | {
        "frequency": averaged(np.asarray(cycle.frequency), wave.weights),
        "peak_current": np.max(cycle.peak_current, axis=0),
        "switch_current": np.sqrt(averaged(np.asarray(cycle.switch_current) ** 2, wave.weights)),
        "secondary_current": np.sqrt(averaged(np.asarray(cycle.secondary_current) ** 2, wave.weights)),
        "switch_voltage": np.max(cycle.drain_peak_voltage, axis=0),
        "rectifier_voltage": output + wave.top / stage.turns_ratio,
        "flux_density": np.max(flux, axis=0),
        "valley_voltage": wave.valley,
        "loss": np.asarray(total),
        "efficiency": output * load / (output * load + total),
    }


def _summary(rows: dict[str, Array]) -> dict[str, tuple[float, float]]:
    """Mean and standard deviation over the draws that have a cycle."""
    good = np.isfinite(np.atleast_1d(rows["loss"]))
    held = float(good.mean())
    summary = {"held": (held, 0.0)}
    for name, values in rows.items():
        kept = np.broadcast_to(values, good.shape)[good] if held >= 0.5 else np.array([np.nan])
        summary[name] = (float(kept.mean()), float(kept.std()))
    return summary


def estimate_of(record: Row) -> Row:
    """The record with the first draw of each field: the estimate."""
    return replace(record, **{f.name: float(np.ravel(getattr(record, f.name))[0]) for f in fields(record)})
