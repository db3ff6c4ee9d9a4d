"""What stands about a figure: whom it is said of, what it is called, and under which conditions."""

from bisect import bisect_left, bisect_right
from dataclasses import dataclass, field

from partingline.facts.spoken.lexicon import Mention
from partingline.model import Key, Route
from partingline.readers.words import Figure, Token

_SEPARATORS = frozenset(
    [
        ",",
        ".",
        ";",
        ":",
        "?",
        "!",
        "and",
        "the",
        "a",
        "an",
        "then",
        "with",
        "while",
        "but",
        "is",
        "are",
        "has",
        "have",
        "of",
        "for",
        "at",
        "from",
        "so",
        "which",
        "that",
        "it",
        "this",
        "to",
        "or",
        "in",
        "on",
    ]
)
_CLAUSE = frozenset([",", ";", ":", "with", "and", "a", "an", "but", "at", "the", "while", "on", "from", "or"])
_BEHIND_WORDS = frozenset(["long", "wide", "high", "tall", "deep", "thick", "heavy", "across"])
"""Names that stand behind their figure: `42 millimetres long`."""
_ENDS = frozenset(".?!;")
_SAYS = frozenset(["is", "are", "was", "has", "have", "here", "now", "measures", "shows", "reads", "'s", "says"])
_OF_WHOM = frozenset(["for", "on", "in", "across"])
_WEIGHTS = (1.0, 0.4, 0.2, 0.1)
_BEHIND, _AHEAD, _FAR, _STARTS = 14, 5, 60, 5
_ANSWER = 12
"""The reach of `at nine volts`, also of `On nine volts? - Two amps.`"""


@dataclass
class Context:
    """`subjects` and `quantities` with their weight; `conditions` by name: value to weight; `routes` named near.

    `paired`: the figure is a current said with a voltage.
    `specific`: a quantity stands right before the figure in a wording of two words or more.
    `contract`: the offer told right before the figure, nothing but its own words between.
    """

    subjects: dict[str, float] = field(default_factory=dict)
    quantities: dict[str, float] = field(default_factory=dict)
    conditions: dict[str, dict[float | str, float]] = field(default_factory=dict)
    routes: frozenset[Route] = frozenset()
    specific: bool = False
    paired: bool = False
    contract: float | None = None


