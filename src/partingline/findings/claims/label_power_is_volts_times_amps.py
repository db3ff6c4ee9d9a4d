"""The watts on the label are those of its own volts and amperes."""

from collections.abc import Iterator

from partingline.findings.claimed import claimed
from partingline.findings.judge import Judge
from partingline.findings.offered import PRECISION, STEP, written
from partingline.findings.rule import rule
from partingline.model import Finding, Key, Number, Route
from partingline.sources import cite


@rule(
    id="claims.label_power_is_volts_times_amps",
    claim="The power that the label gives a port is that of its strongest voltage and current.",
    source=cite("algebra", "P = V·I, within half a watt and half a step of the current", "C"),
)
def label_power_is_volts_times_amps(judge: Judge) -> Iterator[Finding]:
    for fact, told in claimed(judge, Route.LABEL, "output_power"):
        alone = judge.unit.ports[0].subject if len(judge.unit.ports) == 1 else ""
        port = alone if fact.key.subject == "unit" else fact.key.subject
        if fact.key.at or not port.startswith("port:") or not isinstance(told.value, Number):
            continue
        supplies = _supplies(judge, port)
        if not supplies:
            continue
        voltage, current = max(supplies.items(), key=lambda supply: supply[0] * supply[1])
        off = abs(voltage * current - told.value.value)
        yield judge.decided(
            off <= PRECISION + voltage * STEP / 2,
            "The label gives {port} {power}; its strongest supply there, {supply}, makes {product}.",
            subject=fact.key.subject,
            used=[fact.key, Key.of(port, "available_current", offer=voltage)],
            port=port.partition(":")[2],
            power=(told.value.value, "output_power"),
            supply=written(voltage, current),
            product=(voltage * current, "output_power"),
        )


def _supplies(judge: Judge, port: str) -> dict[float, float]:
    """Amperes by volts as the label gives them for a port."""
    return {
        fact.key.number("offer"): told.value.value
        for fact, told in claimed(judge, Route.LABEL, "available_current")
        if fact.key.subject == port and isinstance(told.value, Number) and set(dict(fact.key.at)) == {"offer"}
    }
