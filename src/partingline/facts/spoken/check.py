"""The words check: every figure of a script bound to the fact it speaks of, and classed.

What comes in: the unit, its facts, a script. What goes out: `Checked`. Spoken words never change a fact.
"""

from dataclasses import replace

from partingline.facts.spoken.bind import CLOSE, LEAST, Binding, bindings
from partingline.facts.spoken.candidates import Candidate, Candidates
from partingline.facts.spoken.codes import bind_codes
from partingline.facts.spoken.compare import Fit
from partingline.facts.spoken.conditions import conditions, pairs
from partingline.facts.spoken.context import Context, Surroundings
from partingline.facts.spoken.correct import correction
from partingline.facts.spoken.counts import bind_counts
from partingline.facts.spoken.elliptic import names_something, with_unit
from partingline.facts.spoken.expected import never_said
from partingline.facts.spoken.lexicon import lexicon_of
from partingline.facts.spoken.types import Checked, Class, Spoken
from partingline.model import Fact, Key, Route, Statement, Unit
from partingline.readers.words import Figure, Script, find_figures, tokens_of
from partingline.sources import quantities

_NEAR = 16
_PLACES = ("length", "width", "height")


def check_words(unit: Unit, facts: tuple[Fact, ...], script: Script) -> Checked:
    """Check a script against the facts of a unit."""
    tokens = tokens_of(script.text)
    figures = find_figures(script.text, tokens)
    mentions = lexicon_of(unit).find(tokens)
    candidates = Candidates(facts)
    told = conditions(figures, tokens, candidates)
    parts = {m.first for m in mentions if any(subject.startswith("part:") for subject in m.subjects)}
    around = Surroundings(script.text, tokens, mentions, figures, told, pairs(figures, tokens, parts))
    spoken = _quantities(figures, around, candidates, {place for place, _, _ in told})
    spoken += bind_counts(unit, figures, tokens, mentions)
    taken = {n for f in figures if f.kind != "count" for n in range(f.first, f.last)}
    spoken += bind_codes(facts, script.text, tokens, mentions, taken)
    done = tuple(_placed(one, script) for one in sorted(spoken, key=lambda one: one.figure.start))
    return Checked(script, done, never_said(facts, done))


def _quantities(
    figures: tuple[Figure, ...],
    around: Surroundings,
    candidates: Candidates,
    conditional: set[int],
) -> list[Spoken]:
    spoken: list[Spoken] = []
    said: dict[Key, int] = {}
    last: tuple[int, Key] | None = None
    for bare in figures:
        if bare.first in conditional:
            spoken.append(Spoken(bare, Class.CONDITION))
            continue
        context = around.of(bare)
        figure = bare if bare.kind != "count" or _bare_ratio(bare, around) else with_unit(bare, around, spoken)
        if figure is None:
            continue
        goes_on = around.carry(context, figure, last)
        near = goes_on and last is not None and figure.first - last[0] <= _NEAR
        one = _bound(_as_ratio(figure), context, candidates, said, last[1] if last and near else None)
        one = _asked(one, around)
        spoken.append(one)
        last = None
        if one.fact is not None:
            said[one.fact.key] = said.get(one.fact.key, 0) + 1
            last = (figure.last, one.fact.key)
    return spoken


def _asked(one: Spoken, around: Surroundings) -> Spoken:
    """`Fifty grams?` asks: a guess that does not hit is no slip."""
    behind = around.tokens[one.figure.last].low if one.figure.last < len(around.tokens) else ""
    return Spoken(one.figure, Class.UNSUPPORTED) if one.class_.is_slip and behind == "?" else one


def _bare_ratio(figure: Figure, around: Surroundings) -> bool:
    """A number without a unit is a figure where a ratio, as a power factor or a turns ratio, is named."""
    named = around.of(figure).quantities
    ratio = any(w >= 0.7 for q, w in named.items() if q in ("power_factor", "turns_ratio"))
    behind = [token.low for token in around.tokens[figure.last : figure.last + 2]]
    return ratio and not names_something(figure, around) and (behind[:1] != ["volt"])


def _as_ratio(figure: Figure) -> Figure:
    return replace(figure, unit="1") if not figure.unit else figure


def _bound(figure: Figure, context: Context, candidates: Candidates, said: dict[Key, int], last: Key | None) -> Spoken:
    if figure.kind == "dimension":
        place = _PLACES[figure.place]
        context.quantities[place] = 1.0
        context.subjects["unit"] = max(context.subjects.get("unit", 0.0), 0.6)
    ranked = bindings(figure, context, candidates, said, last)
    if not ranked or ranked[0].score < LEAST:
        return Spoken(figure, Class.UNSUPPORTED)
    best = ranked[0]
    rivals = [one for one in ranked[1:8] if best.score - one.score < CLOSE and _other(one, best)]
    others = tuple(one.candidate.fact.key for one in rivals)
    if rivals and not best.agrees:
        agreeing = next((one for one in rivals if one.agrees), None)
        if agreeing is None:
            return Spoken(figure, Class.UNCLEAR, best.candidate.fact, others=others)
        best, others = agreeing, ()
    return _classed(figure, best, others)


def _other(one: Binding, best: Binding) -> bool:
    """Whether a rival would ask for another number: the same figure of two equal parts is not unclear."""
    a, b = one.candidate, best.candidate
    if a.fact.key.subject == b.fact.key.subject:
        return False
    alike = a.fact.key.quantity == b.fact.key.quantity and bool(
        {round(r.value, 15) for r in a.rights} & {round(r.value, 15) for r in b.rights}
    )
    return not alike


def _classed(figure: Figure, best: Binding, others: tuple[Key, ...]) -> Spoken:
    fact = best.candidate.fact
    if best.fit is None:
        right = best.right
        spoken = Spoken(
            figure, Class.WRONG_UNIT, fact, right.statement if right else fact.preferred, figure.readings[0],
            right.value if right else None, None, others,
        )  # fmt: skip
        return replace(spoken, instead=correction(spoken))
    fitting = best.fit
    class_ = Class.AGREES
    if not fitting.agrees:
        plausible = quantities()[fact.key.quantity].plausible
        impossible = plausible is not None and not plausible[0] <= fitting.reading.value <= plausible[1]
        class_ = Class.WRONG_UNIT if fitting.kind == "thousands" or impossible else Class.DIFFERS
    against, expected = fitting.right.statement, fitting.right.value
    if class_.is_slip:
        against, expected = _speakable(best.candidate, fitting)
    spoken = Spoken(figure, class_, fact, against, fitting.reading, expected, fitting.off, others)
    return replace(spoken, instead=correction(spoken)) if class_.is_slip else spoken


def _speakable(candidate: Candidate, fitting: Fit) -> tuple[Statement, float]:
    """What a speaker would say: what is offered or marked before what was measured; of a range, the nearest end."""
    if candidate.interval is not None:
        return fitting.right.statement, fitting.right.value
    for route in (Route.CAPTURED, Route.MARKING):
        right = next((right for right in candidate.rights if right.statement.route is route), None)
        if right is not None:
            return right.statement, right.value
    return fitting.right.statement, fitting.right.value


def _placed(one: Spoken, script: Script) -> Spoken:
    cue = script.cue_at(one.figure.start)
    return replace(one, time_s=cue.from_s, line=cue.line, sentence=cue.text)


def routes_of(one: Spoken) -> tuple[Route, ...]:
    """The routes by which the fact of a figure is known, without the spoken one."""
    statements = one.fact.statements if one.fact else ()
    return tuple(dict.fromkeys(s.route for s in statements if s.route is not Route.SPOKEN))
