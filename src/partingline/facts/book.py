"""The book of facts: statements by key, calculations run where their inputs are known, draws shared throughout."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from partingline.facts.agree import standings
from partingline.facts.derivation import Derivation
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

Preferences = Mapping[Key, tuple[Route, str]]


class Book:
    """All facts of one unit. Facts are brought together on demand, each once.

    Statements come from the readers; a derivation adds a computed statement to its key when all its needs are known.
    A derivation never feeds itself: a need that is being computed, or was computed from the same fact, counts as
    unknown. `failures` tells which calculation refused its inputs, and why. `memory` knows runs of earlier books.
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
        self._upstream: dict[Key, frozenset[Key]] = {}
        self.failures: dict[Key, str] = {}
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

    def facts(self) -> tuple[Fact, ...]:
        """Every fact that can be known, sorted by id."""
        keys = sorted({*self._said, *self._ways}, key=lambda key: key.id)
        return tuple(fact for key in keys if (fact := self.fact(key)) is not None)

    def keys(self, quantity: str, subject: str = "", **at: float | str) -> tuple[Key, ...]:
        """Keys of a quantity that something says or could compute, known or not, sorted by id; see `find`."""
        wanted = set(Key.of("", quantity, **at).at)
        matching = {
            key
            for key in (*self._said, *self._ways)
            if key.quantity == quantity and key.subject.startswith(subject) and wanted <= set(key.at)
        }
        return tuple(sorted(matching, key=lambda key: key.id))

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
        said = self._said.get(key, [])
        pairs = self._apart(list(self._computed(key)), said)
        computed = {
            id(statement): (drawn, statement.basis.inputs if statement.basis else ()) for statement, drawn in pairs
        }
        statements = [*said, *(statement for statement, _ in pairs)]
        if not statements:
            return None
        route, because = self._preferences.get(key, (None, ""))
        ordered = tuple(sorted(statements, key=lambda s: (s.route is not route, s.route.rank, _spread(s))))
        preferred = ordered[0]
        drawn, inputs = computed.get(id(preferred), (None, ()))
        if drawn is not None:
            self._draws[key] = drawn
        self._upstream[key] = frozenset(inputs).union(*(self._upstream.get(k, frozenset()) for k in inputs))
        return Fact(
            key=key,
            statements=ordered,
            standings=standings(ordered),
            u=preferred.value.u if isinstance(preferred.value, Number) else 0.0,
            causes=_own_causes(preferred) if drawn is None else self._inherited(inputs),
            inputs=inputs,
            preferred_because=because if route is preferred.route else "",
        )

    def _computed(self, key: Key) -> Iterator[tuple[Statement, Array]]:
        for way in self._ways.get(key, ()):
            if (known := self._known_needs(way)) is None:
                continue
            if (drawn := self._run(way, known)) is not None:
                yield self._statement(way, drawn, known), drawn

    def _apart(self, pairs: list[tuple[Statement, Array]], said: list[Statement]) -> list[tuple[Statement, Array]]:
        """Computed statements, each taken apart by the causes that it shares with another statement on the fact."""
        if len(pairs) + len(said) < 2:
            return pairs
        causes = [self._inherited(s.basis.inputs if s.basis else ()) for s, _ in pairs]
        counts = Counter(cause for one in [*causes, *map(_own_causes, said)] for cause in one)
        return [
            (taken_apart(statement, drawn, self._shapes_of(c for c in own if counts[c] > 1), self.draws_of), drawn)
            for (statement, drawn), own in zip(pairs, causes, strict=True)
        ]

    def _shapes_of(self, causes: Iterable[str]) -> dict[str, Shape]:
        return {cause: self._shapes[cause] for cause in sorted(causes) if cause in self._shapes}

    def _known_needs(self, way: Derivation) -> dict[str, tuple[Key, ...]] | None:
        """The keys of each need that is known; None where one is missing that the derivation cannot do without."""
        known: dict[str, tuple[Key, ...]] = {}
        for name, need in way.needs.items():
            keys = (need,) if isinstance(need, Key) else need
            if keys and all(self.fact(k) is not None and way.gives not in self._upstream[k] for k in keys):
                known[name] = keys
            elif name not in way.optional:
                return None
        return known

    def _run(self, way: Derivation, known: Mapping[str, tuple[Key, ...]]) -> Array | None:
        """The draws of the result; None where the estimate or most draws are no numbers, or the inputs are refused."""
        arguments: dict[str, Any] = dict(way.fixed)
        try:
            for name, keys in known.items():
                need = way.needs[name]
                arguments[name] = self._argument(need) if isinstance(need, Key) else self._stack(keys)
            with np.errstate(all="ignore"):
                result = self._memory.run(way.compute, arguments)
        except (ValueError, LookupError, TypeError, ArithmeticError) as error:
            self.failures[way.gives] = f"{way.what}: {error.args[0] if error.args else error}"
            return None
        picked = getattr(result, way.pick) if way.pick else result
        drawn = np.broadcast_to(np.asarray(picked, dtype=float), (self.draws_of.count + 1,)) * way.scale
        finite = np.isfinite(drawn)
        return drawn if bool(finite[0]) and float(finite.mean()) > 0.5 else None

    def _stack(self, keys: tuple[Key, ...]) -> Array:
        return np.stack([self.draws(key) for key in keys])

    def _argument(self, key: Key) -> Array | str:
        fact = self.fact(key)
        return fact.text if fact is not None and isinstance(fact.preferred.value, Text) else self.draws(key)

    def _statement(self, way: Derivation, drawn: Array, known: Mapping[str, tuple[Key, ...]]) -> Statement:
        finite = drawn[np.isfinite(drawn)]
        u = standard_uncertainty(finite)
        cause = f"computed:{way.gives.id}"
        components = (Component(cause, u, Shape.NORMAL),) if u else ()
        used = [key for name, keys in known.items() if name != way.chosen_from for key in keys]
        if way.chosen_from:
            used.append(max(known[way.chosen_from], key=lambda key: float(self.draws(key)[0])))
        return Statement(
            key=way.gives,
            value=Number(float(drawn[0]), components),
            route=way.route,
            sense=way.sense,
            note=way.note,
            basis=Basis(what=way.what, source=str(way.source), inputs=tuple(used)),
        )

    def _inherited(self, inputs: tuple[Key, ...]) -> frozenset[str]:
        facts = (self.fact(key) for key in inputs)
        return frozenset().union(*(fact.causes for fact in facts if fact is not None))

    def _draw(self, preferred: Statement) -> Array:
        value = preferred.value
        if isinstance(value, Interval):
            return self.draws_of.within(value, f"interval:{preferred.key.id}")
        if not isinstance(value, Number):
            raise TypeError(f"{preferred.key.id} is text and has no draws")
        return self.draws_of.of(value)


def _own_causes(statement: Statement) -> frozenset[str]:
    value = statement.value
    if isinstance(value, Number):
        return frozenset(component.cause for component in value.components if component.width)
    return frozenset({f"interval:{statement.key.id}"}) if isinstance(value, Interval) else frozenset()


def _flat(way: Derivation) -> Iterator[tuple[str, Key]]:
    for name, need in way.needs.items():
        for key in (need,) if isinstance(need, Key) else need:
            yield name, key


def _spread(statement: Statement) -> float:
    """Order of statements of one route: readings before bounds, the more certain first."""
    bound = 1e9 if statement.sense in (Sense.AT_LEAST, Sense.AT_MOST) else 0.0
    return bound + (statement.value.u if isinstance(statement.value, Number) else 0.0)
