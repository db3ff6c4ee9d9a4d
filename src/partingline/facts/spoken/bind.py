"""Which fact a figure speaks of: by the part or port named near it, its kind, its unit, its value and the order."""

from collections.abc import Container
from dataclasses import dataclass

from partingline.facts.spoken.candidates import Candidate, Candidates, Right
from partingline.facts.spoken.compare import Fit, digits_match, fit
from partingline.facts.spoken.context import Context
from partingline.model import Key
from partingline.readers.words import Figure
from partingline.sources import quantities

LEAST = 1.0
CLOSE = 0.35
_VALUE = {"agrees": 2.5, "thousands": 1.4, "tens": 1.2, "near": 0.7, "far": -0.8}
_SHOWN = (1.0, 1e3, 1e6, 1e9, 1e12, 1e-3, 1e-6, 1e2)
_OTHER_UNIT = -2.5
_ONLY, _FEW = 2.2, 2
_OTHER_CONTRACT = -2.0
_NOT_A_LIFE = -1.5
_LEAST_LIFE_S = 1e5
_WILD = (0.1, 10.0)
_INPUT = frozenset({"rated_input_voltage", "rated_input_frequency", "rated_input_current"})


@dataclass(frozen=True, slots=True)
class Binding:
    """A candidate with its score; `fit` is None where the unit is another one and only the digits match (`right`)."""

    candidate: Candidate
    score: float
    fit: Fit | None
    right: Right | None = None

    @property
    def agrees(self) -> bool:
        """Whether the figure is right for this fact."""
        return self.fit is not None and self.fit.agrees


def bindings(
    figure: Figure, context: Context, candidates: Candidates, said: dict[Key, int], last: Key | None = None
) -> list[Binding]:
    """All facts that the figure could speak of, the likeliest first. `last`: the fact of the figure right before."""
    same_unit = candidates.by_unit.get(figure.unit, ())
    fits = [(one, fitting) for one in same_unit if (fitting := fit(figure, one, context.routes)) is not None]
    usual = {one.fact.key.quantity for one in same_unit if one.basic}
    sole = len(usual) <= _FEW and not any(fitting.agrees for _, fitting in fits)
    found = []
    for one, fitting in fits:
        score = _score(figure, context, one, fitting, said, candidates.by_quantity)
        found.append(Binding(one, score + _goes_on(one, last) + _only(one, fitting, sole), fitting))
    found += _other_units(figure, context, candidates, said, last)
    found.sort(key=lambda binding: -binding.score)
    return found


def _only(one: Candidate, fitting: Fit, sole: bool) -> float:
    """Nothing else in this unit is usually told: a lost zero or a wrong prefix is bound without a name."""
    return _ONLY if sole and one.basic and fitting.kind in ("thousands", "tens", "near") else 0.0


def _goes_on(one: Candidate, last: Key | None) -> float:
    """`... 92 percent at 230 volts, and at 115 volts 91`: the same quantity under another condition."""
    key = one.fact.key
    if last is None or key == last:
        return 0.0
    if last.quantity in _INPUT and key.quantity in _INPUT:
        return 1.2
    return 2.2 if key.at and (key.subject, key.quantity) == (last.subject, last.quantity) else 0.0


def _other_units(
    figure: Figure, context: Context, candidates: Candidates, said: dict[Key, int], last: Key | None
) -> list[Binding]:
    """Facts of another unit whose digits were said, of a part or quantity that is named right there."""
    named = [s for s, weight in context.subjects.items() if weight >= 1.0]
    near = {id(one): one for s in named for one in candidates.by_subject.get(s, ())}
    strong = [q for q, weight in context.quantities.items() if weight >= 0.6]
    near |= {id(one): one for q in strong for one in candidates.by_quantity.get(q, ())}
    if last is not None:
        near |= {id(one): one for one in candidates.by_quantity.get(last.quantity, ()) if _goes_on(one, last)}
    ranged = figure.readings[0].high is not None
    if ranged:
        near |= {id(one): one for one in candidates.all if one.interval is not None}
    found = []
    for one in near.values():
        bare = one.unit == "1" and quantities()[one.fact.key.quantity].scale == 1.0
        if one.unit == figure.unit or bare or (ranged and one.interval is None):
            continue
        known = quantities()[one.fact.key.quantity]
        right = digits_match(figure, one, (known.scale, *_SHOWN))
        if right is None:
            continue
        score = (
            _named(context, one, figure, candidates.by_quantity)
            + _subject(context, one)
            + _at(context, one)
            + _OTHER_UNIT
            + 2.0
        )
        score += _goes_on(one, last) + (1.8 if ranged else 0.0)
        found.append(Binding(one, score - (0.4 if said.get(one.fact.key) else 0.0), None, right))
    return found


