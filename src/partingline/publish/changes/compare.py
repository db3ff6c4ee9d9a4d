"""Frozen and now, side by side."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import Any

_SAME = 1e-9
_SUCCESSOR = 0.6
"""Sentences that share fewer of their words are two, not one that changed. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Change:
    """Something published that is no longer so: what, as published, as it is now ('' where it is new or gone)."""

    what: str
    before: str
    now: str


@dataclass(frozen=True, slots=True)
class Changes:
    """All changes, by kind, in the order of the publication."""

    unit: str
    published: str
    facts: tuple[Change, ...]
    verdicts: tuple[Change, ...]
    sentences: tuple[Change, ...]
    figures: tuple[Change, ...]

    def __bool__(self) -> bool:
        """Whether anything changed."""
        return bool(self.facts or self.verdicts or self.sentences or self.figures)


def changes(frozen: Mapping[str, Any], now: Mapping[str, Any]) -> Changes:
    """Compare two frozen records of one unit."""
    facts = tuple(_facts(frozen["facts"], now["facts"]))
    verdicts = tuple(_by_id(frozen["verdicts"], now["verdicts"], "verdict"))
    return Changes(
        str(frozen["unit"]), str(frozen["day"]), facts, verdicts,
        tuple(_sentences(frozen["sentences"], now["sentences"])), tuple(_figures(frozen["figures"], now["figures"])),
    )  # fmt: skip


def _facts(before: Mapping[str, Any], now: Mapping[str, Any]) -> list[Change]:
    found = []
    for id_ in dict.fromkeys([*before, *now]):
        a, b = before.get(id_), now.get(id_)
        if a is None or b is None or not _same(a["is"], b["is"]) or a["shown"] != b["shown"]:
            found.append(Change(id_, a["shown"] if a else "", b["shown"] if b else ""))
    return found


def _same(a: object, b: object) -> bool:
    if isinstance(a, list) and isinstance(b, list):
        return len(a) == len(b) and all(map(_same, a, b))
    if isinstance(a, int | float) and isinstance(b, int | float):
        return math.isclose(a, b, rel_tol=_SAME)
    return a == b


def _by_id(before: Mapping[str, Any], now: Mapping[str, Any], name: str) -> list[Change]:
    found = []
    for id_ in dict.fromkeys([*before, *now]):
        a, b = before.get(id_), now.get(id_)
        if (a or {}).get(name) != (b or {}).get(name):
            found.append(Change(id_, _told(a, name), _told(b, name)))
    return found


def _told(entry: Mapping[str, Any] | None, name: str) -> str:
    return f"{entry[name]}: {entry['text']}" if entry else ""


def _sentences(before: list[dict[str, Any]], now: list[dict[str, Any]]) -> list[Change]:
    """A sentence that no longer stands, beside the one of the same section and facts that took its place."""
    standing = {(one["section"], one["text"]) for one in now}
    known = {(one["section"], one["text"]) for one in before}
    free = [one for one in now if (one["section"], one["text"]) not in known]
    found = []
    for one in before:
        if (one["section"], one["text"]) in standing:
            continue
        new = max(free, key=lambda other: _alike(one, other), default=None)
        if new is not None and _alike(one, new) < _SUCCESSOR:
            new = None
        if new is not None:
            free.remove(new)
        found.append(Change(one["section"], one["text"], new["text"] if new else ""))
    return found + [Change(one["section"], "", one["text"]) for one in free]


def _alike(one: dict[str, Any], other: dict[str, Any]) -> float:
    """How likely a sentence took another's place: 1 for the same facts, 0 for other facts, else the share of words."""
    if one["section"] != other["section"]:
        return 0.0
    if one["facts"] and one["facts"] == other["facts"]:
        return 1.0
    if one["facts"] and other["facts"] and not set(one["facts"]) & set(other["facts"]):
        return 0.0
    return SequenceMatcher(None, one["text"].split(), other["text"].split(), autojunk=False).ratio()


def _figures(before: Mapping[str, str], now: Mapping[str, str]) -> list[Change]:
    words = {True: "as published", False: ""}
    return [
        Change(id_, words[id_ in before], "drawn anew" if id_ in now else "")
        for id_ in dict.fromkeys([*before, *now])
        if before.get(id_) != now.get(id_)
    ]
