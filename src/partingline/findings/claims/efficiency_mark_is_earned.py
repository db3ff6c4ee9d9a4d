"""The Roman numeral on the label is earned: average efficiency and no-load power both meet its level."""

import re
from collections.abc import Iterator

import numpy as np

from partingline.calc.efficiency_limits import LEVELS
from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.findings.supplied import US, TestPoint, measured, nameplate_power, test_points
from partingline.model import Fact, Finding, Key, Verdict
from partingline.sources import cite
from partingline.sources.supply_limits import supply_limit

_WORST = list(Verdict)


@rule(
    id="claims.efficiency_mark_is_earned",
    claim="Average efficiency and no-load power at 115 V both meet the level that the label's numeral names.",
    source=cite("iemp-v3", "the highest level whose two limits are both met", "S2"),
)
def efficiency_mark_is_earned(judge: Judge) -> Iterator[Finding]:
    mark = judge.fact("unit", "efficiency_mark")
    level = re.search(r"\b[IV]+\b", mark.text) if mark else None
    points = [point for point in test_points(judge) if point.expected]
    if mark is None or level is None or level[0] not in LEVELS or not points:
        return
    known = [_average(judge, mark, level[0], point) for point in points if _in_scope(level[0], point)]
    if not known:
        return
    known.append(_no_load(judge, mark, level[0], points))
    findings = [finding for finding, _ in known if finding is not None]
    missing = [key for finding, key in known if finding is None]
    worst = min(findings, key=lambda finding: _WORST.index(finding.verdict), default=None)
    if worst is not None and (worst.verdict is Verdict.FALLS_SHORT or not missing):
        yield worst if worst.verdict is not Verdict.MEETS else _earned(judge, mark, findings)
        return
    yield judge.lacks(
        "Whether the mark {mark} is earned is not known: {count} of {all} measurements at {mains} are missing.",
        subject="unit",
        missing=missing,
        next_step="Log load sweeps at the highest and the lowest voltage and the power without load at 115 V.",
        mark=level[0],
        count=len(missing),
        all=len(known),
        mains=(US.mains, "input_voltage"),
    )


def _in_scope(level: str, point: TestPoint) -> bool:
    return bool(np.isfinite(supply_limit(LEVELS[level], "average", point.supply_class)(point.power)))


def _average(judge: Judge, mark: Fact, level: str, point: TestPoint) -> tuple[Finding | None, Key]:
    limit = supply_limit(LEVELS[level], "average", point.supply_class)
    key = point.key("average_efficiency", mains=US.mains)
    fact = measured(judge, key)
    if fact is None:
        return None, key
    return judge.at_least(
        fact.key,
        float(limit(point.power)),
        "The label bears the mark {mark}; the average efficiency at {voltage} is {value}; it asks {limit}.",
        label=f"mark {level}",
        source=limit.citation,
        mark=mark.key,
        voltage=(point.voltage, "port_voltage"),
    ), key


def _no_load(judge: Judge, mark: Fact, level: str, points: list[TestPoint]) -> tuple[Finding | None, Key]:
    limit = supply_limit(LEVELS[level], "no-load", points[0].supply_class)
    key = Key.of("unit", "no_load_power", mains=US.mains)
    fact = measured(judge, key)
    if fact is None:
        return None, key
    return judge.at_most(
        fact.key,
        float(limit(nameplate_power(judge, tuple(points)))),
        "The label bears the mark {mark}; without load the unit draws {value}, and the mark allows {limit}.",
        label=f"mark {level}",
        source=limit.citation,
        mark=mark.key,
    ), key


def _earned(judge: Judge, mark: Fact, findings: list[Finding]) -> Finding:
    keys = [finding.key for finding in findings if finding.key is not None]
    return judge.decided(
        True,
        "The mark {mark} on the label is earned at each of {count} measurements at {mains}.",
        subject="unit",
        used=[mark.key, *keys],
        mark=mark.key,
        count=len(keys),
        mains=(US.mains, "input_voltage"),
    )
