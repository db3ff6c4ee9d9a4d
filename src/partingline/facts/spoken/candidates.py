"""The facts as a speaker could say them: the numbers that would be right for each, by unit and by subject."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace

from partingline.model import Fact, Interval, Number, Route, Sense, Standing, Statement, Text
from partingline.sources import quantities

_NEVER_SAID = frozenset({"pollution_degree", "altitude", "record_length", "damaged_frames", "retry_count"})
_BASIC = frozenset(
    [
        "capacitance",
        "resistance",
        "inductance",
        "cold_resistance",
        "rated_voltage",
        "rated_ac_voltage",
        "rated_current",
        "available_current",
        "output_power",
        "mass",
        "rated_input_voltage",
        "rated_input_frequency",
        "no_load_power",
        "average_efficiency",
        "rated_temperature",
        "on_resistance",
        "magnetising_inductance",
        "creepage",
        "length",
        "width",
        "height",
        "surface_temperature",
        "power_density",
        "turns_ratio",
        "rated_life",
        "isolation_voltage",
        "volume",
        "switching_frequency",
        "ripple_voltage",
    ]
)
"""What a figure is taken for where nothing near it tells. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Right:
    """A number that would be right (SI), its half-width, and the statement that says so."""

    value: float
    half: float
    statement: Statement


@dataclass(frozen=True, slots=True)
class Candidate:
    """A fact with the numbers that agree with it, and those that only a contradicted claim says.

    `computed`: nothing but a calculation says it. `alone`: no other subject has its quantity.
    """

    fact: Fact
    unit: str
    rights: tuple[Right, ...]
    claims: tuple[Right, ...]
    interval: Interval | None
    basic: bool
    computed: bool = False
    alone: bool = False


class Candidates:
    """All facts that can be spoken of in numbers."""

    def __init__(self, facts: Iterable[Fact]) -> None:
        known = [one for fact in facts if (one := _candidate(fact)) is not None]
        owners: dict[str, set[str]] = defaultdict(set)
        for one in known:
            owners[one.fact.key.quantity].add(one.fact.key.subject)
        self.all = [replace(one, alone=len(owners[one.fact.key.quantity]) == 1) for one in known]
        self.by_unit: dict[str, list[Candidate]] = defaultdict(list)
        self.by_subject: dict[str, list[Candidate]] = defaultdict(list)
        self.by_quantity: dict[str, list[Candidate]] = defaultdict(list)
        for one in self.all:
            self.by_unit[one.unit].append(one)
            self.by_subject[one.fact.key.subject].append(one)
            self.by_quantity[one.fact.key.quantity].append(one)

    def conditions(self, name: str) -> frozenset[float]:
        """All numbers of a condition under which something is known."""
        return frozenset(v for one in self.all for n, v in one.fact.key.at if n == name and isinstance(v, float))


def _candidate(fact: Fact) -> Candidate | None:
    known = quantities().get(fact.key.quantity)
    spoken_of = [s for s in fact.statements if s.route not in (Route.SPOKEN, Route.ASSUMED)]
    if known is None or known.is_text or not spoken_of or fact.key.quantity in _NEVER_SAID:
        return None
    if fact.key.subject.startswith("capture:") and fact.key.quantity == "port_voltage":
        return None
    rights: list[Right] = []
    claims: list[Right] = []
    for statement, standing in zip(fact.statements, fact.standings, strict=True):
        if statement in spoken_of:
            shaky = standing is Standing.CONTRADICTED and statement is not fact.preferred
            (claims if shaky else rights).extend(_rights(statement))
    interval = next((s.value for s in spoken_of if isinstance(s.value, Interval)), None)
    unit = {"bit/s": "Hz"}.get(known.unit, known.unit)
    computed = all(statement.route is Route.COMPUTED for statement in spoken_of)
    return Candidate(fact, unit, tuple(rights), tuple(claims), interval, fact.key.quantity in _BASIC, computed)


def _rights(statement: Statement) -> list[Right]:
    value = statement.value
    if isinstance(value, Text):
        return []
    if isinstance(value, Interval):
        return [Right(value.low, 0.0, statement), Right(value.high, 0.0, statement)]
    half = 0.0 if statement.sense is Sense.NOMINAL else 2.0 * value.u
    return [Right(value.value, half, statement)] if isinstance(value, Number) else []
