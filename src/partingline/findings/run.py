"""Run every rule on a case; a rule that fails is itself said, and the others still speak."""

from collections.abc import Iterable

from partingline.findings.case import Case
from partingline.findings.judge import Judge
from partingline.findings.rule import Rule, rules
from partingline.model import Finding, Span, Verdict

_ORDER = {verdict: index for index, verdict in enumerate(Verdict)}


def run(case: Case, chosen: Iterable[Rule] | None = None) -> tuple[Finding, ...]:
    """All findings, the worst verdict first within the order of the groups; of the open ones last those that only a
    better recording of the wire would decide."""
    findings = [finding for rule in (rules() if chosen is None else chosen) for finding in _judged(case, rule)]
    return tuple(sorted(findings, key=_place))


def _place(finding: Finding) -> tuple[int, bool, bool]:
    """Where a finding stands among the others."""
    of_recording = finding.verdict is Verdict.UNDECIDED and finding.subject.startswith("capture:")
    verdict = Verdict.NOT_ENOUGH_DATA if of_recording else finding.verdict
    return _ORDER[verdict], of_recording, finding.indicative


def _judged(case: Case, rule: Rule) -> list[Finding]:
    if rule.mains and not case.unit.fed_by_mains:
        return []
    try:
        return list(rule.judge(Judge(case, rule)))
    except Exception as error:  # a rule may be anyone's file
        sentence = (Span(f"This rule could not be applied: {type(error).__name__}: {error}. Claim: {rule.claim}"),)
        step = "Report it with the unit folder."
        return [Finding(rule.id, rule.group, "unit", Verdict.NOT_ENOUGH_DATA, sentence, rule.source, next_step=step)]
