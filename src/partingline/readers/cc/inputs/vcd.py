"""Value change dumps (IEEE 1364): the CC wire behind a comparator, as logic recordings give it."""

from __future__ import annotations

import re
from array import array
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import numpy.typing as npt

from partingline.readers.cc.inputs.recording import CC_NAMES, Options
from partingline.readers.cc.problem import Problem, UnreadableError

_SCALE = re.compile(r"(\d+)\s*(fs|ps|ns|us|ms|s)")
_UNITS = {"fs": 1e-15, "ps": 1e-12, "ns": 1e-9, "us": 1e-6, "ms": 1e-3, "s": 1.0}
_BATCH, _GAP_S = 1 << 19, 20e-6
_NEXT = "Export the recording as VCD again, one single-bit wire for each CC line."


@dataclass(slots=True)
class LogicHead:
    """The declarations: seconds a tick, and channel name by identifier code of the wires taken."""

    tick_s: float
    wires: dict[str, str]
    lines: int


@dataclass(slots=True)
class _Wire:
    name: str
    level: str = ""
    edges: array[int] = field(default_factory=lambda: array("q"))


def read_head(path: Path, options: Options) -> LogicHead:
    """The declarations of the file. Raises UnreadableError."""
    text, lines = [], 0
    with path.open(encoding="utf-8", errors="replace") as file:
        for line in file:
            lines += 1
            text.append(line)
            if "$enddefinitions" in line or lines > 100_000:
                break
    head = " ".join(text)
    scale = _SCALE.search(head[head.find("$timescale") :]) if "$timescale" in head else None
    wires = re.findall(r"\$var\s+\w+\s+1\s+(\S+)\s+(\S+)[^$]*\$end", head)
    problems = []
    if scale is None:
        problems.append(Problem(path.name, "no $timescale", "a time scale such as 1 ns", _NEXT))
    if not wires:
        problems.append(Problem(path.name, "no single-bit wire", "$var wire 1 ...", _NEXT))
    if problems or scale is None:
        raise UnreadableError(problems)
    return LogicHead(int(scale[1]) * _UNITS[scale[2]], _choose(wires, options), lines)


def edge_batches(path: Path, head: LogicHead) -> Iterator[tuple[str, npt.NDArray[np.float64]]]:
    """(channel, edge times in seconds) a batch at a time, cut only where the wire was still for long."""
    wires = {code: _Wire(name) for code, name in head.wires.items()}
    gap = _GAP_S / head.tick_s
    now = 0
    with path.open(encoding="utf-8", errors="replace") as file:
        for line in file:
            word = line.strip()
            if word[:1] == "#":
                now = int(word[1:]) if word[1:].isdecimal() and word.isascii() else now
            elif word[:1] in ("0", "1", "x", "z", "X", "Z") and (wire := wires.get(word[1:].strip())):
                if len(wire.edges) >= _BATCH and now - wire.edges[-1] > gap:
                    yield _flush(wire, head.tick_s)
                _change(wire, word[0], now)
    for wire in wires.values():
        if wire.edges:
            yield _flush(wire, head.tick_s)


def _change(wire: _Wire, level: str, now: int) -> None:
    if wire.level and level != wire.level and (not wire.edges or now >= wire.edges[-1]) and now < 1 << 62:
        wire.edges.append(now)
    wire.level = level


def _flush(wire: _Wire, tick_s: float) -> tuple[str, npt.NDArray[np.float64]]:
    times = np.array(wire.edges, np.float64) * tick_s
    wire.edges = array("q")
    return wire.name, times


def _choose(wires: list[tuple[str, str]], options: Options) -> dict[str, str]:
    """The wires to read: those the person names, else those called cc, else the first."""
    wanted = [name.lower() for name in options.channels]
    if wanted:
        chosen = [(code, name) for code, name in wires if name.lower() in wanted]
    else:
        chosen = [(code, name) for code, name in wires if "cc" in name.lower().replace("vcc", "")]
    names = iter((*CC_NAMES, *(f"channel{i + 3}" for i in range(len(wires)))))
    return {code: next(names) for code, _ in (chosen or wires[:1])[:2]}
