"""Run every rule on a case; a rule that fails is itself said, and the others still speak."""

from collections.abc import Iterable

from partingline.findings.case import Case
from partingline.findings.judge import Judge
from partingline.findings.rule import Rule, rules
from partingline.model import Finding, Verdict

_ORDER = {verdict: index for index, verdict in enumerate(Verdict)}


def run(case: Case, chosen: Iterable[Rule] | None = None) -> tuple[Finding, ...]:
    """All findings, the worst verdict first within the order of the groups."""
    findings = [finding for each in (rules() if chosen is None else chosen) for finding in each.judge(Judge(case, each))]
    return tuple(sorted(findings, key=lambda f: (_ORDER[f.verdict], f.indicative)))