def _score(
    figure: Figure, context: Context, one: Candidate, fitting: Fit, said: dict[Key, int], known: Container[str]
) -> float:
    score = _VALUE[fitting.kind] + _subject(context, one) + _named(context, one, figure, known) + _at(context, one)
    plausible = quantities()[one.fact.key.quantity].plausible
    value = fitting.reading.value
    named = context.quantities.get(one.fact.key.quantity, 0.0) >= 0.6
    if plausible is not None and not named and not plausible[0] <= value <= plausible[1]:
        score -= 0.8
    if said.get(one.fact.key) and not fitting.agrees:
        score -= 0.5
    if fitting.kind == "far" and not named and not _WILD[0] < _ratio(fitting) < _WILD[1]:
        score -= 2.0  # nobody says a tenth of a value that is not named
    if fitting.reading.high is not None:
        score += 1.8
    if one.fact.key.quantity == "available_current" and context.contract is not None:
        score += 0.0 if _same(context.contract, one.fact.key.condition("offer")) else _OTHER_CONTRACT
    if one.fact.key.quantity == "rated_life" and fitting.reading.value < _LEAST_LIFE_S and not named:
        score += _NOT_A_LIFE  # ten seconds of waiting
    if context.paired and one.fact.key.condition("offer") is not None and one.fact.key.quantity == "available_current":
        score += 1.6
    if one.computed:
        score -= 0.7
    if context.routes & {statement.route for statement in one.fact.statements} and one.fact.key.subject == "unit":
        score += 0.8
    return score - 0.02 * min(fitting.off, 5.0)


def _ratio(fitting: Fit) -> float:
    """What was said over what is so."""
    return fitting.reading.value / fitting.right.value if fitting.right.value else 0.0


def _subject(context: Context, one: Candidate) -> float:
    subject = one.fact.key.subject
    weight = context.subjects.get(subject)
    if weight is not None:
        return 3.0 * weight
    named = context.quantities.get(one.fact.key.quantity, 0.0) >= 0.6
    if subject.startswith("part:"):
        return 0.0 if named and one.alone else -2.2
    if subject.startswith("ports:"):
        return -1.5
    return -0.4 if subject.startswith("port:") and not named else 0.0


def _named(context: Context, one: Candidate, figure: Figure, known: Container[str]) -> float:
    quantity = one.fact.key.quantity
    weight = context.quantities.get(quantity)
    if weight is not None:
        return 2.5 * weight
    rivals = [
        w
        for q, w in context.quantities.items()
        if quantities()[q].unit == one.unit and q != quantity and one.unit == figure.unit
    ]
    others = [w for q, w in context.quantities.items() if w >= 0.6 and q in known and quantities()[q].unit != one.unit]
    elsewhere = 1.0 if others and context.specific and one.unit == figure.unit else 0.0
    return (0.0 if one.basic else -1.0) - (1.2 * max(rivals) if rivals else 0.0) - elsewhere


def _at(context: Context, one: Candidate) -> float:
    score = 0.0
    for name, value in one.fact.key.at:
        told = context.conditions.get(name)
        if name == "with":
            together = any(s.startswith("ports:") for s, w in context.subjects.items() if w >= 0.4)
            score += 0.5 if together else -1.0
        elif told is None:
            score += 0.0 if (name, value) in (("load", 1.0),) else -0.15
        else:
            match = max((w for v, w in told.items() if isinstance(v, float) and _same(v, value)), default=0.0)
            score += 0.9 * match if match else -1.6
    return score


def _same(a: float, b: object) -> bool:
    return isinstance(b, float) and abs(a - b) <= 0.012 * max(abs(a), abs(b))
