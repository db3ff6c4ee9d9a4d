"""A label read line by line: at each word the recognisers are tried in turn, the rest is kept as unread."""

import re

from partingline.readers.label.characters import alike
from partingline.readers.label.recognisers import RECOGNISERS
from partingline.readers.label.state import Line, State
from partingline.readers.label.types import Label, LabelProblem, Stretch
from partingline.readers.quantities import find_quantities

_WORD = re.compile(r"(?:[A-Za-z0-9À-ÿ_'-]|[.,](?=[\dOolI]))+|.")
_SEPARATORS = " \t,;:/|()[]{}<>-–—+&=⎓~.•·*_'\"’°®™#"
_CONFUSED = re.compile(r"(?=[\dOolI.,\-/]*\d)(?=[\d.,\-/]*[OolI])[\dOolI.,/\-]+\s*(?:[OolI]?(?:Hz|HZ|V|A|W|mA))?[~⎓]?")
_REPAIR = str.maketrans({"O": "0", "o": "0", "l": "1", "I": "1"})


def read_label(text: str) -> Label:
    """A label as printed, line by line.

    Nothing is corrected: what looks like a misread letter is a problem with a suggestion. What no part of the
    grammar takes is in `unread` with its place.
    """
    state = State()
    lines = [Line(number, printed, alike(printed)) for number, printed in enumerate(text.splitlines(), start=1)]
    taken = [_read_line(line, state) for line in lines]
    unread = [gap for line, marks in zip(lines, taken, strict=True) for gap in _stretches(line, marks, 0)]
    for statement in state.statements:
        marks = taken[statement.line - 1]
        marks[statement.start : statement.end] = b"\x02" * (statement.end - statement.start)
    context = [stretch for line, marks in zip(lines, taken, strict=True) for stretch in _stretches(line, marks, 1)]
    problems = [*state.problems, *_incomplete(state), *(one for gap in unread for one in _confused(gap))]
    problems.sort(key=lambda problem: (problem.line, problem.start))
    return Label(tuple(state.statements), tuple(context), tuple(unread), tuple(problems))


def _read_line(line: Line, state: State) -> bytearray:
    """Reads one line into the state; a mark for each character, 1 where it was read."""
    taken = bytearray(len(line.alike))
    position = 0
    while position < len(line.alike):
        if line.alike[position] in " \t,;:|)]}•·":
            position += 1
            continue
        end = next((end for one in RECOGNISERS if (end := one(line, position, state)) is not None), None)
        if end is not None and end > position:
            taken[position:end] = b"\x01" * (end - position)
            position = end
        else:
            position = _skip(line.alike, position)
    return taken


def _skip(text: str, position: int) -> int:
    word = _WORD.match(text, position)
    assert word is not None
    return word.end()


def _stretches(line: Line, marks: bytearray, mark: int) -> list[Stretch]:
    """The stretches with this mark, without separators at their ends."""
    stretches = []
    for run in re.finditer(bytes([mark]) + b"+", bytes(marks)):
        start, end = run.span()
        while start < end and line.alike[start] in _SEPARATORS:
            start += 1
        while end > start and line.alike[end - 1] in _SEPARATORS:
            end -= 1
        if start < end:
            stretches.append(Stretch(line.number, start, end, line.printed[start:end]))
    return stretches


def _incomplete(state: State) -> list[LabelProblem]:
    """Voltages of an output that stayed without a current."""
    expected, step = "a current behind the voltage, such as 5V⎓3A", "Check the print, or add the current."
    return [
        LabelProblem(one.line, one.start, one.end, one.text, expected, step)
        for one in state.statements
        if one.offer is not None and one.offer.current is None
    ]


def _confused(gap: Stretch) -> list[LabelProblem]:
    """Letters that may be digits: O for 0, l and I for 1. Suggested, never replaced."""
    problems = []
    for found in _CONFUSED.finditer(gap.text):
        repaired = found[0].translate(_REPAIR)
        if repaired != found[0] and find_quantities(repaired):
            start, end = gap.start + found.start(), gap.start + found.end()
            step = f"Did the print say {repaired.strip()!r}? Correct the text if so."
            problems.append(LabelProblem(gap.line, start, end, found[0].strip(), "digits and a unit", step))
    return problems
