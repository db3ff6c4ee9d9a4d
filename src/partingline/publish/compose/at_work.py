"""The power stage at work: curves of a cycle at full load, maps over line and load, losses by item beside measured."""

from collections.abc import Sequence

import numpy as np

from partingline.facts import Book
from partingline.facts.operating_point import Bounds, NoPointError, bounds
from partingline.facts.show import show_fact
from partingline.facts.stage_at_work import (
    FOLDED,
    Compared,
    Curves,
    StageMap,
    compared,
    curves_or_none,
    stage_map,
    switch_rating,
)
from partingline.model import Unit
from partingline.publish.compose.ledger import Ledger
from partingline.publish.document import Block, Drawing, Figure, FigureRow, Section, Span, plain
from partingline.publish.figures.fieldmap import Array, Field, Grid, field_map, mode_map
from partingline.publish.figures.loss_matrix import LossColumn, loss_matrix
from partingline.publish.figures.oscillogram import WIDTH, Oscillogram, oscillogram

ROWS, COLUMNS = 30, 40
HIGHEST_LOAD = 1.1
MOST_POINTS, LIGHTEST = 8, 0.2
SHOWN = 0.005
"""W: an item that is nowhere above this is left out of the drawing."""
TURN_ON = {"valley switching": "first valley", "discontinuous": "on the clock", "continuous": "on the clock"}
MODE_NAMES = {
    "valley switching": "first valley",
    "discontinuous": "clock, discontinuous",
    "continuous": "clock, continuous",
}


def at_work(unit: Unit, book: Book, ledger: Ledger) -> Section | None:
    """The figures at the strongest offer, maps where the line has a range; None where the parts give no converter."""
    try:
        reach = bounds(unit, book)
        offer, amps = max(reach.offers, key=lambda one: one[0] * one[1])
        points = compared(unit, book, offer=offer)
        field = _map(unit, book, reach, offer) if reach.mains[0] < reach.mains[1] else None
    except NoPointError:
        return None
    lines = sorted({one.mains for one in points}) or list(reach.mains)
    waves = tuple(one for mains in (lines[0], lines[-1]) if (one := _wave(unit, book, mains, offer)) is not None)
    blocks: list[Block] = [FigureRow(waves[: len(set(lines))])] if waves else []
    measured = [(one.mains, one.load) for one in points]
    blocks += _maps(field, measured, switch_rating(unit, book)) if field else []
    if points:
        blocks.append(_losses(points, ledger))
    note = f"computed from the parts at {offer:g} V {amps:g} A of port {reach.port.partition(':')[2]}"
    return Section("stage-at-work", "The power stage at work", tuple(blocks), note)


def drawn(curves: Curves, *, width: float = WIDTH) -> str:
    """Two periods of a cycle as SVG."""
    wave = curves.waveform.repeated(2)
    volts = wave.turn_on_voltage
    words = FOLDED if curves.mode == FOLDED else "at zero volts" if volts < 1.0 else TURN_ON[curves.mode]
    seen = Oscillogram(
        time=wave.time, drain=wave.drain, primary=wave.primary, secondary=wave.secondary, period=wave.period,
        turn_off=wave.turn_off, demagnetised=wave.demagnetised, turn_on_voltage=volts, turn_on=words,
        bulk=curves.bulk, highest=curves.highest_drain, limit=curves.rating,
    )  # fmt: skip
    return oscillogram(seen, width=width)


def told(curves: Curves) -> str:
    """The same in words, for someone who cannot see it."""
    wave = curves.waveform
    return (
        f"Two switching periods of {wave.period * 1e6:.2f} µs: switch on for {wave.turn_off * 1e6:.2f} µs up to "
        f"{wave.primary.max():.2f} A, rectifier on until {wave.demagnetised * 1e6:.2f} µs from "
        f"{wave.secondary.max():.1f} A down, drain up to {wave.drain.max():.0f} V, turned on again at "
        f"{wave.turn_on_voltage:.0f} V ({MODE_NAMES.get(curves.mode, curves.mode)})."
    )


def _wave(unit: Unit, book: Book, mains: float, offer: float) -> Figure | None:
    curves = curves_or_none(unit, book, mains=mains, offer=offer, load=1.0)
    return None if curves is None else cycle_figure(curves)


def cycle_figure(curves: Curves, *, width: float = WIDTH) -> Figure:
    """Two periods of a cycle with their title, caption and words."""
    caption = (
        "Estimates at the mean bulk voltage; the leakage ring is damped as the drain's ring where nothing tells more."
    )
    title = f"{curves.load * 100:g} % load at {curves.mains:g} V mains"
    drawing = Drawing(drawn(curves, width=width))
    return Figure(f"figure-cycle-{curves.mains:g}", title, drawing, plain(caption), told(curves))


