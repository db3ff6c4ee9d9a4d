"""An external power supply at the points where the published limits judge it."""

from dataclasses import dataclass
from datetime import date

from partingline.calc.efficiency import (
    BASIC,
    usb_pd_low_voltage_currents,
    usb_pd_low_voltage_power,
    voltage_class,
)
from partingline.facts import Book
from partingline.findings.claimed import said
from partingline.findings.judge import Judge
from partingline.findings.offered import fixed, is_usb_c
from partingline.model import Fact, Key, Number, Port, Route, Text, Unit
from partingline.sources.supply_limits import SupplyLimit, period, supply_limit

_NO_SUPPLY = ("dock", "power bank", "cable")
_PD_CEILING = {9.0: 3.0, 15.0: 3.0, 20.0: 5.0}
"""Amperes that a USB-PD supply in the sense of the US test method does not exceed at these volts."""


@dataclass(frozen=True, slots=True)
class Programme:
    """A set of limits, how a sentence and a figure name it, and the mains that it is judged at."""

    id: str
    name: str
    label: str
    mains: float
    frequency: float

    def limit(self, metric: str, supply_class: str) -> SupplyLimit:
        """The limits of one metric and class."""
        return supply_limit(self.id, metric, supply_class)

    def in_force(self, day: date | None) -> bool | None:
        """Whether the limits hold for a unit of a day; None where the day is not known."""
        return None if day is None else period(self.id).holds(day)


US = Programme("us-level-vi", "US Level VI", "US Level VI", 115.0, 60.0)
EU = Programme("eu-2019-1782", "Regulation (EU) 2019/1782", "EU 2019/1782", 230.0, 50.0)
EU_2009 = Programme("eu-278-2009", "Regulation (EC) 278/2009", "EC 278/2009", 230.0, 50.0)
COC_1 = Programme("coc-v5-tier1", "tier 1 of the voluntary EU Code of Conduct", "CoC tier 1", 230.0, 50.0)
COC = Programme("coc-v5-tier2", "tier 2 of the voluntary EU Code of Conduct", "CoC tier 2", 230.0, 50.0)


PROGRAMMES = (US, EU_2009, EU, COC_1, COC)
"""All sets of limits that are held against a unit, each at its own dates."""


def dated(unit: Unit, book: Book) -> tuple[date | None, str]:
    """The day that decides which limits hold, and of what: of manufacture where that is told, else of examination."""
    told = book.fact(Key.of("unit", "manufacture_date"))
    value = told.preferred.value if told else None
    made = _day(value.text) if isinstance(value, Text) else None
    return (unit.examined, "examined") if made is None else (made, "manufactured")


def _day(text: str) -> date | None:
    """The first day of `2019-05-17`, `2019-05` or `2019`; None for another text."""
    pieces = [*text.strip().split("-"), "01", "01"][:3]
    try:
        return date(*map(int, pieces))
    except (TypeError, ValueError):
        return None


@dataclass(frozen=True, slots=True)
class TestPoint:
    """A port at one voltage: the output power and class of its limit, and the full-load current of the test."""

    port: Port
    voltage: float
    current: float
    power: float
    supply_class: str
    highest: bool
    expected: bool

    @property
    def class_name(self) -> str:
        """`basic voltage` or `low voltage`."""
        return "basic voltage" if self.supply_class == BASIC else "low voltage"

    def key(self, quantity: str, **at: float) -> Key:
        """The fact on a quantity at this voltage."""
        return Key.of(self.port.subject, quantity, offer=self.voltage, **at)


def test_points(judge: Judge) -> tuple[TestPoint, ...]:
    """The highest and the lowest voltage of each port; `expected` at the strongest port, which a bench tests first."""
    if judge.unit.kind.casefold() in _NO_SUPPLY:
        return ()
    outputs = [(port, supplies) for port in judge.unit.ports if (supplies := _supplies(judge, port))]
    strongest = max(outputs, key=lambda output: _strength(output[1]), default=None)
    return tuple(
        _point(port, voltage, supplies, strongest is not None and port is strongest[0])
        for port, supplies in outputs
        for voltage in sorted({max(supplies), min(supplies)}, reverse=True)
    )


def nameplate_power(judge: Judge, points: tuple[TestPoint, ...]) -> float:
    """What the unit gives altogether in W: by its label, else by its ports together, else its strongest port."""
    whole = said(judge.fact("unit", "output_power"), Route.LABEL)
    if whole is not None:
        return whole
    told = [said(fact, Route.LABEL) for fact in judge.book.find("output_power", "port") if not fact.key.at]
    strongest = [point.power for point in points if point.expected]
    return max([power for power in told if power is not None] + strongest)


def measured(judge: Judge, key: Key) -> Fact | None:
    """The number on a key, whatever further conditions it was taken under, with no other port in use."""
    at = dict(key.at)
    found = [
        fact
        for fact in judge.book.find(key.quantity, key.subject, **at)
        if fact.key.subject == key.subject
        and "with" not in dict(fact.key.at)
        and set(dict(fact.key.at)) - set(at) <= {"frequency"}
        and isinstance(fact.preferred.value, Number)
        and fact.preferred.route.is_evidence
    ]
    return min(found, key=lambda fact: len(fact.key.at), default=None)


def _supplies(judge: Judge, port: Port) -> dict[float, float]:
    """Amperes by volts of a port: as its label names them, else as it offers them, else as the listing says."""
    facts = [f for f in judge.book.find("available_current", port.subject) if set(dict(f.key.at)) == {"offer"}]
    own = [fact for fact in facts if fact.key.subject == port.subject]
    by_route = {
        route: {f.key.number("offer"): amperes for f in own if (amperes := said(f, route)) is not None}
        for route in (Route.LABEL, Route.LISTING)
    }
    return by_route[Route.LABEL] or fixed(port.offers) or by_route[Route.LISTING]


def _strength(supplies: dict[float, float]) -> float:
    return max(volts * amperes for volts, amperes in supplies.items())


def _point(port: Port, voltage: float, supplies: dict[float, float], expected: bool) -> TestPoint:
    current, highest = supplies[voltage], voltage == max(supplies)
    supply_class = voltage_class(output_voltage=voltage, output_current=current)
    if not highest and _is_usb_pd(port, supplies):
        power = float(usb_pd_low_voltage_power(lowest_voltage=voltage))
        return TestPoint(port, voltage, float(usb_pd_low_voltage_currents()[0]), power, supply_class, highest, expected)
    return TestPoint(port, voltage, current, voltage * current, supply_class, highest, expected)


def _is_usb_pd(port: Port, supplies: dict[float, float]) -> bool:
    """The definition of the US test method: 3 A at the lowest voltage, no more than the ceiling above, up to 20 V."""
    within = all(amperes <= _PD_CEILING.get(volts, 5.0) + 0.005 for volts, amperes in supplies.items())
    return is_usb_c(port) and supplies[min(supplies)] >= 3.0 and max(supplies) <= 20.0 and within
