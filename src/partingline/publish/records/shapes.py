"""The shape of every record: what a program that reads `--json` can rely on."""

from typing import Any

from typing_extensions import TypedDict


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


class FrameRecord(TypedDict):
    """One frame on the wire; `payload` is header and objects as hex, `reason` why a frame is damaged."""

    t_s: float
    end_s: float
    channel: str
    sop: str | None
    valid: bool
    reason: str | None
    payload: str
    type: str | None
    sender: str | None
    acknowledges: str | None
    text: str | None
    header: dict[str, Any] | None
    fields: Any
    fault: str | None
    bit_rate_hz: float | None
    rate_drift: float | None
    symbols_matched: int | None
    preamble_bits: int | None
    low_v: float | None
    high_v: float | None


class CaptureRecord(TypedDict):
    """`partingline cc --json`: times in seconds from the start of the recording; what is not known is null."""

    schema: str
    version: int
    file: str
    kind: str
    rate_hz: float | None
    duration_s: float | None
    channels: list[str]
    frames: list[FrameRecord]
    offers: list[dict[str, Any]]
    contracts: list[dict[str, Any]]
    senders: list[dict[str, Any]]
    conversation: dict[str, Any]
    pasted_offers: list[dict[str, Any]]
    findings: list[FindingRecord]
    problems: list[dict[str, Any]]


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


class ProposalRecord(TypedDict):
    """A line as it was read and as the grammar of labels and markings has it; `turn` in degrees, counter-clockwise."""

    read: str
    text: str
    certainty: float
    turn: int


class PrintedRecord(TypedDict):
    """Something printed on a photo; `region` is x, y, width, height in pixels, null for the whole picture."""

    subject: str
    photo: str
    region: list[float] | None
    now: str
    proposals: list[ProposalRecord]


class ReadRecord(TypedDict):
    """`partingline read --json`. Proposals only: nothing is known before a person accepts it."""

    schema: str
    version: int
    printed: list[PrintedRecord]


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
