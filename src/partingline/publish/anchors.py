"""Ids of the document to anchors that HTML, PDF and Markdown all accept, and refs that lead nowhere.

What comes in: a `Document`. What goes out: anchor names; the refs that no entry answers.
"""

import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from itertools import groupby
from typing import Any

from partingline.publish.document import Document, Span, Spans


def anchors(document: Document) -> dict[str, str]:
    """An anchor of `a-z`, `0-9` and `-` for each id, unique and the same in each run.

    ValueError names the ids that stand twice.
    """
    names: dict[str, str] = {}
    taken: set[str] = {"top", "content"}
    twice: list[str] = []
    for identity in _values(document, "id"):
        if identity in names:
            twice.append(identity)
            continue
        names[identity] = _free(_slug(identity), taken)
    if twice:
        raise ValueError(f"ids that stand twice: {', '.join(sorted(set(twice)))}; give each entry its own id")
    return names


def unresolved_refs(document: Document) -> tuple[str, ...]:
    """The refs without an entry, each once, in the order in which they stand."""
    known = set(_values(document, "id"))
    return tuple(dict.fromkeys(ref for ref in _values(document, "ref") if ref not in known))


def by_link(spans: Spans) -> Iterator[tuple[Span, Spans]]:
    """Neighbours that lead to the same place, as one link: its first span, and all of them."""
    for _, run in groupby(spans, key=lambda span: (span.ref, span.url)):
        together = tuple(run)
        yield together[0], together


def _values(node: Any, name: str) -> Iterator[str]:
    if isinstance(node, tuple):
        for item in node:
            yield from _values(item, name)
    elif is_dataclass(node):
        for field in fields(node):
            value = getattr(node, field.name)
            if field.name == name and isinstance(value, str):
                yield value
            else:
                yield from _values(value, name)


def _slug(identity: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", identity.lower()).strip("-") or "entry"


def _free(name: str, taken: set[str]) -> str:
    name = f"x-{name}" if name[0].isdigit() else name
    candidate, count = name, 2
    while candidate in taken:
        candidate, count = f"{name}-{count}", count + 1
    taken.add(candidate)
    return candidate
