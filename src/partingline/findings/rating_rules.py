"""What published derating rules allow for the stresses of a unit's parts, side by side."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from partingline.facts import Book
from partingline.findings.pick import estimate
from partingline.model import Citation, Key, Part, Unit
from partingline.sources.tables import derating_citation, table

PORT = "port"
"""Role of the connector of a port: its standard rates it, and no derating rule speaks of it."""
HIGH_VOLTAGE = 250.0
"""V; one rule allows more of an electrolytic capacitor that is rated above."""


@dataclass(frozen=True, slots=True)
class Allowed:
    """What one rule set allows: a share of the rating, or how many kelvin to stay below it."""

    rule: str
    name: str
    limit: float
    citation: Citation


@dataclass(frozen=True, slots=True)
class RuledStress:
    """One stress of a part with its fact: `rating_used` (at most) or `temperature_room` (at least)."""

    part: Part
    of: str
    key: Key
    allowed: tuple[Allowed, ...]

    @property
    def strictest(self) -> float:
        """The limit that every rule set allows."""
        limits = [one.limit for one in self.allowed]
        return max(limits) if self.of == "temperature" else min(limits)


def rule_sets() -> tuple[tuple[str, str], ...]:
    """Every rule set: id and short name."""
    return tuple((rule, row["name"]) for rule, row in _tables().items())


def ruled_stresses(unit: Unit, book: Book) -> Iterator[RuledStress]:
    """Every stress of every part that can be computed, with what the rule sets say of it (often nothing)."""
    for part in unit.parts:
        for key in book.keys("rating_used", part.subject):
            if key.subject == part.subject and book.fact(key) is not None:
                of = str(key.condition("state"))
                yield RuledStress(part, of, key, _shares(f"{_kind(part, of)}-{of}", _high(part, book)))
        rooms = [key for key in book.keys("temperature_room", part.subject) if key.subject == part.subject]
        known = [(fact.value, key) for key in rooms if (fact := book.fact(key)) is not None]
        if known:
            key = min(known, key=lambda one: one[0])[1]
            yield RuledStress(part, "temperature", key, _kelvins(_kind(part, "temperature")))


def _kind(part: Part, of: str) -> str:
    """How the rule tables name a part: `electrolytic`, `ceramic`, `diode`, `switch`, `connector`; empty for others."""
    if part.role == PORT:
        return ""
    words = f"{part.note} {part.marking} {part.package}".casefold()
    if part.kind in ("diode", "bridge"):
        return "schottky" if "schottky" in words and of == "voltage" else "diode"
    if part.kind == "transistor":
        return "switch"
    if part.kind == "connector":
        return "connector"
    if part.kind != "capacitor" or part.role in ("x_capacitor", "y_capacitor") or "polymer" in words:
        return ""
    if "ceramic" in words or (part.package.isdigit() and len(part.package) == 4):
        return "ceramic"
    return "electrolytic"


def _shares(stress: str, high: bool) -> tuple[Allowed, ...]:
    """The share that each rule set allows; `high` asks for the row above 250 V where there is one."""
    above = f"{stress}-above-250-v"
    return tuple(
        Allowed(rule, row["name"], float(row[above if high and above in row else stress]), derating_citation(rule))
        for rule, row in _tables().items()
        if stress in row
    )


def _high(part: Part, book: Book) -> bool:
    rated = estimate(book, Key.of(part.subject, "rated_voltage"))
    return rated is not None and rated > HIGH_VOLTAGE


def _kelvins(kind: str) -> tuple[Allowed, ...]:
    return tuple(
        Allowed(rule, row["name"], float(row["kelvin"][kind]), derating_citation(rule))
        for rule, row in _tables().items()
        if kind in row.get("kelvin", {})
    )


def _tables() -> dict[str, Any]:
    rows: dict[str, Any] = table("parts")["derating"]
    return rows