def _map(unit: Unit, book: Book, reach: Bounds, offer: float) -> StageMap:
    mains, loads = np.linspace(*reach.mains, ROWS), np.linspace(reach.load[0], HIGHEST_LOAD, COLUMNS)
    return stage_map(unit, book, offer=offer, mains=mains, loads=loads)


def _maps(
    field: StageMap, measured: Sequence[tuple[float, float]], rating: tuple[str, float] | None
) -> list[Block]:  # fmt: skip
    """Losses, drain voltage, peak current and mode."""
    grid = Grid(field.mains.tolist(), field.loads.tolist(), measured)
    blank = np.isnan(field.values["loss"])
    outside = " Blank: no cycle of the model carries the load there." if blank.any() else ""
    rings = " Rings: measured load points." if measured else ""

    def figure(name: str, title: str, unit: str, words: str) -> Figure:
        values = field.values[name]
        return Figure(
            f"figure-map-{name}", title, Drawing(field_map(grid, Field(values, unit))),
            plain(f"{words}{rings}{outside}"), f"{title} over line and load: {_extremes(field, values, unit)}.",
        )  # fmt: skip

    hertz = field.values["frequency"] / 1e3
    named = [[MODE_NAMES.get(one, one) for one in row] for row in field.modes]
    held = sorted({one for row in named for one in row if one})
    modes = Figure(
        "figure-map-mode", "Mode and switching frequency", Drawing(mode_map(grid, named, Field(hertz, "kHz"))),
        plain(f"The mode for most of the bulk ripple; lines: mean frequency. Folded back: at the least peak current "
              f"that the controller is taken to have, where packets of cycles may burst instead.{outside}"),
        f"Modes over line and load: {', '.join(held)}; frequency {_extremes(field, hertz, 'kHz')}.",
    )  # fmt: skip
    words = "Highest over the bulk ripple, clamp included."
    if rating:
        share = float(np.nanmax(field.values["drain"])) / rating[1] * 100
        words += f" {rating[0]} is rated {rating[1]:g} V: {share:.0f} % of it at most."
    return [
        FigureRow((figure("loss", "Losses", "W", "All items, as means over the bulk ripple; estimates."),
                   figure("drain", "Drain voltage", "V", words))),
        FigureRow((figure("peak", "Peak primary current", "A", "Highest over the bulk ripple."), modes)),
    ]  # fmt: skip


def _extremes(field: StageMap, values: Array, unit: str) -> str:
    if not np.isfinite(values).any():
        return "none"
    said = []
    for pick, name in ((np.nanargmin, "least"), (np.nanargmax, "most")):
        row, column = np.unravel_index(int(pick(values)), values.shape)
        where = f"{field.mains[row]:.0f} V and {field.loads[column] * 100:.0f} % load"
        said.append(f"{name} {values[row, column]:.3g} {unit} at {where}")
    return ", ".join(said)


def _losses(points: Sequence[Compared], ledger: Ledger) -> Figure:
    heavy = [one for one in points if one.load >= LIGHTEST][:MOST_POINTS] or list(points)[:MOST_POINTS]
    names = [name for name in heavy[0].items if max(abs(one.items[name][0]) for one in heavy) > SHOWN]
    columns = [
        LossColumn(
            f"{one.mains:g} V mains", f"{one.load * 100:g} % load", [one.items[name] for name in names],
            (one.computed.value, one.computed.u), (one.measured.value, one.measured.u),
            (one.residual.value, one.residual.u),
        )
        for one in heavy
    ]  # fmt: skip
    worst = max(heavy, key=lambda one: abs(one.residual.value) / max(one.residual.u, 1e-9))
    within = abs(worst.residual.value) <= 2 * worst.residual.u
    caption = (
        Span("W; whiskers and ±: k = 2. Residual: measured less computed, hollow where the parts compute more. "
             "Farthest off for its uncertainty: "),
        Span(show_fact(worst.residual), ledger.ref(worst.residual.key)),
        Span(f" at {worst.mains:g} V mains and {worst.load * 100:g} % load, "
             f"{'within' if within else 'outside'} what the inputs and the model leave open."),
    )  # fmt: skip
    alt = "; ".join(
        f"{one.mains:g} V, {one.load * 100:g} %: {show_fact(one.computed)} computed, {show_fact(one.measured)} measured"
        for one in heavy
    )
    return Figure(
        "figure-loss-items", "Losses by item beside measured", Drawing(loss_matrix(names, columns)), caption, alt
    )
