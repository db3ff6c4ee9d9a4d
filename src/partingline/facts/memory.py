"""What was read and computed before, by what it was made from, so that a second look makes anew only what changed.

Passed to `open_unit` again and again by one owner. What one look does not ask for, the next no longer knows.
"""

from collections.abc import Callable, Hashable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from partingline.facts.draws import Draws
from partingline.model import Problem
from partingline.readers.folder import Folder, Stamp, stamp


class Memory:
    """Results of the last look and of this one. Not for two threads at a time."""

    def __init__(self) -> None:
        self.draws = Draws()
        self.hashes: dict[Stamp, str] = {}
        self._before: dict[Hashable, Any] = {}
        self._now: dict[Hashable, Any] = {}
        self._runs_before: dict[Hashable, list[_Run]] = {}
        self._runs: dict[Hashable, list[_Run]] = {}

    def turn(self) -> None:
        """Begin a look: what the last one did not ask for is forgotten."""
        self._before, self._now = self._now, {}
        self._runs_before, self._runs = self._runs, {}

    def recall(self, key: Hashable, make: Callable[[], Any]) -> Any:
        """What was made under a key that holds all that it hangs on; made where it is not known."""
        if key not in self._now:
            self._now[key] = self._before[key] if key in self._before else make()
        return self._now[key]

    def reading(self, folder: Folder, key: Hashable, make: Callable[[], Any]) -> Any:
        """As `recall`, for what reports problems to a folder: those are reported again."""
        before = len(folder.problems)

        def made() -> tuple[Any, tuple[Problem, ...]]:
            return make(), tuple(folder.problems[before:])

        result, problems = self.recall(key, made)
        folder.problems[before:] = problems
        return result

    def run(self, compute: Callable[..., Any], arguments: Mapping[str, Any]) -> Any:
        """The result of a pure function; that of an earlier run where every argument is the same, draw for draw.

        A function that closes over something is known again only by its attribute `identity`, which must hold that.
        """
        identity = getattr(compute, "identity", None)
        key = (
            id(compute) if identity is None else identity,
            *((name, _glance(one)) for name, one in arguments.items()),
        )
        for runs in (self._runs, self._runs_before):
            for run in runs.get(key, ()):
                alike = identity is not None or run.compute is compute
                if alike and all(_same(run.arguments[name], one) for name, one in arguments.items()):
                    if runs is not self._runs:
                        self._runs.setdefault(key, []).append(run)
                    return run.result
        run = _Run(compute if identity is None else None, dict(arguments), compute(**arguments))
        self._runs.setdefault(key, []).append(run)
        return run.result


@dataclass(frozen=True, slots=True)
class _Run:
    """One run. It holds a function that is known by its address, so that no other one can have that."""

    compute: Callable[..., Any] | None
    arguments: Mapping[str, Any]
    result: Any


def stamps(paths: Iterable[Path]) -> tuple[Stamp, ...]:
    """The stamps of those files that are there."""
    return tuple(one for path in paths if (one := stamp(path)) is not None)


def _glance(one: Any) -> Hashable:
    """What tells most arguments apart without looking at every draw."""
    if isinstance(one, np.ndarray):
        return one.shape, float(one.flat[0]) if one.size else 0.0
    return one if isinstance(one, str | int | float) else type(one).__name__


def _same(ours: Any, theirs: Any) -> bool:
    if ours is theirs:
        return True
    if isinstance(ours, Mapping) and isinstance(theirs, Mapping):
        return ours.keys() == theirs.keys() and all(_same(one, theirs[name]) for name, one in ours.items())
    if isinstance(ours, np.ndarray) or isinstance(theirs, np.ndarray):
        return type(ours) is type(theirs) and bool(np.array_equal(ours, theirs))
    return type(ours) is type(theirs) and bool(ours == theirs)
