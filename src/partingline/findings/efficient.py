"""Efficiencies and no-load power held against a programme of limits, in the same words for each."""

from collections.abc import Iterator
from typing import Any

import numpy as np

from partingline.findings.judge import Judge
from partingline.findings.supplied import Programme, TestPoint, dated, measured, nameplate_power, test_points
from partingline.model import Fact, Finding, Key
from partingline.sources.supply_limits import SupplyLimit


def efficiencies(judge: Judge, programme: Programme, metric: str, quantity: str, **at: float) -> Iterator[Finding]:
    """Hold an efficiency against a programme at every test point; one finding for all that is missing, none where the
    programme is not in force for a unit of this date."""
    if _in_force(judge, programme) is False:
        return
    missing: list[TestPoint] = []
    for point in test_points(judge):
        limit = programme.limit(metric, point.supply_class)
        least = float(limit(point.power))
        if np.isnan(least):
            continue
        fact = measured(judge, point.key(quantity, mains=programme.mains, **at))
        if fact is not None:
            yield _held(judge, programme, point, fact, least, limit)
        elif point.expected and (point.highest or metric == "average"):
            missing.append(point)
    if missing:
        yield _lacking(judge, programme, missing, quantity, at)


def no_load(judge: Judge, programme: Programme) -> Iterator[Finding]:
    """Hold the no-load power of the unit against a programme that is in force for it."""
    if _in_force(judge, programme) is False:
        return
    points = test_points(judge)
    main = next((point for point in points if point.expected), None)
    if main is None:
        return
    power = nameplate_power(judge, points)
    limit = programme.limit("no-load", main.supply_class)
    most = float(limit(power))
    if np.isnan(most):
        return
    key = Key.of("unit", "no_load_power", mains=programme.mains)
    fact = measured(judge, key)
    words: dict[str, Any] = {"mains": (programme.mains, "input_voltage"), "programme": programme.name}
    if fact is None:
        yield judge.lacks(
            "The power drawn without load at {mains} was not measured; {programme} has a limit for it.",
            subject="unit",
            missing=[key],
            next_step=f"At {programme.mains:g}\u202fV {programme.frequency:g}\u202fHz, with nothing in the ports, "
            "log the input power until it is steady, for 15 min at least.",
            **words,
        )
        return
    sentence = "Without load at {mains} the unit draws {value}; {programme} allows {limit} for {power}"
    words["power"] = (power, "output_power")
    if _in_force(judge, programme) is None:
        yield _undated(judge, fact, sentence, limit=(most, "no_load_power"), **words)
        return
    yield judge.at_most(
        fact.key,
        most,
        sentence + ".",
        label=programme.label,
        source=limit.citation,
        next_step="Repeat with an analyser of smaller uncertainty at low power, and average for longer.",
        **words,
    )


def _in_force(judge: Judge, programme: Programme) -> bool | None:
    return programme.in_force(dated(judge.unit, judge.book)[0])


def _undated(judge: Judge, fact: Fact, sentence: str, **words: Any) -> Finding:
    """Which limits hold is not known without a date: nothing is decided, but the limit is told."""
    return judge.undecided(
        sentence + "; whether that held when the unit was made is not known.",
        subject=fact.key.subject,
        used=[fact.key],
        next_step="Write `examined` in unit.toml, or a reading of the date of manufacture.",
        value=fact.key,
        **words,
    )


def _held(
    judge: Judge, programme: Programme, point: TestPoint, fact: Fact, least: float, limit: SupplyLimit
) -> Finding:
    alone = " alone" if len(judge.unit.ports) > 1 else ""
    load = " and 10\u202f% load" if fact.key.quantity == "efficiency" else ""
    what = "The efficiency" if load else "The average efficiency"
    sentence = (
        what + " of {port}{alone} at {mains} mains{joint} {voltage}{load} is {value}; "
        "{programme} asks {limit} for {power}, {supply_class}"
    )
    words: dict[str, Any] = {
        "port": point.port.id, "alone": alone, "load": load, "joint": "," if load else " and",
        "mains": (programme.mains, "input_voltage"), "voltage": (point.voltage, "port_voltage"),
        "programme": programme.name, "power": (point.power, "output_power"), "supply_class": point.class_name,
    }  # fmt: skip
    if _in_force(judge, programme) is None:
        return _undated(judge, fact, sentence, limit=(least, fact.key.quantity), **words)
    return judge.at_least(
        fact.key,
        least,
        sentence + ".",
        label=programme.label,
        source=limit.citation,
        next_step="Repeat the sweep with meters of smaller uncertainty, or on their best ranges.",
        **words,
    )


def _lacking(
    judge: Judge, programme: Programme, points: list[TestPoint], quantity: str, at: dict[str, float]
) -> Finding:
    port = points[0].port
    loads = "10\u202f%" if quantity == "efficiency" else "100, 75, 50 and 25\u202f%"
    tests = " and ".join(f"{loads} of {point.current:.4g}\u202fA at {point.voltage:g}\u202fV" for point in points)
    return judge.lacks(
        "{what} of {port} at {mains} was not measured at {voltages}; {programme} has a limit for it.",
        subject=port.subject,
        missing=[point.key(quantity, mains=programme.mains, **at) for point in points],
        next_step=f"At {programme.mains:g}\u202fV {programme.frequency:g}\u202fHz, after 30 min at full load, "
        f"log {port.id} with {tests}.",
        what="The efficiency at 10\u202f% load" if quantity == "efficiency" else "The average efficiency",
        port=port.id,
        mains=(programme.mains, "input_voltage"),
        voltages=" and ".join(f"{point.voltage:g}\u202fV" for point in points),
        programme=programme.name,
    )
