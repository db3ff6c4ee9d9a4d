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
    """One port at one load point: the fact on its current, its rated current, and the current that the method asks."""

    port: str
    load: float
    drawn: Fact
    rated: float
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
    current of a port is not known."""
    factor = judge.book.fact(FACTOR)
    if factor is None:
        return
    names = together.key.subject.partition(":")[2].split("+")
    for name in names:
        others = "+".join(sorted(other for other in names if other != name))
        for load in LOADS:
            at = {**dict(together.key.at), "load": load, "with": others}
            volts, drawn = (judge.fact(f"port:{name}", q, **at) for q in ("port_voltage", "output_current"))
            rated = _rated(judge, name, volts.value) if volts else None
            if drawn is not None and rated is not None:
                yield PortLoad(name, load, drawn, rated, rated * factor.value * load)


def _rated(judge: Judge, port: str, volts: float) -> float | None:
    """The printed current in A at the voltage that the port stood at."""
    printed = {
        fact.key.number("offer"): amperes
        for fact in judge.book.find("available_current", f"port:{port}")
        if set(dict(fact.key.at)) == {"offer"} and (amperes := said(fact, Route.LABEL)) is not None
    }
    nearest = min(printed, key=lambda offer: abs(offer - volts), default=None)
    return printed[nearest] if nearest is not None and abs(nearest - volts) <= _NEAR * nearest else None
