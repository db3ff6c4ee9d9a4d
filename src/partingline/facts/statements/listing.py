"""Advertised claims of `words/listing.md`, line by line: read as spoken words are, each claim a statement."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from partingline.facts.spoken.conditions import pairs
from partingline.facts.spoken.context import Context, Surroundings
from partingline.facts.spoken.lexicon import Lexicon, lexicon_of
from partingline.model import Component, Evidence, Interval, Key, Line, Number, Route, Sense, Shape, Statement, Unit
from partingline.readers.folder import Folder
from partingline.readers.label.video import VideoMode, read_video_modes
from partingline.readers.words import Figure, find_figures, tokens_of
from partingline.sources import quantities

NAME = "words/listing.md"
_COMMENT = re.compile(r"<!--.*?-->", re.DOTALL)
_PROMISED = frozenset({"output_power", "available_current", "average_efficiency", "peak_efficiency", "data_rate"})
"""What an advertisement promises at least."""
_UNNAMED = {"W": "output_power", "kg": "mass", "W/m³": "power_density", "kg/m³": "density", "m³": "volume",
            "J": "rated_energy", "C": "rated_capacity", "bit/s": "data_rate"}  # fmt: skip
"""What a figure of a unit is where the line does not say. Common practice, no source."""
_EFFICIENCY = frozenset({"efficiency", "average_efficiency", "peak_efficiency", "full_load_efficiency"})
_TOUCHED = re.compile(r"\b(?:surface|case|housing|shell|touch)", re.I)
_PLACES = ("length", "width", "height")
_LEAST = 0.3
_AT_MOST = re.compile(r"(?:less than|below|under|at most|max(?:imum|\.)?|no more than|not more than|<|≤)\s*$", re.I)
_AT_LEAST = re.compile(r"(?:at least|more than|over|above|min(?:imum|\.)?|>|≥)\s*$", re.I)


def listing_statements(folder: Folder, unit: Unit) -> Iterator[Statement]:
    """Every claim that can be bound to a quantity; a line with figures that cannot is reported."""
    file = folder.text(NAME, "advertised claims, one a line")
    if file is None:
        return
    text = _COMMENT.sub(lambda comment: re.sub(r"[^\n]", " ", comment.group()), file.text)
    lexicon = lexicon_of(unit)
    for number, line in enumerate(text.splitlines(), start=1):
        videos = read_video_modes(line)
        figures = [f for f in _figures(line) if not any(v.start < f.end and f.start < v.end for v in videos)]
        if not figures and not videos:
            continue
        said = line.strip().lstrip("-*• ").strip()
        evidence = file.at(Line(number))
        bound = [_video(mode, said, evidence) for mode in videos]
        bound += [
            _statement(key, figure, line, said, evidence)
            for key, figure in _Claims(line, tuple(figures), lexicon, unit).found()
        ]
        if not bound:
            step = "Name the port or the quantity in the line, as '65 W on C1'."
            folder.report(NAME, f"'{said}' speaks of nothing known", "a claim such as '65 W on C1'", step, Line(number))
        yield from bound


def _figures(line: str) -> list[Figure]:
    """Quantities with units as they are written; a captioner's slips are none of a printed text's."""
    return [figure for figure in find_figures(line) if figure.unit and not figure.slip]


@dataclass(frozen=True)
class _Claims:
    """One line: its figures and what stands about them."""

    line: str
    figures: tuple[Figure, ...]
    lexicon: Lexicon
    unit: Unit

    def found(self) -> Iterator[tuple[Key, Figure]]:
        """Each figure that claims something, with what it claims."""
        tokens = tokens_of(self.line)
        mentions = self.lexicon.find(tokens)
        paired = pairs(self.figures, tokens, set())
        around = Surroundings(self.line, tokens, mentions, self.figures, (), paired)
        named = {s: m.first for m in reversed(mentions) for s in m.subjects if s.startswith("port:")}
        ports = [port.subject for port in self.unit.ports if port.subject in named]
        together = any(s.startswith("ports:") for m in mentions for s in m.subjects) or "+" in self.line
        watts = [figure for figure in self.figures if figure.unit == "W"]
        by_place = {figure.first: figure for figure in self.figures}
        for figure in self.figures:
            context = around.of(figure)
            subject = self._subject(context, ports, together and len(watts) <= 1)
            if figure.first in paired.values():
                continue
            if figure.first in paired and subject.startswith("port:"):
                volts = by_place[paired[figure.first]].readings[0].value
                yield Key.of(subject, "available_current", offer=volts), figure
            elif (quantity := self._quantity(figure, context)) is not None:
                if together and len(ports) == len(watts) > 1 and figure in watts:
                    yield self._shared(ports, watts.index(figure)), figure
                else:
                    yield Key.of("unit" if quantity in _EFFICIENCY else subject, quantity), figure

    def _subject(self, context: Context, ports: list[str], together: bool) -> str:
        """The port named nearest, all ports that are named together, else the unit; the one port of a unit with one."""
        if together and len(ports) > 1:
            return "ports:" + "+".join(sorted(port.partition(":")[2] for port in ports))
        near = {s: w for s, w in context.subjects.items() if s in ports}
        if near:
            return max(near, key=lambda subject: near[subject])
        return ports[0] if len(ports) == 1 else "unit"

    def _shared(self, ports: list[str], index: int) -> Key:
        """`C1 + A1: 45 W + 18 W`: what each gives beside the others."""
        others = "+".join(sorted(port.partition(":")[2] for port in ports if port != ports[index]))
        return Key.of(ports[index], "output_power", **{"with": others})

    def _quantity(self, figure: Figure, context: Context) -> str | None:
        if figure.kind == "dimension":
            return _PLACES[min(figure.place, 2)]
        named = {
            quantity: weight
            for quantity, weight in context.quantities.items()
            if weight >= _LEAST and quantities()[quantity].unit == figure.unit
        }
        quantity = max(named, key=lambda one: named[one]) if named else _UNNAMED.get(figure.unit)
        if quantity is None and figure.unit == "degC" and _TOUCHED.search(self.line):
            quantity = "surface_temperature"
        if quantity in _EFFICIENCY:
            return "average_efficiency" if "average" in self.line.casefold() else "peak_efficiency"
        return quantity


def _statement(key: Key, figure: Figure, line: str, said: str, evidence: Evidence) -> Statement:
    reading = figure.readings[0]
    before, number = line[: figure.start], _clean(reading.value)
    value: Number | Interval = Number(number)
    if reading.high is not None:
        value, sense = Interval(number, _clean(reading.high)), Sense.WITHIN
    elif key.quantity in _PROMISED or _AT_LEAST.search(before):
        sense = Sense.AT_LEAST
    elif _AT_MOST.search(before):
        sense = Sense.AT_MOST
    else:
        sense = Sense.EQUALS
        value = Number(number, (Component(f"last digit:{key.id}", reading.half, Shape.RECTANGULAR),))
    return Statement(key, value, Route.LISTING, sense, (evidence,), said)


def _clean(value: float) -> float:
    """Without what scaling by a prefix leaves behind the last digit."""
    return float(f"{value:.12g}")


def _video(mode: VideoMode, said: str, evidence: Evidence) -> Statement:
    key = Key.of("unit", "video_refresh", size=mode.size, displays=mode.displays)
    return Statement(key, Number(mode.refresh), Route.LISTING, Sense.AT_LEAST, (evidence,), said)
