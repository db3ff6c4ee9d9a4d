"""What there is to compute for: ports, parts by role, and the conditions under which something was said."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from partingline.model import Interval, Key, Number, Part, Statement, Text, Unit

INPUT = "stage:input"


@dataclass(frozen=True)
class Layout:
    """The unit and the keys of everything said of it."""

    unit: Unit
    statements: tuple[Statement, ...]

    @cached_property
    def keys(self) -> frozenset[Key]:
        """Every key that a statement speaks of."""
        return frozenset(statement.key for statement in self.statements)

    def with_quantity(self, quantity: str, subject: str = "") -> tuple[Key, ...]:
        """Keys of a quantity whose subject starts with `subject`, sorted."""
        found = (key for key in self.keys if key.quantity == quantity and key.subject.startswith(subject))
        return tuple(sorted(found, key=lambda key: key.id))

    def subjects(self, kind: str) -> tuple[str, ...]:
        """Subjects such as `barrier:main` that something is said of."""
        return tuple(sorted({key.subject for key in self.keys if key.subject.startswith(f"{kind}:")}))

    def parts(self, role: str) -> tuple[Part, ...]:
        """Parts that fill a role."""
        return self.unit.having(role)

    @cached_property
    def _said(self) -> dict[Key, list[Statement]]:
        """What is said on each key, the most preferred first."""
        found: dict[Key, list[Statement]] = {}
        for statement in sorted(self.statements, key=lambda s: s.route.rank):
            found.setdefault(statement.key, []).append(statement)
        return found

    @property
    def rectifying_diodes(self) -> tuple[Part, ...]:
        """The output rectifiers, where all of them are diodes."""
        parts = self.parts("rectifier")
        return parts if all(part.kind == "diode" for part in parts) else ()

    def ambient_of(self, key: Key) -> Key:
        """The ambient under which something was measured: of its own conditions where it was read, else the unit's."""
        own = Key("unit", "ambient_temperature", key.at)
        return own if own in self.keys else Key.of("unit", "ambient_temperature")

    def number(self, key: Key) -> float | None:
        """The plain value of the most preferred number said on a key, for conditions that need it."""
        return next((s.value.value for s in self._said.get(key, ()) if isinstance(s.value, Number)), None)

    def text(self, key: Key) -> str:
        """The most preferred words said on a key, or nothing."""
        return next((s.value.text for s in self._said.get(key, ()) if isinstance(s.value, Text)), "")

    @property
    def lowest_mains(self) -> float:
        """The lowest mains voltage in V: what is told, or 10 % below the label's, or 90 V (common practice)."""
        return self._mains("lowest_mains", 0.9, low=True, default=90.0)

    @property
    def highest_mains(self) -> float:
        """The highest mains voltage in V: what is told, or 10 % above the label's, or 264 V (common practice)."""
        return self._mains("highest_mains", 1.1, low=False, default=264.0)

    @property
    def offers(self) -> tuple[tuple[str, float, float], ...]:
        """Port, voltage and current of every fixed offer."""
        return tuple(
            (port.subject, offer.voltage, offer.current)
            for port in self.unit.ports
            for offer in port.offers
            if offer.kind == "fixed" and offer.current
        )

    @property
    def strongest_offer(self) -> tuple[str, float, float] | None:
        """The fixed offer of the highest power: the full load of the converter."""
        return max(self.offers, key=lambda offer: (offer[1] * offer[2], offer[1]), default=None)

    def _mains(self, quantity: str, factor: float, *, low: bool, default: float) -> float:
        told = self.number(Key.of(INPUT, quantity))
        if told is not None:
            return told
        printed = (s.value for s in self.statements if s.key == Key.of("unit", "rated_input_voltage"))
        label = next((value for value in printed if isinstance(value, Interval)), None)
        return round((label.low if low else label.high) * factor, 6) if label else default


def part_keys(parts: Iterable[Part], quantity: str) -> tuple[Key, ...]:
    """One key a part."""
    return tuple(Key.of(part.subject, quantity) for part in parts)
