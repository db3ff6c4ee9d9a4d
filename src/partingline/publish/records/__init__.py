"""The JSON records of the commands, and their schemas.

A key is only ever added; a change of meaning raises `version`.
"""

import math
from collections.abc import Iterable
from typing import Any

from partingline import __version__
from partingline.calc.declare import Calculation
from partingline.facts.opened import Opened
from partingline.facts.show import key_text, show_fact
from partingline.findings.next_steps import next_steps
from partingline.model import Citation, Evidence, Fact, Finding, Interval, Number, Problem, Statement, Text, Verdict
from partingline.publish.records.log_shapes import LogRecord
from partingline.publish.records.shapes import (
    CalcRecord,
    CalculationRecord,
    CaptureRecord,
    CheckRecord,
    EvidenceRecord,
    FactRecord,
    FindingRecord,
    MarkingRecord,
    NextStepRecord,
    PrintedRecord,
    ProblemRecord,
    ProposalRecord,
    ReadingRecord,
    ReadRecord,
    SaidRecord,
    SourceRecord,
    StatementRecord,
)
from partingline.publish.words.record import WordsRecord
from partingline.readers.cc import Capture
from partingline.readers.cc.jsonview import capture_view
from partingline.readers.markings import Reading
from partingline.readers.photos.reading import Proposal

VERSION = 1
Printed = tuple[str, str, list[float] | None, str]


SCHEMAS: dict[str, Any] = {
    "check": CheckRecord,
    "marking": MarkingRecord,
    "read": ReadRecord,
    "calc": CalcRecord,
    "cc": CaptureRecord,
    "log": LogRecord,
    "words": WordsRecord,
}


def json_schema(name: str) -> dict[str, Any]:
    """The JSON schema of a record; KeyError for an unknown name."""
    from pydantic import TypeAdapter

    return TypeAdapter(SCHEMAS[name]).json_schema()


def check_record(opened: Opened, findings: Iterable[Finding]) -> CheckRecord:
    """Everything that `check` knows."""
    findings = tuple(findings)
    return CheckRecord(
        schema="partingline/check",
        version=VERSION,
        program=f"partingline {__version__}",
        unit=opened.unit.name,
        invented=opened.unit.invented,
        counts={verdict.value: sum(f.verdict is verdict for f in findings) for verdict in Verdict},
        findings=[_finding(finding) for finding in findings],
        next_steps=[
            NextStepRecord(fact=step.key.id, what=step.what, rules=[f.rule for f in step.settles])
            for step in next_steps(findings, opened.book)
        ],
        problems=[problem_record(problem) for problem in opened.problems],
        facts=[fact_record(fact) for fact in opened.book.facts()],
    )


def capture_record(capture: Capture, findings: Iterable[Finding]) -> CaptureRecord:
    """A decoded recording with the findings on it."""
    view = capture_view(capture)
    view.update(schema="partingline/cc", version=VERSION, findings=[_finding(finding) for finding in findings])
    return view  # type: ignore[return-value]


def marking_record(text: str, kind: str | None, readings: Iterable[Reading]) -> MarkingRecord:
    """All readings of a marking."""
    return MarkingRecord(
        schema="partingline/marking",
        version=VERSION,
        marking=text,
        kind=kind,
        readings=[_reading(r) for r in readings],
    )


def read_record(printed: Iterable[tuple[Printed, Iterable[Proposal]]]) -> ReadRecord:
    """Proposed readings; each place as subject, photo, region and what is typed now."""
    return ReadRecord(
        schema="partingline/read",
        version=VERSION,
        printed=[
            PrintedRecord(
                subject=subject,
                photo=photo,
                region=region,
                now=now,
                proposals=[
                    ProposalRecord(read=one.read, text=one.text, certainty=round(one.certainty, 4), turn=one.turn)
                    for one in lines
                ],
            )
            for (subject, photo, region, now), lines in printed
        ],
    )


