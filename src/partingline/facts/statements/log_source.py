"""One log on its way to statements: keys, values with their components, evidence, and what is missing for them."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from partingline.model import (
    Component,
    Evidence,
    Key,
    Number,
    Place,
    Problem,
    Route,
    Sense,
    Shape,
    Statement,
    Whole,
)
from partingline.readers.logs import Accuracy, Log
from partingline.readers.logs.plateaus import Level, Plateau, level

MAINS = (100.0, 110.0, 115.0, 120.0, 127.0, 200.0, 208.0, 220.0, 230.0, 240.0, 264.0, 90.0)
Accuracies = Mapping[tuple[str, str], Accuracy]


@dataclass
class LogSource:
    """A log, the accuracy statements by (instrument, quantity), and the problems met while statements are made."""

    log: Log
    accuracies: Accuracies
    sha256: str
    problems: list[Problem] = field(default_factory=list)
    _asked: set[str] = field(default_factory=set)

    def statement(
        self, key: Key, found: Level, first: int, last: int, quantity: str, channel: str = "", *, note: str = ""
    ) -> Statement:
        """A measured statement on the level of a column over samples `first` to `last`."""
        evidence = self.evidence(first, last, quantity, channel)
        return Statement(
            key, self.number(key, found, quantity, channel), Route.MEASURED, Sense.EQUALS, (evidence,), note=note
        )

    def read(
        self, key: Key, first: int, last: int, quantity: str, channel: str = "", *, note: str = ""
    ) -> Statement | None:
        """The same from the column itself; None where it holds no value there."""
        found = level(self.log, quantity, channel, first, last)
        return None if found is None else self.statement(key, found, first, last, quantity, channel, note=note)

    def number(self, key: Key, found: Level, quantity: str, channel: str = "") -> Number:
        """A level with its causes (JCGM 100:2008, 4.2 and 4.3): the meter's, shared; scatter, resolution, drift, its
        own."""
        step = self.log.column(quantity, channel).step
        components = list(self.accuracy(found.value, quantity, channel, step))
        if found.clock and (guest := self.log.guest(quantity, channel)):
            components.append(Component(f"clock of {guest.log.entry.file}/offset", found.clock))
        own = {"scatter": (found.u, Shape.NORMAL), "resolution": (found.resolution, Shape.RECTANGULAR),
               "drift": (found.drift, Shape.RECTANGULAR)}  # fmt: skip
        components += [Component(self.cause(key, name), width, shape) for name, (width, shape) in own.items() if width]
        return Number(found.value, tuple(components))

    def cause(self, key: Key, name: str) -> str:
        """A cause that moves this one statement only, wherever the same key is read from another log."""
        return f"{key.id}/{name}:{self.log.entry.file}"

    def accuracy(
        self, value: float, quantity: str, channel: str = "", step: float = 0.0, *, column: str = ""
    ) -> tuple[Component, ...]:
        """Components from the instrument's accuracy statement; none, and a remark, where nothing is stated.

        `column`: the quantity whose instrument measured it, where it is read from a waveform.
        """
        instrument = self.instrument(quantity, channel) or (self.instrument(column, channel) if column else "")
        # A scope's accuracy is stated for what it mostly reads: the ripple, or the voltage itself.
        alike = (quantity, "ripple_voltage", column) if column == "port_voltage" else (quantity, column)
        known = next((self.accuracies[instrument, q] for q in alike if (instrument, q) in self.accuracies), None)
        if known is not None:
            return known.components(value, f"{instrument}/{column or quantity}", step, self.log.entry.ambient_c)
        asked = column or quantity
        if asked not in self._asked and quantity != "power_factor":
            self._asked.add(asked)
            who = f"{instrument} has no accuracy statement" if instrument else "no instrument is named"
            example = f'[instrument.{instrument or "NAME"}] {quantity} = "0.1 % rdg"'
            step_ = f"Add {example} to unit.toml; until then only scatter counts."
            self.problem(f"{who} for {quantity}", "an instrument with its accuracy", step_, loses=False)
        return ()

    def instrument(self, quantity: str, channel: str = "") -> str:
        """The id of the instrument that measured a column, '' where logs.toml does not say."""
        guest = self.log.guest(quantity, channel)
        named = guest.log.entry.instruments if guest else self.log.entry.instruments
        first = self.log.entry.ports[0] if self.log.entry.ports else ""
        keys = (f"{channel or first}/{quantity}", quantity)
        return next((named[key] for key in keys if key in named), "")

    def evidence(self, first: int, last: int, quantity: str, channel: str = "") -> Evidence:
        """Rows of a column, in the file as it was hashed."""
        seen = self.log.evidence(first, last, quantity, channel)
        return seen if seen.path != self.log.path else Evidence(seen.path, self.sha256, seen.place)

    def mains(self, plateau: Plateau | None = None, *, measured: bool = False) -> dict[str, float]:
        """The condition `mains`: as logs.toml says, or the nominal voltage next to what was measured; empty if
        unknown."""
        told = self.log.entry.mains_v
        if told is not None and not measured:
            return {"mains": told}
        last = len(self.log.time_s) - 1
        first, last = (plateau.settled_first, plateau.last) if plateau else (0, last)
        found = level(self.log, "input_voltage", "", first, last)
        if found is None:
            return {"mains": told} if told is not None else {}
        nearest = min(MAINS, key=lambda nominal: abs(nominal - found.value))
        return {"mains": nearest if abs(nearest - found.value) <= 0.02 * nearest else round(found.value)}

    def conditions(self) -> dict[str, float | str]:
        """Mains, offer, load and company as logs.toml tells them."""
        told = {"offer": self.log.entry.offer_v, "load": self.log.entry.load}
        return {**self.mains(), **self.company(), **{name: value for name, value in told.items() if value is not None}}

    def company(self) -> dict[str, str]:
        """The condition `with` where another port was in use."""
        return {"with": self.log.entry.partner} if self.log.entry.partner else {}

    def problem(
        self, found: str, expected: str, next_step: str, place: Place | None = None, *, loses: bool = True
    ) -> None:
        """Keep a problem, at the log's entry in logs.toml where no place in the log is given."""
        at = Evidence(self.log.path, self.sha256, place or Whole())
        if place is None and self.log.entry.evidence is not None:
            at = self.log.entry.evidence
            found = f"{self.log.entry.file}: {found}"
        self.problems.append(Problem(at, found, expected, next_step, loses))

    def rows(self, first: int, last: int, column: str = "") -> Place:
        """Where samples stand in the file."""
        return self.log.place(first, last, column)


def product(a: Number, b: Number) -> Number:
    """a × b with the causes of both (JCGM 100:2008, eq. 10 and 13: a cause of both adds with its sign)."""
    parts = [Component(c.cause, c.width * b.value, c.shape) for c in a.components]
    parts += [Component(c.cause, c.width * a.value, c.shape) for c in b.components]
    return Number(a.value * b.value, tuple(parts))


def total(numbers: tuple[Number, ...]) -> Number:
    """The sum with the causes of all."""
    return Number(sum(n.value for n in numbers), tuple(c for n in numbers for c in n.components))
