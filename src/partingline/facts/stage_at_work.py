"""The power stage as it is drawn: curves of a cycle, the map over line and load, losses by item where measured.

What comes in: the book of a unit. What goes out: plain arrays and amounts for figures.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from partingline.calc.powerstage.bulk_average import averaged
from partingline.calc.powerstage.chart import estimate_of
from partingline.calc.powerstage.control import Controller, run
from partingline.calc.powerstage.modes import CONTINUOUS, DISCONTINUOUS, MODES, VALLEY
from partingline.calc.powerstage.waveform import Waveform, waveform
from partingline.facts.book import Book
from partingline.facts.derivations.load_point import USUAL_VOLTAGE, LoadPoint, load_point
from partingline.facts.derivations.power_stage import MOVES, point_losses
from partingline.facts.draws import Array
from partingline.facts.operating_point import Amount, NoPointError, StageInputs, amount_of, stage_inputs
from partingline.model import Fact, Key, Number, Unit

ROUNDS = 3
FOLDED = "folded back"
"""At the least peak current: the frequency follows the load, or packets of cycles burst."""


@dataclass(frozen=True)
class Curves:
    """A cycle at the mean bulk voltage (`bulk`, V), and the highest drain voltage in V over the bulk ripple.

    `mode` in the words of the trade, or `FOLDED`; `rating` in V is that of the switch, with its reference, where known.
    """

    mains: float
    load: float
    bulk: float
    mode: str
    waveform: Waveform
    highest_drain: float
    rating: tuple[str, float] | None


@dataclass(frozen=True)
class StageMap:
    """Estimates on a grid of (mains, loads): loss W, drain V, peak A, frequency Hz; NaN where there is no cycle.

    `modes` names the mode at most instants of the bulk ripple, empty where there is none.
    """

    mains: Array
    loads: Array
    values: Mapping[str, Array]
    modes: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Compared:
    """A measured load point: losses in W by item, all of them, what was measured, and what is left over."""

    mains: float
    load: float
    items: Mapping[str, Amount]
    computed: Fact
    measured: Fact
    residual: Fact


def curves_at(unit: Unit, book: Book, *, mains: float, offer: float, load: float) -> Curves:
    """The curves of the estimate at a line and a load. Raises NoPointError where there is no cycle."""
    inputs = stage_inputs(unit, book, offer, 1)
    point, _ = _settled(inputs, np.array([[mains]]), np.array([[load]]))
    bulk = float(averaged(point.wave.voltages, point.wave.weights).ravel()[0])
    rail, amps = float(np.ravel(point.rail)[0]), float(np.ravel(point.load)[0])
    stage = estimate_of(point.stage)
    cycle = run(stage, _controller(inputs), bulk_voltage=bulk, output_voltage=rail, output_current=amps)
    if not np.isfinite(float(cycle.frequency)):
        raise NoPointError("no cycle carries this load at the mean bulk voltage")
    drawn = waveform(stage, cycle, bulk_voltage=bulk, output_voltage=rail)
    folded = float(cycle.peak_current) <= _lowest_peak(inputs) * (1 + 1e-9)
    mode = FOLDED if folded else MODES[int(cycle.mode)]
    highest = float(np.nanmax(np.asarray(point.cycle.drain_peak_voltage)))
    return Curves(mains, load, bulk, mode, drawn, highest, switch_rating(unit, book))


def curves_or_none(unit: Unit, book: Book, *, mains: float, offer: float, load: float) -> Curves | None:
    """The curves, or None where there is no cycle at the mean bulk voltage."""
    try:
        return curves_at(unit, book, mains=mains, offer=offer, load=load)
    except NoPointError:
        return None


def stage_map(unit: Unit, book: Book, *, offer: float, mains: Array, loads: Array) -> StageMap:
    """The map of the estimates. Raises NoPointError where facts are missing."""
    inputs = stage_inputs(unit, book, offer, 1)
    v, load = (one.reshape(-1, 1) for one in np.meshgrid(mains, loads, indexing="ij"))
    point, told = _settled(inputs, v, load)
    whole = np.isfinite(np.asarray(point.cycle.frequency)).all(axis=0) & np.isfinite(told["total"])
    shape = (len(mains), len(loads))
    names = {"loss": "total", "drain": "drain voltage", "peak": "peak current", "frequency": "frequency"}
    values = {own: np.where(whole, told[name], np.nan).reshape(shape) for own, name in names.items()}
    words = _modes(point, _lowest_peak(inputs), whole).reshape(shape)
    return StageMap(mains, loads, values, tuple(tuple(str(one) for one in row) for row in words))


def compared(unit: Unit, book: Book, *, offer: float) -> tuple[Compared, ...]:
    """Every load point of the offer at which the loss was measured and computed, by line, the heaviest first."""
    inputs = stage_inputs(unit, book, offer)
    found = []
    for residual in book.find("residual_loss", inputs.port, offer=offer):
        at = dict(residual.key.at)
        if set(at) != {"mains", "offer", "load"} or residual.key.subject != inputs.port:
            continue
        computed, measured = (book.fact(Key.of(inputs.port, name, **at)) for name in ("computed_loss", "loss"))
        if computed is None or measured is None or not isinstance(computed.preferred.value, Number):
            continue
        mains, load = float(at["mains"]), float(at["load"])
        read = {
            name: book.draws(Key.of(inputs.port, name, **at))[: inputs.draws]
            for name in ("input_power", "output_power", "port_voltage")
        }
        told = point_losses(**{**inputs.at(mains, load), **read})
        items = {name: amount_of(told[name]) for name in told if name in _items(told)}
        found.append(Compared(mains, load, items, computed, measured, residual))
    return tuple(sorted(found, key=lambda one: (one.mains, -one.load)))


def _items(told: Mapping[str, Any]) -> tuple[str, ...]:
    names = tuple(told)
    return names[: names.index("total")]


def _settled(inputs: StageInputs, mains: Array, load: Array) -> tuple[LoadPoint, dict[str, Array]]:
    """The cycle and the losses, with the input power that the losses themselves add up to."""
    known = inputs.at(mains, load)
    output = inputs.power * load
    power = output / 0.9
    with np.errstate(all="ignore"):
        for _ in range(ROUNDS):
            told = point_losses(input_power=power, **known)
            power = output + np.where(np.isfinite(told["total"]), told["total"], power - output)
        shaping = {name: value for name, value in known.items() if name not in MOVES}
        point = load_point(input_power=power, **shaping)
    if not np.isfinite(told["total"]).any():
        raise NoPointError("no cycle carries this load at this line")
    return point, {name: np.asarray(values) for name, values in told.items()}


def _lowest_peak(inputs: StageInputs) -> float:
    share = float(np.ravel(inputs.known.get("lowest_peak_share", 0.0))[0])
    return share * float(inputs.known["full_power"]) / USUAL_VOLTAGE


def _controller(inputs: StageInputs) -> Controller:
    known = inputs.known
    return Controller(
        highest_frequency=known["highest"], lowest_peak=_lowest_peak(inputs), fixed_frequency=known["clock"],
        slope_compensated=known["slope_compensated"],
    )  # fmt: skip


def _modes(point: LoadPoint, lowest: float, whole: Array) -> Array:
    """The mode in words, the one that holds for most of the half cycle."""
    modes = np.asarray(point.cycle.mode)
    folded = np.asarray(point.cycle.peak_current) <= lowest * (1 + 1e-9)
    shares = [averaged(((modes == mode) & ~folded).astype(float), point.wave.weights)
              for mode in (VALLEY, DISCONTINUOUS, CONTINUOUS)]  # fmt: skip
    shares.append(averaged(folded.astype(float), point.wave.weights))
    names = np.array([MODES[VALLEY], MODES[DISCONTINUOUS], MODES[CONTINUOUS], FOLDED])
    return np.where(whole, names[np.argmax(np.stack(shares), axis=0)], "")


def switch_rating(unit: Unit, book: Book) -> tuple[str, float] | None:
    """The primary switch of the lowest rated voltage, and that voltage in V."""
    switches = [part for part in unit.parts if part.role == "primary_switch"]
    facts = [(part, book.fact(Key.of(part.subject, "rated_voltage"))) for part in switches]
    known = [(part.ref, fact.value) for part, fact in facts if fact and isinstance(fact.preferred.value, Number)]
    return min(known, key=lambda one: one[1], default=None)
