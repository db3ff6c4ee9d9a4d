"""What whole sweeps tell: the parts of the loss, cable-drop compensation, line regulation, and the derating factor."""

import math
from collections import defaultdict
from collections.abc import Iterator

import numpy as np

from partingline.calc import efficiency, output
from partingline.calc.losses import LossModel
from partingline.calc.losses import loss_model as fitted
from partingline.facts.book import Book
from partingline.facts.derivation import Derivation
from partingline.facts.derivations.layout import Layout
from partingline.facts.draws import Array
from partingline.model import Condition, Fact, Key, Number, Route
from partingline.sources import cite

FIT = cite("jcgm-100", "least squares of P = a + b I + c I²; scatter about the curve as in H.3.2", "C")
_Z95 = 1.645
_T95 = {1: 12.706, 2: 4.303}

_Conditions = tuple[tuple[str, Condition], ...]


def derive(layout: Layout) -> Iterator[Derivation]:
    """Fits over the load points of each sweep, and over the mains at full load."""
    sweeps: dict[tuple[str, _Conditions], list[float]] = defaultdict(list)
    mains: dict[tuple[str, _Conditions], list[float]] = defaultdict(list)
    for key in layout.with_quantity("port_voltage", "port:"):
        at = dict(key.at)
        load, voltage = at.pop("load", None), at.get("mains")
        if not isinstance(load, float) or "offer" not in at or "with" in at:
            continue
        sweeps[key.subject, tuple(sorted(at.items()))].append(load)
        if load == 1.0 and isinstance(voltage, float):
            rest = {**{name: value for name, value in at.items() if name != "mains"}, "load": load}
            mains[key.subject, tuple(sorted(rest.items()))].append(voltage)
    for (subject, conditions), loads in sweeps.items():
        yield from _fits(subject, dict(conditions), sorted(loads))
    for (subject, conditions), voltages in mains.items():
        if len(voltages) >= 2:
            yield _line(subject, dict(conditions), sorted(voltages))
    yield from _derating(layout)


def _fits(subject: str, at: dict[str, Condition], loads: list[float]) -> Iterator[Derivation]:
    def keys(quantity: str, chosen: list[float]) -> tuple[Key, ...]:
        return tuple(Key.of(subject, quantity, **at, load=load) for load in chosen)

    if len(loads) >= 3:
        needs = {"voltages": keys("port_voltage", loads), "currents": keys("output_current", loads)}
        rise = output.cable_compensation
        yield Derivation(
            Key.of(subject, "cable_compensation", **at), needs, rise, rise.source, route=Route.MEASURED,
            note=f"slope of {len(loads)} load points; above zero makes up for the cable",
        )  # fmt: skip
    loaded = [load for load in loads if load > 0]
    if len(loaded) >= 4:
        needs = {"losses": keys("loss", loaded), "currents": keys("output_current", loaded)}
        own = tuple(f"{key.id}/lack of fit" for key in needs["losses"])
        for quantity, part in (
            ("fixed_loss", "fixed"), ("proportional_loss", "proportional"), ("square_loss", "square"),
        ):  # fmt: skip
            yield Derivation(
                Key.of(subject, quantity, **at), needs, loss_model, FIT, pick=part, route=Route.MEASURED, own=own,
                note=f"least squares over {len(loaded)} load points, with the lack of fit",
            )  # fmt: skip
        yield Derivation(
            Key.of(subject, "loss_misfit", **at), needs, scatter_about_model, FIT, route=Route.MEASURED,
            note="standard deviation of the load points about the three parts",
        )  # fmt: skip


def loss_model(*, losses: Array, currents: Array, own: Array) -> LossModel:
    """The parts of the loss; the scatter of the points about the model moves each of them by itself, with the spread of
    Student's t (JCGM 101:2008, 6.4.9.4; for one and two degrees of freedom its 95 % interval over 1.96)."""
    free = len(losses) - 3
    few = math.sqrt(free / (free - 2)) if free > 2 else _T95[free] / 1.96
    scatter = few * float(scatter_about_model(losses=losses[:, :1], currents=currents[:, :1])[0])
    return fitted(losses=losses + scatter * own, currents=currents)


def scatter_about_model(*, losses: Array, currents: Array) -> Array:
    """W; standard deviation of the points about the model, of three parts fewer than points."""
    model = fitted(losses=losses, currents=currents)
    left = losses - (model.fixed + model.proportional * currents + model.square * currents**2)
    return np.asarray(np.sqrt((left**2).sum(axis=0) / (len(losses) - 3)))


def undescribed(book: Book, fact: Fact) -> bool:
    """Whether a sweep strays about the loss model by more than its readings explain: their draws about the estimate
    tell what they add to its square, and 95 % of chi-square bounds that (Wilson and Hilferty; from memory)."""
    free = len(fact.inputs) // 2 - 3
    explained = float((book.draws(fact.key)[1:] ** 2).mean()) - fact.value**2
    ninth = 2 / (9 * free)
    bound = (1 - ninth + _Z95 * math.sqrt(ninth)) ** 3
    return fact.value**2 > bound * max(explained, 0.0) and fact.value > 0


def _line(subject: str, at: dict[str, Condition], mains: list[float]) -> Derivation:
    voltages = tuple(Key.of(subject, "port_voltage", **at, mains=voltage) for voltage in mains)
    regulation = output.line_regulation
    return Derivation(
        Key.of(subject, "line_regulation", **at), {"voltages": voltages}, regulation, regulation.source,
        route=Route.MEASURED, note=f"from {mains[0]:g} V to {mains[-1]:g} V mains",
    )  # fmt: skip


def _derating(layout: Layout) -> Iterator[Derivation]:
    """The nameplate's power for all ports over the sum of the ports' own, as the label prints both."""
    printed = {
        s.key: s.value.value for s in layout.statements if s.route is Route.LABEL and isinstance(s.value, Number)
    }
    total = printed.get(Key.of("unit", "output_power"))
    each = [printed.get(Key.of(port.subject, "output_power")) for port in layout.unit.ports]
    known = [power for power in each if power is not None]
    if total is None or len(known) != len(each) or len(known) < 2:
        return
    factor = efficiency.port_derating_factor
    yield Derivation(
        Key.of("unit", "derating_factor"), {}, factor, factor.source, {"total_power": total, "port_powers": known},
        note=f"{total:g} W over {' + '.join(f'{power:g}' for power in known)} W: each port's test current times this",
    )  # fmt: skip
