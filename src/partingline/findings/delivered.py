"""Whether a claimed power is kept, for one port or several together."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from partingline.findings.claimed import claimed, said, witness
from partingline.findings.judge import Judge
from partingline.findings.offered import PRECISION
from partingline.model import Fact, Finding, Key, Number, Route

LOW_VOLTAGE = 0.95
"""A contract's voltage may lie 5 % low, and the power with it (vSrcNew)."""


@dataclass(frozen=True, slots=True)
class Nominal:
    """Power in W from the volts and amperes that ports name; `seen` where all of it was seen on the wire."""

    power: float
    seen: bool


def claimed_powers(judge: Judge, route: Route) -> Iterator[tuple[Fact, float]]:
    """What a route says that ports give in W, alone or beside others; of the unit only where no port has the same."""
    said_of_ports: set[float] = set()
    for fact, told in claimed(judge, route, "output_power"):
        plain = fact.key.subject != "unit" and set(dict(fact.key.at)) <= {"with"}
        if plain and isinstance(told.value, Number):
            said_of_ports.add(told.value.value)
            yield fact, told.value.value
    whole = judge.fact("unit", "output_power")
    power = said(whole, route)
    if whole is not None and power is not None and power not in said_of_ports:
        yield whole, power


def power_kept(judge: Judge, claim_on: Fact, claim: float, teller: str) -> Finding | None:
    """Judge a claimed power in W against what is offered and measured; None where nothing was seen of it."""
    if judge.unit.kind.casefold() == "cable":
        return _marked(judge, claim_on, claim, teller)
    fact = _strongest(judge) if claim_on.key.subject == "unit" else claim_on
    if fact is None:
        return None
    nominal = nominal_power(judge, fact.key)
    head = "{teller} gives {claim} for {what}; "
    words: dict[str, Any] = {"teller": teller, "claim": (claim, "output_power"), "what": _ports(claim_on.key)}
    measured = fact.preferred.route is Route.MEASURED and isinstance(fact.preferred.value, Number)
    alone = fact.key.subject.startswith("port:") and "with" not in dict(fact.key.at)
    if nominal is not None and nominal.seen and (alone or not measured):
        return _offered(judge, claim_on, fact, nominal.power, claim, head, words)
    if not measured:
        return None
    if alone and fact.value < claim:
        return judge.undecided(
            head + "{value} is the most that was drawn so far.",
            subject=claim_on.key.subject,
            used=[fact.key],
            next_step=f"Load {_ports(fact.key)} until it switches off, at its highest voltage.",
            **{**words, "value": fact.key},
        )
    together = fact.key.subject.startswith("ports:")
    if together and nominal is None and LOW_VOLTAGE * claim <= fact.value < claim:
        return judge.undecided(
            head + "{value} was measured, and what each port offers in company is not known.",
            subject=claim_on.key.subject,
            used=[fact.key],
            next_step=f"Read the offers of {_ports(fact.key)} while all are in use.",
            **{**words, "value": fact.key},
        )
    if together and nominal is not None and nominal.power < claim - PRECISION:
        return judge.at_least(fact.key, claim, head + "{value} was measured.", label=teller, **words)
    return judge.at_least(
        fact.key,
        LOW_VOLTAGE * claim,
        head + "{value} was measured. With contracts up to 5 % low in voltage, {limit} keeps the claim.",
        label="claim less 5 %",
        **words,
    )


def _marked(judge: Judge, claim_on: Fact, claim: float, teller: str) -> Finding | None:
    """A cable carries what its plug answers; a source goes by nothing else."""
    marked = said(judge.book.fact(Key.of("unit", "output_power")), Route.CAPTURED)
    if marked is None:
        return None
    return judge.decided(
        marked >= claim - PRECISION,
        "{teller} gives {claim} for the cable; its mark allows {marked}.",
        subject="unit",
        used=[claim_on.key, Key.of("unit", "output_power"), Key.of("unit", "cable_current")],
        teller=teller,
        claim=(claim, "output_power"),
        marked=(marked, "output_power"),
    )


def _offered(
    judge: Judge, claim_on: Fact, fact: Fact, offered: float, claim: float, head: str, words: dict[str, Any]
) -> Finding:
    """What the wire names decides; what was drawn only shows that more was possible."""
    drawn = fact.preferred.route is Route.MEASURED and isinstance(fact.preferred.value, Number)
    return judge.decided(
        offered >= claim - PRECISION or (drawn and fact.value >= claim),
        head + "{offered} is offered" + (" and {value} was drawn." if drawn else "."),
        subject=claim_on.key.subject,
        used=[fact.key],
        offered=(offered, "output_power"),
        **{**words, "value": fact.key},
    )


def _strongest(judge: Judge) -> Fact | None:
    """The port, or the ports together, of which most power was seen."""
    facts = [fact for fact in judge.book.find("output_power", "port") if not fact.key.at]
    seen = [(one.value.value, fact) for fact in facts if (one := witness(fact)) and isinstance(one.value, Number)]
    return max(seen, key=lambda pair: pair[0])[1] if seen else None


def nominal_power(judge: Judge, key: Key) -> Nominal | None:
    """What the ports of a key name together: each from the wire, else from the label."""
    names = key.subject.partition(":")[2].split("+")
    given = dict(key.at)
    total, seen = 0.0, True
    for name in names:
        others = "+".join(other for other in names if other != name)
        at = {"with": others} if others else {n: v for n, v in given.items() if n == "with"}
        fact = judge.fact(f"port:{name}", "output_power", **at)
        offered = said(fact, Route.CAPTURED)
        told = offered if offered is not None else said(fact, Route.LABEL)
        if told is None or (offered is None and len(names) == 1):
            return None
        total, seen = total + told, seen and offered is not None
    return Nominal(total, seen)


def _ports(key: Key) -> str:
    kind, _, name = key.subject.partition(":")
    beside = dict(key.at).get("with")
    ports = " and ".join(sorted(name.split("+"), key=lambda port: (not port.startswith("C"), port)))
    if kind == "ports":
        return f"{ports} together"
    return (ports or "the unit") + (f" with {beside} in use" if beside else "")
