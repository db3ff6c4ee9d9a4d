"""TOML with broken places: each is left out and said, and what stands around it is read."""

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from partingline.readers.unitfile.toml_lines import line_index

MOST_FAULTS = 20
_NUMBER_BOUND = re.compile(r"\d{4000}")


@dataclass(frozen=True, slots=True)
class Broken:
    """A place that is no TOML: its line (from 1), and what the parser says."""

    line: int
    message: str


def parse_around_faults(text: str) -> tuple[dict[str, Any], str, tuple[Broken, ...]]:
    """What can be read, the text that was read (broken statements blanked, so that lines keep their numbers), and what
    was broken. After `MOST_FAULTS` the file is taken to end at the next fault."""
    lines = text.split("\n")
    broken: list[Broken] = []
    while True:
        fault = _fault(lines)
        if isinstance(fault, dict):
            return fault, "\n".join(lines), tuple(broken)
        span = _span(lines, fault.line)
        broken.append(Broken(span.start + 1, fault.message))
        if len(broken) == MOST_FAULTS:
            span = range(span.start, len(lines))
        elif len(broken) > MOST_FAULTS or not any(lines[n].strip() for n in span):
            return {}, "", tuple(broken)
        for number in span:
            lines[number] = ""


def _fault(lines: list[str]) -> dict[str, Any] | Broken:
    try:
        return tomllib.loads("\n".join(lines))
    except RecursionError:
        deepest = max(range(len(lines)), key=lambda n: sum(map(lines[n].count, "[{")))
        return Broken(deepest + 1, "nested too deeply")
    except ValueError as error:
        message, _, tail = str(error).partition(" (at ")
        if number := re.match(r"line (\d+)", tail):
            return Broken(int(number.group(1)), message)
        if tail.startswith("end"):
            return Broken(_first_open(lines), message)
        long = (n for n, line in enumerate(lines) if _NUMBER_BOUND.search(line))
        return Broken(next(long, 0) + 1, message)


def _span(lines: list[str], line: int) -> range:
    """The statement (counted from 0) that a fault met on a line (from 1) belongs to; of a header the whole table."""
    starts = sorted(set(line_index("\n".join(lines)).values()))
    before = max((start for start in starts if start < line), default=0)
    if before and not _is_header(lines[before - 1]) and not _complete(lines[before - 1 : line - 1]):
        following = next((start for start in starts if start >= line), len(lines) + 1)
        return range(before - 1, following - 1)
    if _is_header(lines[line - 1]):
        return range(line - 1, next(_headers(lines, line), len(lines)))
    if line in starts:
        return range(line - 1, next((start for start in starts if start > line), len(lines) + 1) - 1)
    return range(line - 1, line)


def _first_open(lines: list[str]) -> int:
    """The line of the first statement that is not complete by itself: what the parser misses at the end of the file."""
    starts = sorted(set(line_index("\n".join(lines)).values()))
    ends = [*(start - 1 for start in starts[1:]), len(lines)]
    whole = zip(starts, ends, strict=True)
    return next((start for start, end in whole if not _complete(lines[start - 1 : end])), len(lines))


def _complete(lines: list[str]) -> bool:
    try:
        tomllib.loads("\n".join(lines))
    except (ValueError, RecursionError):
        return False
    return True


def _is_header(line: str) -> bool:
    return line.lstrip().startswith("[")


def _headers(lines: list[str], after: int) -> Iterator[int]:
    return (number for number in range(after, len(lines)) if _is_header(lines[number]))
