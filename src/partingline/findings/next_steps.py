"""What to measure next: ranked by how many open findings it would settle."""

import math
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from partingline.facts import Book
from partingline.facts.show import key_text, show_value
from partingline.model import Finding, Key, Verdict


@dataclass(frozen=True, slots=True)
class NextStep:
    """One thing to read or measure, why, and the findings that it would help to settle."""

    key: Key
    what: str
    settles: tuple[Finding, ...]


def next_steps(findings: Iterable[Finding], book: Book) -> tuple[NextStep, ...]:
    """Missing facts to find and uncertain ones to measure better, the most useful first.

    A finding that lacks several facts counts for each of them by its share. An undecided one counts where a smaller
    uncertainty would decide it, not where its limit is only indicative.
    """
    weights: dict[Key, float] = defaultdict(float)
    settled: dict[Key, list[Finding]] = defaultdict(list)
    for finding in findings:
        for key in _wanted(finding):
            weights[key] += 1 / len(_wanted(finding))
            settled[key].append(finding)
    ranked = sorted(settled, key=lambda key: (-weights[key], key.id))
    steps: dict[str, NextStep] = {}
    for key in ranked:
        what = _what(key, settled[key], book)
        known = steps.get(what)
        bears_on = (*known.settles, *settled[key]) if known else tuple(settled[key])
        steps[what] = NextStep(known.key if known else key, what, tuple(dict.fromkeys(bears_on)))
    return tuple(steps.values())


def _wanted(finding: Finding) -> tuple[Key, ...]:
    if finding.verdict is Verdict.NOT_ENOUGH_DATA:
        return finding.missing
    decidable = finding.verdict is Verdict.UNDECIDED and finding.decides_at_u is not None and not finding.indicative
    if decidable and finding.key is not None:
        return (finding.key,)
    return ()


def _what(key: Key, settled: list[Finding], book: Book) -> str:
    told = next((finding.next_step for finding in settled if finding.next_step), "")
    fact = book.fact(key)
    if fact is None:
        return told or f"Find {key_text(key)}."
    needed = min((f.decides_at_u for f in settled if f.decides_at_u is not None), default=None)
    if needed is None:
        return told or f"Confirm {key_text(key)}."
    wanted = show_value(_two_digits_down(needed), key.quantity)
    return f"Measure {key_text(key)} to a standard uncertainty of {wanted} or better."


def _two_digits_down(u: float) -> float:
    """Two significant digits, rounded towards the stricter side."""
    step = 10.0 ** (math.floor(math.log10(u)) - 1)
    return math.floor(u / step + 1e-9) * step
