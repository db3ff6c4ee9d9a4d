"""Several ports at once: the currents that the test method asks of each, beside those that were drawn."""

from collections.abc import Iterator
from dataclasses import dataclass

from partingline.findings.claimed import said
from partingline.findings.judge import Judge
from partingline.model import Fact, Key, Route

LOADS = (1.0, 0.75, 0.5, 0.25)
HELD = 0.005
"""Share by which a port's current may stray while several voltages are in use: 10 CFR 430 Subpart B Appendix Z."""
FACTOR = Key.of("unit", "derating_factor")
_NEAR = 0.1


@dataclass(frozen=True, slots=True)
class PortLoad:
    """One port at one load point: the fact on its current, its rated current, what it offers beside the other ports
    where that is less than the derated current (else None), and the current that is asked, all in A."""

    port: str
    load: float
    drawn: Fact
    rated: float
    offered: float | None
    asked: float

    @property
    def off(self) -> float:
        """How far the current strays beyond what is allowed, in units of the current asked."""
        return abs(self.drawn.value / self.asked - 1) - HELD

    @property
    def surely_off(self) -> bool:
        """Whether it strays beyond that by more than the 95 % interval of the reading."""
        return self.off * self.asked > 1.96 * self.drawn.u


def port_loads(judge: Judge, together: Fact) -> Iterator[PortLoad]:
    """Each port at each load point of an average over several ports; nothing where the derating factor or the rated
    current of a port is not known. No port is asked for more than it offers beside the others."""
    factor = judge.book.fact(FACTOR)
    if factor is None:
        return
    names = together.key.subject.partition(":")[2].split("+")
    for name in names:
        others = "+".join(sorted(other for other in names if other != name))
        for load in LOADS:
            at = {**dict(together.key.at), "load": load, "with": others}
            volts, drawn = (judge.fact(f"port:{name}", q, **at) for q in ("port_voltage", "output_current"))
            printed = _rated(judge, name, volts.value) if volts else None
            if drawn is not None and printed is not None:
                offer, rated = printed
                power = _in_company(judge, name, others)
                full = rated * factor.value
                offered = power / offer if power is not None and power / offer < full else None
                yield PortLoad(name, load, drawn, rated, offered, (full if offered is None else offered) * load)


def _in_company(judge: Judge, port: str, others: str) -> float | None:
    """The power in W that a port offers, or that the label prints of it, while the others are in use."""
    fact = judge.fact(f"port:{port}", "output_power", **{"with": others})
    seen = said(fact, Route.CAPTURED)
    return seen if seen is not None else said(fact, Route.LABEL)


def _rated(judge: Judge, port: str, volts: float) -> tuple[float, float] | None:
    """The printed voltage in V next to the one that the port stood at, and the printed current in A there."""
    printed = {
        fact.key.number("offer"): amperes
        for fact in judge.book.find("available_current", f"port:{port}")
        if set(dict(fact.key.at)) == {"offer"} and (amperes := said(fact, Route.LABEL)) is not None
    }
    nearest = min(printed, key=lambda offer: abs(offer - volts), default=None)
    near = nearest is not None and abs(nearest - volts) <= _NEAR * nearest
    return (nearest, printed[nearest]) if nearest is not None and near else None
