"""The built-in assumptions as statements: the weakest route, replaced by anything that is known."""

import tomllib
from collections.abc import Iterable, Iterator
from functools import cache
from importlib.resources import files
from typing import Any

from partingline.model import (
    Basis,
    Component,
    Evidence,
    Key,
    Number,
    Route,
    Shape,
    Statement,
    Text,
    Value,
    Whole,
)
from partingline.sources import cite


def assumed(barriers: Iterable[str], told: Iterable[Key] = ()) -> Iterator[Statement]:
    """Every built-in assumption; those on `barrier:*` once for each barrier. What a person assumes is `told`: it
    stands in place of the built-in assumption, however wide it is."""
    replaced = frozenset(told)
    for id_, row in _rows().items():
        subjects = barriers if id_.startswith("barrier:*") else ("",)
        for subject in subjects:
            key = Key.parse(id_.replace("barrier:*", subject))
            if key not in replaced:
                yield _statement(key, row)


@cache
def _rows() -> dict[str, dict[str, Any]]:
    return tomllib.loads((files("partingline.facts") / "assumptions.toml").read_text(encoding="utf-8"))


def _statement(key: Key, row: dict[str, Any]) -> Statement:
    source = cite(row["document"], row["where"], row.get("mark", "P"))
    basis = Basis("built-in assumption", str(source))
    evidence = (Evidence("built-in assumptions", "", Whole()),)
    return Statement(key, _value(key, row), Route.ASSUMED, evidence=evidence, note=row["where"], basis=basis)


def _value(key: Key, row: dict[str, Any]) -> Value:
    if "text" in row:
        return Text(row["text"])
    half = row.get("half_width", 0.0)
    components = (Component(f"assumed:{key.id}", half, Shape.RECTANGULAR),) if half else ()
    return Number(row["value"], components)
