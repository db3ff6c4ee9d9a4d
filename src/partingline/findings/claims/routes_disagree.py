"""Where a quantity is known by several routes, other than claims, the routes agree."""

from collections import defaultdict
from collections.abc import Iterator

from partingline.facts.agree import compare
from partingline.facts.show import show_statement
from partingline.findings.claimed import CLAIMS, HOW, named
from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.model import Fact, Finding, Route, Standing, Statement
from partingline.sources import cite

_LEFT_OUT = (*CLAIMS, Route.SPOKEN, Route.ASSUMED)


@rule(
    id="claims.routes_disagree",
    claim="Where a quantity is known by several routes, they agree.",
    source=cite("jcgm-100", "5.2, shared causes cancel; 95 % coverage", "C"),
)
def routes_disagree(judge: Judge) -> Iterator[Finding]:
    apart: dict[tuple[str, str], list[tuple[Fact, Statement, Statement]]] = defaultdict(list)
    agreeing: list[Fact] = []
    for fact in judge.book.facts():
        seen = [statement for statement in fact.statements if statement.route not in _LEFT_OUT]
        if len({statement.route for statement in seen}) < 2:
            continue
        other = next((one for one in seen[1:] if compare(one, seen[0]) is Standing.CONTRADICTED), None)
        if other is None:
            agreeing.append(fact)
        else:
            apart[fact.key.subject, fact.key.quantity].append((fact, seen[0], other))
    for disagreements in apart.values():
        yield _disagree(judge, *disagreements[0], len(disagreements))
    if agreeing:
        yield judge.decided(
            True,
            "Known by more than one route, and the routes agree: {agreeing}.",
            subject="unit",
            used=[fact.key for fact in agreeing],
            agreeing=_list(agreeing),
        )


def _list(facts: list[Fact]) -> str:
    names = [named(fact.key) for fact in facts]
    more = f" and {len(names) - 4} more" if len(names) > 4 else ""
    return ", ".join(names[:4]) + more


def _disagree(judge: Judge, fact: Fact, first: Statement, other: Statement, count: int) -> Finding:
    sentence = "For the {what} {first} {first_how}, but {other} {other_how}." + (
        " The same holds under {more} other conditions." if count > 1 else ""
    )
    words = {
        "what": named(fact.key),
        "first": show_statement(first),
        "other": show_statement(other),
        "first_how": HOW[first.route],
        "other_how": HOW[other.route],
        "more": str(count - 1),
    }
    step = "Repeat the reading, and look at the inputs and the tolerance of the other route."
    if Route.COMPUTED in (first.route, other.route):
        return judge.undecided(sentence, subject=fact.key.subject, used=[fact.key], next_step=step, **words)
    return judge.decided(
        False, sentence, subject=fact.key.subject, used=[fact.key], source=None, next_step=step, **words
    )
