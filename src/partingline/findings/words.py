"""Sentences of findings: text with numbers that lead back to their facts."""

import re

from partingline.facts import Book
from partingline.facts.show import show_fact, show_value
from partingline.model import Key, Span

_SLOT = re.compile(r"\{(\w+)\}")


def say(book: Book, sentence: str, said: dict[str, object]) -> tuple[Span, ...]:
    """Fill `{name}` slots: a Key becomes its number with a link, (SI value, quantity) a number, the rest text."""
    spans: list[Span] = []
    at = 0
    for slot in _SLOT.finditer(sentence):
        if slot.start() > at:
            spans.append(Span(sentence[at : slot.start()]))
        spans.append(_span(book, said[slot.group(1)]))
        at = slot.end()
    if at < len(sentence):
        spans.append(Span(sentence[at:]))
    return tuple(spans)


def _span(book: Book, said: object) -> Span:
    if isinstance(said, Key):
        fact = book.fact(said)
        return Span(show_fact(fact) if fact else "unknown", said)
    if isinstance(said, tuple):
        value, quantity = said
        return Span(show_value(float(value), str(quantity)))
    return Span(str(said))
