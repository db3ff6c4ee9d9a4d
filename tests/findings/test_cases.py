"""Every rule has a case file, and every case comes out as it says. The case file names the source of its numbers."""

from typing import Any

import pytest

from partingline.findings import Judge, rules
from partingline.model import Verdict
from tests.findings.casefile import FOLDER, build, read_cases

CASES = [
    pytest.param(rule, case, id=f"{rule.id}: {case['name']}")
    for rule in rules()
    if (FOLDER / f"{rule.id}.toml").exists()
    for case in read_cases(FOLDER / f"{rule.id}.toml")["case"]
]


@pytest.mark.parametrize("rule", rules(), ids=lambda rule: rule.id)
def test_every_rule_has_cases_on_both_sides_and_without_data(rule: Any) -> None:
    path = FOLDER / f"{rule.id}.toml"
    assert path.exists(), f"write {path.name} beside the others, with a source and cases on both sides of the limit"
    data = read_cases(path)
    assert data["source"], "name the source of the numbers"
    verdicts = {case["verdict"] for case in data["case"]}
    assert "meets" in verdicts or "undecided" in verdicts
    assert verdicts & {"falls short", "undecided"}, "a case on the other side of the limit is missing"
    assert verdicts & {"not enough data", "none"}, "a case without the data is missing"


def test_every_case_file_belongs_to_a_rule() -> None:
    known = {rule.id for rule in rules()}
    assert {path.stem for path in FOLDER.glob("*.toml")} <= known


@pytest.mark.parametrize(("rule", "case"), CASES)
def test_case(rule: Any, case: dict[str, Any]) -> None:
    findings = list(rule.judge(Judge(build(case), rule)))
    if "subject" in case:
        findings = [finding for finding in findings if finding.subject == case["subject"]]
    told = [(finding.verdict.value, finding.text) for finding in findings]
    if case["verdict"] == "none":
        assert not findings, told
        return
    assert case["verdict"] in [verdict for verdict, _ in told], told
    if "says" in case:
        assert any(case["says"] in text.replace("\u202f", " ") for _, text in told), told
    for finding in findings:
        assert finding.text
        assert finding.verdict is not Verdict.FALLS_SHORT or not finding.citation.indicative
        assert finding.verdict is not Verdict.NOT_ENOUGH_DATA or finding.missing
