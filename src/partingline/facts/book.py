"""The book of facts: statements by key, calculations run where their inputs are known, draws shared throughout."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cached_property
from typing import Any, TypeVar

import numpy as np

from partingline.facts.agree import standings
from partingline.facts.choice import Choice, as_said
from partingline.facts.derivation import Derivation, NoNumberError
from partingline.facts.draws import Array, Draws, standard_uncertainty
from partingline.facts.memory import Memory
from partingline.facts.shared_causes import shapes_by_cause, taken_apart
from partingline.model import (
    Basis,
    Component,
    Fact,
    Interval,
    Key,
    Number,
    Route,
    Sense,
    Shape,
    Statement,
    Text,
)

Record = TypeVar("Record")
Preferences = Mapping[Key, tuple[Route, str]]


class Book:
    """All facts of one unit. Facts are brought together on demand, each once.

    Statements come from the readers; a derivation adds a computed statement to its key when all its needs are known.
    A derivation never feeds itself: a need that is being computed counts as unknown, and of one that was computed from
    the same fact the next best statement is taken that was not. `failures` tells which calculation refused its inputs,
    and why. `memory` knows runs of earlier books.
    """

    def __init__(
        self,
        statements: Iterable[Statement],
        derivations: Iterable[Derivation] = (),
        *,
        draws: Draws | None = None,
        preferences: Preferences | None = None,
        memory: Memory | None = None,
    ) -> None:
        self._memory = memory or Memory()
        self.draws_of = draws or self._memory.draws
        self._said: dict[Key, list[Statement]] = {}
        for statement in statements:
            self._said.setdefault(statement.key, []).append(statement)
        self._shapes = shapes_by_cause(one for told in self._said.values() for one in told)
        self._ways: dict[Key, list[Derivation]] = {}
        for derivation in derivations:
            self._ways.setdefault(derivation.gives, []).append(derivation)
        self._preferences = dict(preferences or {})
        self._facts: dict[Key, Fact | None] = {}
        self._draws: dict[Key, Array] = {}
        self._choices: dict[Key, tuple[Choice, ...]] = {}
        self.failures: dict[Key, str] = {}
        self.no_number: dict[Key, str] = {}
        self._open: list[Key] = []
        self._cut: set[Key] = set()

    def fact(self, key: Key) -> Fact | None:
        """The fact on a key, or None where nothing says or computes it."""
        if key in self._facts:
            return self._facts[key]
        if key in self._open:
            self._cut.add(key)
            return None
        self._open.append(key)
        try:
            fact = self._gather(key)
        finally:
            self._open.pop()
        if self._cut.isdisjoint(self._open):
            self._facts[key] = fact
        self._cut.discard(key)
        return fact

    def heard(self, statements: Iterable[Statement]) -> None:
        """Add statements of the spoken route to facts that are known otherwise; what is computed stays as it is."""
        by_key: dict[Key, list[Statement]] = {}
        for statement in statements:
            by_key.setdefault(statement.key, []).append(statement)
        for key, told in by_key.items():
            fact = self.fact(key)
            if fact is not None:
                ordered = (*fact.statements, *told)
                self._facts[key] = replace(fact, statements=ordered, standings=standings(ordered))

    def draws(self, key: Key) -> Array:
        """Draws of a numeric fact, the estimate at index 0; KeyError where the fact is unknown."""
        fact = self.fact(key)
        if fact is None:
            raise KeyError(key.id)
        if key not in self._draws:
            self._draws[key] = self._draw(fact.preferred)
        return self._draws[key]

    def record(self, key: Key, kind: type[Record]) -> Record | None:
        """All that a calculation of a fact returned, of a kind; None where no calculation returned one."""
        self.fact(key)
        records = (choice.record for choice in self._choices.get(key, ()))
        return next((record for record in records if isinstance(record, kind)), None)

    def facts(self) -> tuple[Fact, ...]:
        """Every fact that can be known, sorted by id."""
        return tuple(fact for key in self._keys if (fact := self.fact(key)) is not None)

    def said_by(self, route: Route) -> Iterator[Fact]:
        """The facts on which a route says something, sorted by id; no other is brought together for that."""
        keys = (key for key in self._keys if any(one.route is route for one in self._said.get(key, ())))
        return (fact for key in keys if (fact := self.fact(key)) is not None)

    def keys(self, quantity: str, subject: str = "", **at: float | str) -> tuple[Key, ...]:
        """Keys of a quantity that something says or could compute, known or not, sorted by id; see `find`."""
        wanted = set(Key.of("", quantity, **at).at)
        alike = self._by_quantity.get(quantity, ())
        return tuple(key for key in alike if key.subject.startswith(subject) and wanted <= set(key.at))

    @cached_property
    def _keys(self) -> tuple[Key, ...]:
        return tuple(sorted({*self._said, *self._ways}, key=lambda key: key.id))

    @cached_property
    def _by_quantity(self) -> dict[str, list[Key]]:
        found: dict[str, list[Key]] = {}
        for key in self._keys:
            found.setdefault(key.quantity, []).append(key)
        return found

    def find(self, quantity: str, subject: str = "", **at: float | str) -> tuple[Fact, ...]:
        """Facts of a quantity whose subject starts with `subject` and whose conditions include `at`."""
        found = (self.fact(key) for key in self.keys(quantity, subject, **at))
        return tuple(fact for fact in found if fact is not None)

    def missing(self, key: Key) -> tuple[Key, ...]:
        """The keys that nobody has said and whose facts would let this one be known; empty where it is known."""
        return tuple(sorted(self._missing(key, ()), key=lambda k: k.id))

    def needs(self, key: Key) -> tuple[Key, ...]:
        """All keys that the ways to compute a fact ask for."""
        return tuple(dict.fromkeys(need for way in self._ways.get(key, ()) for _, need in _flat(way)))

    def with_draws(self, draws: Draws) -> "Book":
        """The same statements, derivations and preferences with other draws."""
        said = (statement for statements in self._said.values() for statement in statements)
        ways = (way for ways in self._ways.values() for way in ways)
        return Book(said, ways, draws=draws, preferences=self._preferences)

    def subjects(self) -> tuple[str, ...]:
        """Every subject that something is said of."""
        return tuple(sorted({key.subject for key in self._said}))

    def _missing(self, key: Key, path: tuple[Key, ...]) -> set[Key]:
        if self.fact(key) is not None:
            return set()
        ways = [way for way in self._ways.get(key, ()) if key not in path]
        options = [
            set[Key]().union(
                *(self._missing(need, (*path, key)) for name, need in _flat(way) if name not in way.optional)
            )
            for way in ways
        ]
        return min((option for option in options if option), key=len, default={key})

    def _gather(self, key: Key) -> Fact | None:
        choices = [*map(as_said, self._said.get(key, [])), *self._computed(key)]
        if not choices:
            return None
        choices = self._apart(choices)
        ordered = self._ordered(key, choices)
        preferred, statements = ordered[0], tuple(choice.statement for choice in ordered)
        if preferred.drawn is not None:
            self._draws[key] = preferred.drawn
        self._choices[key] = ordered
        route, because = self._preferences.get(key, (None, ""))
        basis, value = preferred.statement.basis, preferred.statement.value
        return Fact(
            key=key,
            statements=statements,
            standings=standings(statements),
            u=value.u if isinstance(value, Number) else 0.0,
            causes=preferred.causes,
            inputs=basis.inputs if basis and preferred.drawn is not None else (),
            preferred_because=because if route is preferred.statement.route else "",
        )

    def _ordered(self, key: Key, choices: Iterable[Choice]) -> tuple[Choice, ...]:
        route, _ = self._preferences.get(key, (None, ""))

        def order(choice: Choice) -> tuple[bool, int, bool, float]:
            statement = choice.statement
            supposed = statement.route is Route.ASSUMED and choice.drawn is not None
            return statement.route is not route, statement.route.rank, supposed, _spread(statement)

        return tuple(sorted(choices, key=order))

    def _computed(self, key: Key) -> Iterator[Choice]:
        for way in self._ways.get(key, ()):
            if (known := self._known_needs(way)) is None:
                continue
            record, drawn = self._run(way, known)
            if drawn is not None:
                used = self._used(way, known)
                causes = frozenset(way.own).union(*(choice.causes for choice in used.values()))
                upstream = frozenset(used).union(*(choice.upstream for choice in used.values()))
                yield Choice(_statement(way, drawn, tuple(used)), causes, upstream, drawn, record)

    def _used(self, way: Derivation, known: Mapping[str, Mapping[Key, Choice]]) -> dict[Key, Choice]:
        """What a result follows from: every need, but of those that one is chosen from only the highest."""
        used = {key: c for name, chosen in known.items() if name != way.chosen_from for key, c in chosen.items()}
        if way.chosen_from:
            highest = max(known[way.chosen_from], key=lambda key: float(self.draws(key)[0]))
            used[highest] = known[way.chosen_from][highest]
        return used

    def _apart(self, choices: list[Choice]) -> list[Choice]:
        """Computed statements, each taken apart by the causes that it shares with another statement on the fact."""
        if len(choices) < 2:
            return choices
        counts = Counter(cause for choice in choices for cause in choice.causes)
        return [
            choice
            if choice.drawn is None
            else replace(
                choice,
                statement=self._memory.run(
                    taken_apart,
                    {
                        "statement": choice.statement,
                        "drawn": choice.drawn,
                        "shared": self._shapes_of(cause for cause in choice.causes if counts[cause] > 1),
                        "draws": self.draws_of,
                    },
                ),
            )
            for choice in choices
        ]

    def _shapes_of(self, causes: Iterable[str]) -> dict[str, Shape]:
        return {cause: self._shapes[cause] for cause in sorted(causes) if cause in self._shapes}

    def _known_needs(self, way: Derivation) -> dict[str, dict[Key, Choice]] | None:
        """What each need is taken from; None where one is missing that the derivation cannot do without."""
        known: dict[str, dict[Key, Choice]] = {}
        for name, need in way.needs.items():
            keys = (need,) if isinstance(need, Key) else need
            chosen = {key: choice for key in keys if (choice := self._chosen(way, name, key)) is not None}
            if keys and len(chosen) == len(set(keys)):
                known[name] = chosen
            elif name not in way.optional:
                return None
        return known

    def _chosen(self, way: Derivation, name: str, key: Key) -> Choice | None:
        """The best way to know a need that does not lead back to what is to be computed."""
        if name in way.said:
            return next(iter(self._ordered(key, map(as_said, self._said.get(key, ())))), None)
        if self.fact(key) is None:
            return None
        return next((choice for choice in self._choices[key] if way.gives not in choice.upstream), None)

    def _run(self, way: Derivation, known: Mapping[str, Mapping[Key, Choice]]) -> tuple[object, Array | None]:
        """The result and its draws; None where the estimate or most draws are no numbers, or inputs are refused."""
        arguments: dict[str, Any] = dict(way.fixed)
        try:
            for name, chosen in known.items():
                drawn_of = [self._argument(key, choice) for key, choice in chosen.items()]
                arguments[name] = drawn_of[0] if isinstance(way.needs[name], Key) else np.stack(drawn_of)
            if way.own:
                arguments["own"] = np.stack([self.draws_of.unit(cause, Shape.NORMAL) for cause in way.own])
            with np.errstate(all="ignore"):
                result = self._memory.run(way.compute, arguments)
        except NoNumberError as error:
            self.no_number[way.gives] = str(error)
            return None, None
        except (ValueError, LookupError, TypeError, ArithmeticError) as error:
            self.failures[way.gives] = f"{way.what}: {error.args[0] if error.args else error}"
            return None, None
        picked = getattr(result, way.pick) if way.pick else result
        drawn = np.broadcast_to(np.asarray(picked, dtype=float), (self.draws_of.count + 1,)) * way.scale
        finite = np.isfinite(drawn)
        return result, drawn if bool(finite[0]) and float(finite.mean()) > 0.5 else None

    def _argument(self, key: Key, choice: Choice) -> Any:
        """The draws of a need, or its words."""
        if isinstance(choice.statement.value, Text):
            return choice.statement.value.text
        if choice.drawn is not None:
            return choice.drawn
        preferred = self._choices[key][0] if key in self._choices else None
        return self.draws(key) if choice is preferred else self._draw(choice.statement)

    def _draw(self, preferred: Statement) -> Array:
        value = preferred.value
        if isinstance(value, Interval):
            return self.draws_of.within(value, f"interval:{preferred.key.id}")
        if not isinstance(value, Number):
            raise TypeError(f"{preferred.key.id} is text and has no draws")
        return self.draws_of.of(value)


def _statement(way: Derivation, drawn: Array, used: tuple[Key, ...]) -> Statement:
    u = standard_uncertainty(drawn[np.isfinite(drawn)])
    components = (Component(f"computed:{way.gives.id}", u, Shape.NORMAL),) if u else ()
    return Statement(
        key=way.gives,
        value=Number(float(drawn[0]), components),
        route=way.route,
        sense=way.sense,
        note=way.note,
        basis=Basis(what=way.what, source=str(way.source), inputs=used, own=way.own),
    )


def _flat(way: Derivation) -> Iterator[tuple[str, Key]]:
    for name, need in way.needs.items():
        for key in (need,) if isinstance(need, Key) else need:
            yield name, key


def _spread(statement: Statement) -> float:
    """Order of statements of one route: readings before bounds, the more certain first."""
    bound = 1e9 if statement.sense in (Sense.AT_LEAST, Sense.AT_MOST) else 0.0
    return bound + (statement.value.u if isinstance(statement.value, Number) else 0.0)
