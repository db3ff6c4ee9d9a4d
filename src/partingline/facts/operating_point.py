"""The converter at a line and load that nobody measured: what moves when a person moves the operating point.

What comes in: the book of a unit and a point. What goes out: frequency, currents and losses by item, computed from the
parts as at the measured points, and the nearest point that was measured.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from partingline.facts.book import Book
from partingline.facts.derivation import Need
from partingline.facts.derivations.layout import INPUT, Layout
from partingline.facts.derivations.mode import circuit, clock, slope_compensated
from partingline.facts.derivations.power_stage import PRIMARY, highest_frequency, part_counts, point_losses, point_needs
from partingline.facts.draws import Array, standard_uncertainty
from partingline.model import Key, Number, Route, Statement, Unit

DRAWS = 257
"""Enough for a standard uncertainty within 5 % of itself, in a time that a moving hand does not notice."""
_ROUNDS = 3
_DERIVED = (Route.COMPUTED, Route.SPOKEN)
LOADS = (0.05, 1.25)
"""Share of the strongest offer's power: below, controllers burst in ways that no marking tells."""
CURRENTS = {
    "peak current": "A", "switch current": "A", "primary current": "A", "secondary peak current": "A",
    "secondary current": "A", "drain voltage": "V",
}  # fmt: skip
"""What is told beside losses and frequency, with its unit."""
Amount = tuple[float, float]
"""A value and its standard uncertainty."""


@dataclass(frozen=True)
class Measured:
    """A load point that was measured: its conditions, and the measured loss in W."""

    mains: float
    offer: float
    load: float
    loss: Amount


@dataclass(frozen=True)
class OperatingPoint:
    """The converter at one point. Powers in W, frequency in Hz, the others in the units of `CURRENTS`."""

    port: str
    mains: float
    offer: float
    load: float
    output_power: float
    losses: Mapping[str, Amount]
    total: Amount
    efficiency: Amount
    frequency: Amount
    currents: Mapping[str, Amount]
    measured: tuple[Measured, ...]


@dataclass(frozen=True)
class Bounds:
    """How far a point can be moved. Mains in V, offers in V with their currents in A."""

    port: str
    mains: tuple[float, float]
    offers: tuple[tuple[float, float], ...]
    load: tuple[float, float] = LOADS


class NoPointError(ValueError):
    """No operating point can be computed; `missing` are the facts without which it cannot."""

    def __init__(self, found: str, missing: tuple[Key, ...] = ()) -> None:
        super().__init__(found)
        self.missing = missing


def bounds(unit: Unit, book: Book) -> Bounds:
    """The line and the fixed offers of the strongest port. Raises NoPointError without offers."""
    layout = Layout(unit, _said(book))
    if layout.strongest_offer is None:
        raise NoPointError("no fixed offer with a current is known")
    port = layout.strongest_offer[0]
    offers = tuple(sorted((volts, amps) for subject, volts, amps in layout.offers if subject == port))
    return Bounds(port, (layout.lowest_mains, layout.highest_mains), offers)


def operating_point(unit: Unit, book: Book, *, mains: float, offer: float, load: float) -> OperatingPoint:
    """The converter at `mains` V, an offer's voltage in V and a share of its current.

    Raises NoPointError where the unit is no flyback of one transformer, the offer is not made, or facts are missing.
    """
    inputs = stage_inputs(unit, book, offer)
    return replace(
        _solved(inputs.at(mains, load), inputs.power * load),
        port=inputs.port, mains=mains, offer=offer, load=load, measured=_measured(book, inputs.port, offer),
    )  # fmt: skip


@dataclass(frozen=True)
class StageInputs:
    """What the stage's losses hang on at an offer, beside line and load; `power` in W is that of the whole offer."""

    port: str
    offer: float
    power: float
    draws: int
    known: Mapping[str, Any]

    def at(self, mains: float | Array, load: float | Array) -> dict[str, Any]:
        """The arguments of `point_losses` but the input power; line and load may be columns of cells."""
        ones = np.ones(self.draws)
        return {
            **self.known, "mains_voltage": mains, "port_voltage": self.offer * ones,
            "output_power": self.power * load * ones,
        }  # fmt: skip


