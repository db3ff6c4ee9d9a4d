"""What a judging function is given: the case, and the few ways to reach a verdict."""

import math
from collections.abc import Sequence

import numpy as np

from partingline.facts import Book
from partingline.facts.draws import Array, standard_uncertainty
from partingline.findings.case import Case
from partingline.findings.head import RuleHead
from partingline.findings.words import say
from partingline.model import Citation, Fact, Finding, Key, Limit, Unit, Verdict

Bound = float | Key
"""A limit: a number in SI units, or the key of the fact that holds it."""


class Judge:
    """The case as one rule sees it. Every method that ends in a verdict returns a Finding of this rule."""

    def __init__(self, case: Case, rule: RuleHead) -> None:
        self.case = case
        self.rule = rule

    @property
    def unit(self) -> Unit:
        """The unit: ports, parts, identity."""
        return self.case.unit

    @property
    def book(self) -> Book:
        """The facts."""
        return self.case.book

    def fact(self, subject: str, quantity: str, **at: float | str) -> Fact | None:
        """The fact on a key, or None."""
        return self.book.fact(Key.of(subject, quantity, **at))

    def at_most(
        self,
        key: Key,
        limit: Bound,
        sentence: str,
        *,
        label: str = "",
        source: Citation | None = None,
        next_step: str = "",
        **said: object,
    ) -> Finding:
        """The fact must not exceed the limit. `sentence` may hold `{value}`, `{limit}` and the names in `said`.

        `source` stands in for the rule's where the limits of one rule were read in different ways. `next_step`
        tells how to come by a missing fact, or how to settle one that its uncertainty leaves undecided. Facts that
        the sentence names count as used.
        """
        return self._against(key, None, limit, sentence, label, said, source, next_step)

    def at_least(
        self,
        key: Key,
        limit: Bound,
        sentence: str,
        *,
        label: str = "",
        source: Citation | None = None,
        next_step: str = "",
        **said: object,
    ) -> Finding:
        """The fact must reach the limit."""
        return self._against(key, limit, None, sentence, label, said, source, next_step)

    def between(
        self,
        key: Key,
        low: Bound,
        high: Bound,
        sentence: str,
        *,
        label: str = "",
        source: Citation | None = None,
        next_step: str = "",
        **said: object,
    ) -> Finding:
        """The fact must lie between the limits; `{low}` and `{high}` may stand in the sentence."""
        return self._against(key, low, high, sentence, label, said, source, next_step)

    def decided(
        self,
        meets: bool,
        sentence: str,
        *,
        subject: str,
        used: Sequence[Key] = (),
        source: Citation | None = None,
        next_step: str = "",
        **said: object,
    ) -> Finding:
        """A verdict on something without a scale: a class, a presence, an order."""
        verdict = Verdict.MEETS if meets else Verdict.FALLS_SHORT
        key = used[0] if used else None
        return self._finding(
            verdict, subject, sentence, said, key=key, used=tuple(used), source=source, next_step=next_step
        )

    def undecided(
        self, sentence: str, *, subject: str, used: Sequence[Key] = (), next_step: str = "", **said: object
    ) -> Finding:
        """The facts are known, but they do not settle it."""
        return self._finding(Verdict.UNDECIDED, subject, sentence, said, used=tuple(used), next_step=next_step)

    def lacks(
        self, sentence: str, *, subject: str, missing: Sequence[Key], next_step: str = "", **said: object
    ) -> Finding:
        """Not enough data, and what is missing."""
        roots = [root for key in missing for root in (self.book.missing(key) or (key,))]
        return self._finding(
            Verdict.NOT_ENOUGH_DATA, subject, sentence, said, missing=tuple(dict.fromkeys(roots)), next_step=next_step
        )

    def _against(
        self,
        key: Key,
        low: Bound | None,
        high: Bound | None,
        sentence: str,
        label: str,
        said: dict[str, object],
        source: Citation | None,
        next_step: str,
    ) -> Finding:
        keys = [k for k in (key, low, high) if isinstance(k, Key)]
        unknown = [k for k in keys if self.book.fact(k) is None]
        if unknown:
            return self.lacks(self.rule.claim, subject=key.subject, missing=unknown, next_step=next_step)
        value = self.book.draws(key)
        rooms = [value - self._bound(low)] if low is not None else []
        rooms += [self._bound(high) - value] if high is not None else []
        room = min(rooms, key=lambda drawn: float(drawn[0]))
        probability = _conformity(rooms)
        limit = Limit(self._estimate(low), self._estimate(high), label)
        names = {"value": key, "limit": high if low is None else low, "low": low, "high": high}
        words = {name: _sayable(bound, key) for name, bound in names.items() if bound is not None}
        verdict = self._verdict(probability)
        return self._finding(
            verdict,
            key.subject,
            sentence,
            {**words, **said},
            key=key,
            limit=limit,
            margin=float(room[0]),
            probability=probability,
            decides_at_u=self._deciding_u(room),
            used=tuple(dict.fromkeys([*keys, *(named for named in said.values() if isinstance(named, Key))])),
            source=source,
            next_step=next_step if verdict is Verdict.UNDECIDED else "",
        )

    def _estimate(self, bound: Bound | None) -> float | None:
        return None if bound is None else float(np.atleast_1d(self._bound(bound))[0])

    def _bound(self, bound: Bound) -> Array | float:
        return self.book.draws(bound) if isinstance(bound, Key) else bound

    def _verdict(self, probability: float) -> Verdict:
        if probability >= 1 - self.case.guard.risk:
            return Verdict.MEETS
        return Verdict.FALLS_SHORT if probability <= self.case.guard.risk else Verdict.UNDECIDED

    def _deciding_u(self, room: Array) -> float | None:
        """The standard uncertainty at which the same estimate would be decided (JCGM 106:2012, 8.3)."""
        from statistics import NormalDist

        margin = abs(float(room[0]))
        return margin / NormalDist().inv_cdf(1 - self.case.guard.risk) if margin else None

    def _finding(
        self,
        verdict: Verdict,
        subject: str,
        sentence: str,
        said: dict[str, object],
        *,
        source: Citation | None = None,
        key: Key | None = None,
        limit: Limit | None = None,
        margin: float | None = None,
        probability: float | None = None,
        decides_at_u: float | None = None,
        used: tuple[Key, ...] = (),
        missing: tuple[Key, ...] = (),
        next_step: str = "",
    ) -> Finding:
        citation = source or self.rule.source
        shown = verdict
        if verdict is Verdict.FALLS_SHORT and citation.indicative:
            shown = Verdict.UNDECIDED
        return Finding(
            rule=self.rule.id,
            group=self.rule.group,
            subject=subject,
            verdict=shown,
            sentence=say(self.book, sentence, said),
            citation=citation,
            key=key,
            limit=limit,
            margin=margin,
            probability=probability,
            decides_at_u=decides_at_u if shown is Verdict.UNDECIDED and verdict is shown else None,
            used=used,
            missing=missing,
            next_step=next_step,
            indicative=citation.indicative,
        )


def _conformity(rooms: Sequence[Array]) -> float:
    """Probability that every room is positive (JCGM 106:2012, 7.2 to 7.4), normal about the estimate."""
    outside = sum(1 - _phi(float(room[0]), standard_uncertainty(room)) for room in rooms)
    return max(0.0, 1 - outside)


def _phi(room: float, u: float) -> float:
    if u == 0:
        return 1.0 if room >= -1e-12 else 0.0
    return 0.5 * (1 + math.erf(room / (u * math.sqrt(2))))


def _sayable(bound: Bound, key: Key) -> object:
    return bound if isinstance(bound, Key) else (bound, key.quantity)