def calc_record(calculations: Iterable[tuple[Calculation[..., Any], Any, list[str]]]) -> CalcRecord:
    """Calculations with their results and remarks."""
    return CalcRecord(
        schema="partingline/calc",
        version=VERSION,
        calculations=[
            CalculationRecord(
                id=one.id,
                summary=one.summary,
                source=_source(one.source),
                units=dict(one.units),
                gives=one.gives,
                errata=one.errata,
                result=result,
                remarks=remarks,
            )
            for one, result, remarks in calculations
        ],
    )


def _finding(finding: Finding) -> FindingRecord:
    limit = finding.limit
    return FindingRecord(
        rule=finding.rule,
        group=finding.group,
        subject=finding.subject,
        verdict=finding.verdict.value,
        indicative=finding.indicative,
        text=finding.text,
        source=_source(finding.citation),
        fact=finding.key.id if finding.key else None,
        limit_low=_finite(limit.low) if limit else None,
        limit_high=_finite(limit.high) if limit else None,
        margin=_finite(finding.margin),
        probability=_finite(finding.probability),
        decides_at_u=_finite(finding.decides_at_u),
        used=[key.id for key in finding.used],
        missing=[key.id for key in finding.missing],
        next_step=finding.next_step,
    )


def fact_record(fact: Fact) -> FactRecord:
    """One fact with all its statements."""
    return FactRecord(
        id=fact.key.id,
        name=key_text(fact.key),
        subject=fact.key.subject,
        quantity=fact.key.quantity,
        conditions=dict(fact.key.at),
        shown=show_fact(fact),
        standing=fact.standing.value,
        statements=[_statement(s, standing.value) for s, standing in zip(fact.statements, fact.standings, strict=True)],
    )


def _statement(statement: Statement, standing: str) -> StatementRecord:
    value = statement.value
    number = _finite(value.value) if isinstance(value, Number) else None
    return StatementRecord(
        route=statement.route.value,
        sense=statement.sense.value,
        standing=standing,
        value=number,
        u=_finite(value.u) if isinstance(value, Number) else None,
        text=value.text if isinstance(value, Text) else None,
        interval=[value.low, value.high] if isinstance(value, Interval) else None,
        said=statement.said,
        note=statement.note,
        computed_by=statement.basis.what if statement.basis else None,
        inputs=[key.id for key in statement.basis.inputs] if statement.basis else [],
        evidence=[_evidence(one) for one in statement.evidence],
    )


def problem_record(problem: Problem) -> ProblemRecord:
    """One thing that could not be read."""
    return ProblemRecord(
        path=problem.evidence.path,
        place=str(problem.evidence.place),
        found=problem.found,
        expected=problem.expected,
        next_step=problem.next_step,
        loses=problem.loses,
    )


def _reading(reading: Reading) -> ReadingRecord:
    said = [
        SaidRecord(quantity=s.quantity, value=s.value, unit=s.unit, low=s.low, high=s.high, words=s.words)
        for s in reading.said
    ]
    return ReadingRecord(
        kind=reading.kind,
        variety=reading.variety,
        says=reading.says,
        said=said,
        scheme=reading.scheme,
        source=reading.source,
        evidence=reading.evidence,
        plausibility=reading.plausibility,
        fits=reading.fits,
        unread=reading.unread,
        notes=list(reading.notes),
    )


def _source(citation: Citation) -> SourceRecord:
    return SourceRecord(document=citation.document, where=citation.where, mark=citation.mark, text=str(citation))


def _evidence(evidence: Evidence) -> EvidenceRecord:
    return EvidenceRecord(path=evidence.path, place=str(evidence.place), sha256=evidence.sha256)


def _finite(value: float | None) -> float | None:
    return value if value is not None and math.isfinite(value) else None


def _numbers(result: Any) -> Any:
    """A result with null for what is no number."""
    if isinstance(result, dict):
        return {name: _numbers(value) for name, value in result.items()}
    if isinstance(result, list | tuple):
        return [_numbers(value) for value in result]
    return _finite(result) if isinstance(result, float) else result