def stage_inputs(unit: Unit, book: Book, offer: float, draws: int = DRAWS) -> StageInputs:
    """The draws of every fact that the stage is computed from, the estimate first. Raises NoPointError."""
    layout = Layout(unit, _said(book))
    transformers = layout.parts("transformer")
    if len(transformers) != 1 or layout.strongest_offer is None:
        raise NoPointError(f"{len(transformers)} transformers in the part list; one is needed, and a fixed offer")
    if not circuit(layout).endswith("flyback"):
        raise NoPointError(f"the primary is a {circuit(layout)}; a flyback is needed")
    if layout.parts("pfc_inductor"):
        raise NoPointError("a boost stage holds the bulk voltage; points behind one are not computed")
    port = layout.strongest_offer[0]
    amps = {volts: amps for subject, volts, amps in layout.offers if subject == port}.get(offer)
    if amps is None:
        raise NoPointError(f"{port.partition(':')[2]} does not offer {offer:g} V with a current")
    needs, optional = point_needs(layout, transformers[0], Key.of(port, "input_power", offer=offer))
    known = _known(book, {name: need for name, need in needs.items() if name not in _OF_THE_POINT}, optional, draws)
    held = min(np.shape(drawn)[-1] for drawn in known.values())
    known |= {
        "full_power": layout.strongest_offer[1] * layout.strongest_offer[2], "highest": highest_frequency(layout),
        "counts": part_counts(layout), "clock": clock(layout), "slope_compensated": slope_compensated(layout),
    }  # fmt: skip
    return StageInputs(port, offer, offer * amps, held, known)


_OF_THE_POINT = ("input_power", "output_power", "port_voltage")


def _said(book: Book) -> tuple[Statement, ...]:
    """What was said of the line, the circuit and the frequency: what the bounds and the controller hang on."""
    keys = [Key.of(INPUT, "lowest_mains"), Key.of(INPUT, "highest_mains"), Key.of("unit", "rated_input_voltage")]
    keys += [Key.of(PRIMARY, quantity) for quantity in ("circuit", "mode", "slope_compensation")]
    facts = (book.fact(key) for key in (*keys, *book.keys("switching_frequency", PRIMARY)))
    return tuple(one for fact in facts if fact for one in fact.statements if one.route not in _DERIVED)


def _known(book: Book, needs: Mapping[str, Need], optional: frozenset[str], draws: int) -> dict[str, Any]:
    """The draws of each need, fewer of them. NoPointError names all that are missing."""
    known: dict[str, Any] = {}
    missing: list[Key] = []
    for name, need in needs.items():
        keys = (need,) if isinstance(need, Key) else need
        absent = [key for key in keys if book.fact(key) is None]
        if keys and not absent:
            drawn = [book.draws(key)[:draws] for key in keys]
            known[name] = drawn[0] if isinstance(need, Key) else np.stack(drawn)
        elif name not in optional:
            missing += absent
            if not keys:
                raise NoPointError(f"no {name.replace('_', ' ')} in the part list")
    if missing:
        nearest = sorted({one for key in missing for one in book.missing(key)}, key=lambda key: key.id)
        raise NoPointError(f"{len(missing)} facts of the stage are not known", tuple(nearest))
    return known


def _solved(known: Mapping[str, Any], output: float) -> OperatingPoint:
    """The losses of the input power that they themselves add up to."""
    power = output / 0.9 * np.ones_like(known["output_power"])
    with np.errstate(all="ignore"):
        for _ in range(_ROUNDS):
            told = point_losses(input_power=power, **known)
            power = output + np.where(np.isfinite(told["total"]), told["total"], power - output)
    if not np.isfinite(told["total"][0]):
        raise NoPointError("no cycle carries this load at this line")
    others = {*CURRENTS, "total", "frequency"}
    losses = {name: amount_of(values) for name, values in told.items() if name not in others}
    currents = {name: amount_of(told[name]) for name in CURRENTS}
    efficiency = amount_of(output / (output + told["total"]))
    frequency = amount_of(told["frequency"])
    return OperatingPoint("", 0, 0, 0, output, losses, amount_of(told["total"]), efficiency, frequency, currents, ())


def amount_of(values: Array) -> Amount:
    """The estimate and its standard uncertainty; 0 where nothing was drawn."""
    drawn = np.ravel(np.asarray(values, dtype=float))
    return float(drawn[0]), standard_uncertainty(drawn[np.isfinite(drawn)]) if len(drawn) > 1 else 0.0


def _measured(book: Book, port: str, offer: float) -> tuple[Measured, ...]:
    found = []
    for fact in book.find("loss", port, offer=offer):
        at = dict(fact.key.at)
        if (
            set(at) == {"mains", "offer", "load"}
            and fact.key.subject == port
            and isinstance(fact.preferred.value, Number)
        ):
            found.append(Measured(float(at["mains"]), offer, float(at["load"]), (fact.value, fact.u)))
    return tuple(found)
