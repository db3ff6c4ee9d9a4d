"""The JSON records of the commands, and their schemas.

A key is only ever added; a change of meaning raises `version`.
"""

import math
from collections.abc import Iterable
from typing import Any

from typing_extensions import TypedDict

from partingline import __version__
from partingline.calc.declare import Calculation
from partingline.facts.opened import Opened
from partingline.facts.show import key_text, show_fact
from partingline.findings.next_steps import next_steps
from partingline.model import Citation, Evidence, Fact, Finding, Interval, Number, Statement, Text, Verdict
from partingline.readers.markings import Reading

VERSION = 1


class EvidenceRecord(TypedDict):
    """A place in a file of the unit folder."""

    path: str
    place: str
    sha256: str


class SourceRecord(TypedDict):
    """Where a limit comes from; `mark` is S, S2, M, C or P."""

    document: str
    where: str
    mark: str
    text: str


class StatementRecord(TypedDict):
    """One thing said. SI units; exactly one of value, text and interval is not null."""

    route: str
    sense: str
    standing: str
    value: float | None
    u: float | None
    text: str | None
    interval: list[float] | None
    said: str
    note: str
    computed_by: str | None
    inputs: list[str]
    evidence: list[EvidenceRecord]


class FactRecord(TypedDict):
    """All statements on one quantity, the preferred one first."""

    id: str
    name: str
    subject: str
    quantity: str
    conditions: dict[str, float | str]
    shown: str
    standing: str
    statements: list[StatementRecord]


class FindingRecord(TypedDict):
    """The outcome of one rule. Numbers in SI units of the fact's quantity."""

    rule: str
    group: str
    subject: str
    verdict: str
    indicative: bool
    text: str
    source: SourceRecord
    fact: str | None
    limit_low: float | None
    limit_high: float | None
    margin: float | None
    probability: float | None
    decides_at_u: float | None
    used: list[str]
    missing: list[str]
    next_step: str


class ProblemRecord(TypedDict):
    """Something in a file that could not be read as written."""

    path: str
    place: str
    found: str
    expected: str
    next_step: str
    loses: bool


class NextStepRecord(TypedDict):
    """What to read or measure next, and the rules that it would help to settle."""

    fact: str
    what: str
    rules: list[str]


class CheckRecord(TypedDict):
    """`partingline check --json`."""

    schema: str
    version: int
    program: str
    unit: str
    invented: bool
    counts: dict[str, int]
    findings: list[FindingRecord]
    next_steps: list[NextStepRecord]
    problems: list[ProblemRecord]
    facts: list[FactRecord]


class SaidRecord(TypedDict):
    """One thing that a marking says."""

    quantity: str
    value: float | None
    unit: str
    low: float | None
    high: float | None
    words: str


class ReadingRecord(TypedDict):
    """One plausible reading."""

    kind: str
    variety: str
    says: str
    said: list[SaidRecord]
    scheme: str
    source: str
    evidence: str
    plausibility: float
    fits: bool
    unread: str
    notes: list[str]


class MarkingRecord(TypedDict):
    """`partingline marking --json`."""

    schema: str
    version: int
    marking: str
    kind: str | None
    readings: list[ReadingRecord]


class CalculationRecord(TypedDict):
    """One declared calculation; `result` is null where none was asked for."""

    id: str
    summary: str
    source: SourceRecord
    units: dict[str, str]
    gives: str
    errata: str
    result: Any
    remarks: list[str]


class CalcRecord(TypedDict):
    """`partingline calc --json`."""

    schema: str
    version: int
    calculations: list[CalculationRecord]


SCHEMAS: dict[str, Any] = {"check": CheckRecord, "marking": MarkingRecord, "calc": CalcRecord}


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
        problems=[
            ProblemRecord(
                path=p.evidence.path,
                place=str(p.evidence.place),
                found=p.found,
                expected=p.expected,
                next_step=p.next_step,
                loses=p.loses,
            )
            for p in opened.problems
        ],
        facts=[_fact(fact) for fact in opened.book.facts()],
    )


def marking_record(text: str, kind: str | None, readings: Iterable[Reading]) -> MarkingRecord:
    """All readings of a marking."""
    return MarkingRecord(
        schema="partingline/marking",
        version=VERSION,
        marking=text,
        kind=kind,
        readings=[_reading(r) for r in readings],
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


def _fact(fact: Fact) -> FactRecord:
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
