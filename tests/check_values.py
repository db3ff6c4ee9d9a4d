"""Hold the calculations against a file of reference values: `python tests/check_values.py FILE`.

The file has a list `values`; each has a `name`, `inputs`, `expected`, `tolerance` (absolute) and `source`. A line is
printed for each value that misses and for each name that nothing covers yet. The last line counts. The exit status is 1
if a value misses, 2 if the file cannot be read.
"""

import json
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
sys.path[:0] = [str(ROOT), str(ROOT / "src")]

from tests.reference import ADAPTERS  # noqa: E402

ROUNDING = 1e-12
"""Relative: what turning millimetres into metres and back may cost where the tolerance is 0."""


@dataclass(frozen=True)
class Outcome:
    """One reference value beside what was computed. `kind` is passed, failed or skipped."""

    value: dict[str, Any]
    kind: str
    got: Any = None

    def __str__(self) -> str:
        v = self.value
        name, inputs = v.get("name"), json.dumps(v.get("inputs", {}), ensure_ascii=False)
        told = f"expected {v.get('expected')}, got {self.got}, tolerance {v.get('tolerance', 0)}"
        return f"{self.kind} {name} {inputs}: {told} [{v.get('source', 'no source given')}]"


def outcomes(values: list[dict[str, Any]]) -> Iterator[Outcome]:
    """Each value in turn; one that a calculation refuses has failed, with the refusal as what was got."""
    for value in values:
        adapter = ADAPTERS.get(value.get("name", ""))
        if adapter is None:
            yield Outcome(value, "skipped")
            continue
        try:
            got = _plain(adapter(value.get("inputs", {})))
            kind = "passed" if _matches(got, value["expected"], value.get("tolerance", 0)) else "failed"
        except Exception as error:
            got, kind = f"{type(error).__name__}: {error}", "failed"
        yield Outcome(value, kind, got)


def _plain(got: Any) -> Any:
    """Numbers and lists of numbers as Python has them."""
    if hasattr(got, "tolist"):
        return got.tolist()
    return [_plain(one) for one in got] if isinstance(got, list | tuple) else got


def _matches(got: Any, expected: Any, tolerance: Any) -> bool:
    if isinstance(expected, list):
        if not isinstance(got, list) or len(got) != len(expected):
            return False
        widths = tolerance if isinstance(tolerance, list) else [tolerance] * len(expected)
        return all(_matches(*each) for each in zip(got, expected, widths, strict=True))
    if isinstance(expected, int | float) and not isinstance(expected, bool):
        if not isinstance(got, int | float):
            return False
        return bool(abs(got - expected) <= tolerance + ROUNDING * max(abs(expected), tolerance))
    return str(got) == str(expected)


def read(path: Path) -> list[dict[str, Any]]:
    """The values of a file; ValueError says what was expected."""
    data = json.loads(path.read_text(encoding="utf-8-sig"))
    values = data.get("values") if isinstance(data, dict) else data
    if not isinstance(values, list) or not all(isinstance(value, dict) for value in values):
        raise ValueError("expected an object with a list 'values' of objects")
    return values


def main(arguments: list[str]) -> int:
    """Run the file that the arguments name, print what misses, and close with the counts."""
    if len(arguments) != 1:
        print("usage: python tests/check_values.py FILE")
        return 2
    try:
        found = list(outcomes(read(Path(arguments[0]))))
    except (OSError, ValueError) as error:
        print(f"{arguments[0]}: cannot be read: {error}")
        return 2
    counts = {kind: sum(one.kind == kind for one in found) for kind in ("passed", "failed", "skipped")}
    for one in found:
        if one.kind == "failed":
            print(one)
    for name, count in Counter(one.value.get("name") for one in found if one.kind == "skipped").items():
        print(f"skipped {name}: no calculation covers this name ({count} of the values)")
    print(", ".join(f"{count} {kind}" for kind, count in counts.items()))
    return 1 if counts["failed"] else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