@dataclass
class Surroundings:
    """The mentions and condition figures of a whole text, to look up the context of each figure.

    `pairs` leads from a current to the voltage that it is said with, as in `20 volts at 3.25 amps`.
    """

    text: str
    tokens: tuple[Token, ...]
    mentions: tuple[Mention, ...]
    figures: tuple[Figure, ...]
    conditions: tuple[tuple[int, str, float], ...] = ()
    pairs: dict[int, int] = field(default_factory=dict)
    _starts: list[int] = field(default_factory=list)
    _ends: dict[int, int] = field(default_factory=dict)
    _begins: dict[int, int] = field(default_factory=dict)
    _loads: list[Mention] = field(default_factory=list)
    _places: list[int] = field(default_factory=list)
    _counts: set[int] = field(default_factory=set)
    _firsts: list[int] = field(default_factory=list)
    _said_ends: list[int] = field(default_factory=list)

    def __post_init__(self) -> None:
        self._starts = [mention.first for mention in self.mentions]
        told = {place for place, _, _ in self.conditions}
        self._ends = {f.first: f.last for f in self.figures if f.unit}
        self._begins = {last: first for first, last in self._ends.items()}
        self._loads = [mention for mention in self.mentions if mention.load is not None]
        self._places = [place for place, _, _ in self.conditions]
        self._counts = {f.first for f in self.figures if not f.unit}
        self._firsts = [f.first for f in self.figures]
        self._said_ends = [f.last for f in self.figures if f.first not in told]

    def of(self, figure: Figure) -> Context:
        """The context of one figure."""
        context = Context()
        at = bisect_left(self._starts, figure.first)
        self._subjects(figure, at, context)
        self._quantities(figure, at, context)
        self._conditions(figure, context)
        return context

    def carry(self, context: Context, figure: Figure, last: tuple[int, Key] | None) -> bool:
        """The subject of the figure before goes on, where nothing else was named since; whether it does."""
        if last is None:
            return False
        since = self.mentions[bisect_left(self._starts, last[0]) : bisect_left(self._starts, figure.first)]
        if any(mention.subjects and last[1].subject not in mention.subjects for mention in since):
            return False
        if figure.first - last[0] <= _BEHIND and not any(mention.subjects for mention in since):
            context.subjects[last[1].subject] = max(context.subjects.get(last[1].subject, 0.0), 0.9)
        return True

    def gap(self, a: int, b: int) -> int:
        """Tokens between two places; a comma counts double, an end of a sentence six."""
        between = self.tokens[min(a, b) : max(a, b)]
        cost = sum(6 if token.low in _ENDS else 2 if token.low == "," else 1 for token in between)
        return cost + 6 * self.text.count("\n", between[0].start, between[-1].end) if between else 0

    def _subjects(self, figure: Figure, at: int, context: Context) -> None:
        ahead = self._inverted(figure, at) or (None if self._adjoins(figure, at) else self._attributive(figure, at))
        rank = 0
        if ahead is not None:
            for subject in ahead.subjects:
                context.subjects[subject] = 1.15
            rank = 1
        seen: set[frozenset[str]] = {ahead.subjects} if ahead else set()
        place = -1
        for mention in reversed(self.mentions[max(0, at - 40) : at]):
            if not mention.subjects or mention.last > figure.first or mention.subjects in seen:
                continue
            distance = figure.first - mention.last
            rank -= 1 if mention.first == place else 0  # one wording that names two roles
            place = mention.first
            if rank >= len(_WEIGHTS) or distance > 4 * _FAR:
                break
            weight = _WEIGHTS[rank] * (1.0 if distance < _FAR else 0.6)
            for subject in mention.subjects:
                context.subjects[subject] = max(context.subjects.get(subject, 0.0), weight)
            seen.add(mention.subjects)
            rank += 1

    def _adjoins(self, figure: Figure, at: int) -> bool:
        """`shunt 5 milliohms`: a subject right before the figure, or before a row of figures that ends in it."""
        begin = figure.first
        while begin in self._begins:
            begin = self._begins[begin]
        while begin and self.tokens[begin - 1].low in _SAYS:
            begin -= 1
        return any(mention.subjects and mention.last == begin for mention in self.mentions[max(0, at - 12) : at])

    def _inverted(self, figure: Figure, at: int) -> Mention | None:
        """`One nanofarad is the value of the Y capacitor`, `1 kV for the bridge`: the figure begins its sentence."""
        starts = figure.first == 0 or self.gap(figure.first - 1, figure.first) > _STARTS
        following = self.tokens[figure.last].low if figure.last < len(self.tokens) else ""
        if not starts or following not in {"is", "are", "was", "were"} | _OF_WHOM:
            return None
        ahead = (m for m in self.mentions[at : at + 8] if m.subjects and m.first >= figure.last)
        mention = next(ahead, None)
        reach = 2 if following in _OF_WHOM else 2 * _AHEAD
        return mention if mention and self.gap(figure.last, mention.first) <= reach else None

    def _attributive(self, figure: Figure, at: int) -> Mention | None:
        """`a 400 volt bulk capacitor`: a subject right behind the figure, nothing but words of kind between."""
        end = figure.last
        for mention in self.mentions[at : at + 12]:
            if mention.first < end or not mention.subjects or mention.plain:
                continue
            if mention.first - end > 9:
                return None
            step = end
            while step < mention.first:
                if step in self._ends:
                    step = self._ends[step]
                    continue
                comma = self.tokens[step].low == "," and step + 1 in self._ends
                if step in self._counts or (self.tokens[step].low in _SEPARATORS and not comma):
                    return None
                step += 1
            return mention
        return None

    def _quantities(self, figure: Figure, at: int, context: Context) -> None:
        index = bisect_right(self._said_ends, figure.first)
        previous = self._said_ends[index - 1] if index else 0
        start = max(figure.first - _BEHIND, 0)
        routes: set[Route] = set()
        for mention in reversed(self.mentions[max(0, at - 40) : at]):
            distance = self.gap(mention.last, figure.first) if mention.last <= figure.first else 0
            if mention.first < start or distance > _BEHIND:
                break
            if mention.last > figure.first or self._stands_behind(mention, previous):
                continue
            weight = 1.0 if mention.last > previous or previous <= start else 0.45
            self._name(mention, weight * (1.0 - 0.03 * distance), context)
            context.specific |= bool(mention.quantities) and mention.words > 1 and distance <= 4 and weight == 1.0
            if mention.route is not None:
                routes.add(mention.route)
        self._following(figure, at, context, routes)
        context.routes = frozenset(routes)

    def _following(self, figure: Figure, at: int, context: Context, routes: set[Route]) -> None:
        """Names behind the figure, up to the next clause or figure."""
        index = bisect_left(self._firsts, figure.last)
        following = self._firsts[index] if index < len(self._firsts) else len(self.tokens)
        limit = min(figure.last + _AHEAD, following)
        for mention in self.mentions[at : at + 20]:
            if mention.first >= limit or self.gap(figure.last, mention.first) > _AHEAD:
                break
            if mention.first < figure.last:
                continue
            if mention.route is not None:
                routes.add(mention.route)
            between = {token.low for token in self.tokens[figure.last : mention.first]}
            if mention.quantities and (not between & _CLAUSE or between == {"for", "the"}):
                self._name(mention, 0.95 - 0.05 * self.gap(figure.last, mention.first), context)

    def _stands_behind(self, mention: Mention, previous: int) -> bool:
        """Whether a name belongs to the figure before it: `42 millimetres long`, `42 millimetres for the length`."""
        if mention.first == previous and self.tokens[mention.first].low in _BEHIND_WORDS:
            return True
        return [token.low for token in self.tokens[previous : mention.first]] == ["for", "the"] and previous > 0

    def _name(self, mention: Mention, weight: float, context: Context) -> None:
        weight *= min(1.0, 0.75 + 0.2 * mention.words)
        for quantity in mention.quantities:
            context.quantities[quantity] = max(context.quantities.get(quantity, 0.0), weight)

    def _conditions(self, figure: Figure, context: Context) -> None:
        by_name: dict[str, list[tuple[float, float]]] = {}
        distance: float
        low = bisect_left(self._places, figure.first - 2 * _FAR)
        high = bisect_right(self._places, figure.first + 2 * _FAR)
        for place, name, value in self.conditions[low:high]:
            if self.pairs.get(figure.first) == place:
                context.conditions[name] = {value: 1.0}
                context.paired = True
            if place == figure.first:
                continue
            ahead = place > figure.first
            distance = self.gap(figure.last, place) if ahead else self.gap(place, figure.first)
            if ahead and (distance > 8 or not self._same_clause(figure.last, place)):
                continue
            by_name.setdefault(name, []).append((distance - (1.5 if ahead else 0), value))
            if name == "offer" and not ahead and distance <= _ANSWER and not self._figure_between(place, figure.first):
                context.contract = value
        for mention in self._loads:
            if mention.load is not None and abs(mention.first - figure.first) <= _FAR:
                distance = self.gap(mention.first, figure.first)
                by_name.setdefault("load", []).append((distance, mention.load))
        for name, found in by_name.items():
            if name in context.conditions:
                continue
            weights = context.conditions.setdefault(name, {})
            for rank, (distance, value) in enumerate(sorted(found)[:3]):
                weights.setdefault(value, 1.0 if rank == 0 else (0.5 if distance < 10 else 0.25))

    def _figure_between(self, place: int, first: int) -> bool:
        return bisect_left(self._firsts, first) - bisect_right(self._firsts, place) > 0

    def _same_clause(self, end: int, place: int) -> bool:
        """`3.25 amps at 20 volts`, but not `3.25 amps, and at 20 volts`."""
        return not {"and", ",", ";", ".", "but", "while", "when"} & {token.low for token in self.tokens[end:place]}
