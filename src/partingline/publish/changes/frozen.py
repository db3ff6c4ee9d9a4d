"""The frozen record: every fact, verdict, sentence and figure of a publication, with what each rests on."""

import hashlib
import json
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from partingline import __version__
from partingline.facts.opened import Opened
from partingline.facts.show import show_fact
from partingline.model import Fact, Finding, Interval, Number, Text
from partingline.publish.compose import compose
from partingline.publish.document import (
    Document,
    Figure,
    FigureRow,
    FindingList,
    Items,
    Paragraph,
    Photo,
    Spans,
    Table,
)  # fmt: skip

FROZEN = "frozen.json"
SCHEMA = "partingline.frozen"
VERSION = 1


def frozen_record(opened: Opened, findings: Sequence[Finding], day: str) -> dict[str, Any]:
    """The record as plain data. Sentences are those of the report and of the figures' words."""
    document = compose(opened, findings)
    return {
        "schema": SCHEMA,
        "version": VERSION,
        "program": __version__,
        "unit": opened.unit.name,
        "day": day,
        "facts": {fact.key.id: {"shown": show_fact(fact), "is": _value(fact)} for fact in opened.book.facts()},
        "verdicts": {_id(finding): {"verdict": finding.verdict.value, "text": finding.text} for finding in findings},
        "sentences": [{"section": s, "text": t, "facts": list(f)} for s, t, f in _sentences(document)],
        "figures": dict(_figures(document)),
    }


def read_frozen(path: Path) -> dict[str, Any]:
    """The record of a bag, of a publication folder, or of the file itself. FileNotFoundError and ValueError say what is
    wrong, and where it was looked for."""
    places = [path, path / FROZEN, path / "data" / "publication" / FROZEN]
    file = next((place for place in places if place.is_file()), None)
    if file is None:
        raise FileNotFoundError(
            f"{path}: no {FROZEN} there; expected a bag or a folder written by `partingline publish`"
        )
    try:
        record = json.loads(file.read_text(encoding="utf-8"))
    except (json.JSONDecodeError, UnicodeDecodeError) as error:
        raise ValueError(f"{file}: {error}; expected the record as it was written") from None
    if not isinstance(record, dict) or record.get("schema") != SCHEMA:
        raise ValueError(f"{file}: no frozen publication; expected 'schema': '{SCHEMA}'")
    return record


def _id(finding: Finding) -> str:
    return f"{finding.rule} {finding.key.id if finding.key else finding.subject}"


def _value(fact: Fact) -> float | str | list[float]:
    value = fact.preferred.value
    if isinstance(value, Number):
        return value.value
    return [value.low, value.high] if isinstance(value, Interval) else value.text if isinstance(value, Text) else ""


Sentence = tuple[str, str, tuple[str, ...]]


def _sentences(document: Document) -> Iterator[Sentence]:
    yield _sentence("lead", document.lead)
    for figure in document.key_figures:
        amount = figure.amount
        yield (
            "key figures",
            f"{figure.caption}: {amount.value} {amount.unit}".strip(),
            (amount.ref,) if amount.ref else (),
        )
    for section in document.sections:
        for block in section.blocks:
            if isinstance(block, Paragraph):
                yield _sentence(section.title, block.spans)
            elif isinstance(block, Items):
                yield from (_sentence(section.title, spans) for spans in block.items)
            elif isinstance(block, FindingList):
                yield from (_sentence(section.title, item.sentence) for item in block.items)
            elif isinstance(block, Table):
                yield from _rows(section.title, block)


def _rows(title: str, table: Table) -> Iterator[Sentence]:
    for group in table.groups:
        for row in group.rows:
            spans = tuple(span for cell in row.cells for span in cell.spans)
            text = " · ".join("".join(span.text for span in cell.spans) for cell in row.cells if cell.spans)
            yield title, text, tuple(dict.fromkeys(span.ref for span in spans if span.ref))


def _sentence(title: str, spans: Spans) -> Sentence:
    refs = tuple(dict.fromkeys(span.ref for span in spans if span.ref))
    return title, "".join(span.text for span in spans), refs


def _figures(document: Document) -> Iterator[tuple[str, str]]:
    """Every figure with a digest of what it shows: its drawing, or its photo with the words on it."""
    for section in document.sections:
        for block in section.blocks:
            figures = block.figures if isinstance(block, FigureRow) else (block,) if isinstance(block, Figure) else ()
            for figure in figures:
                yield figure.title if figure.title else figure.id, _digest(figure)


def _digest(figure: Figure) -> str:
    content = figure.content
    if isinstance(content, Photo):
        marks = repr((content.callouts, content.outlines, content.measures))
        return hashlib.sha256(content.data + marks.encode()).hexdigest()
    return hashlib.sha256(content.svg.encode()).hexdigest()
