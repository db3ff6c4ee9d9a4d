"""Whether something discharges the X capacitors when the plug is drawn."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import estimate
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite

NEEDED_FROM = 0.1e-6


@rule(
    id="parts.x_discharge_path_present",
    claim="X capacitors above 0.1 µF have a discharge path.",
    source=cite("iec-60950-1", "2.1.1.7 (withdrawn): above 0.1 µF; a part list can miss it", "P"),
)
def x_discharge_path_present(judge: Judge) -> Iterator[Finding]:
    """Resistors, a controller with that function, or a resistance measured between the pins count."""
    if not judge.unit.having("x_capacitor"):
        return
    amount = Key.of("stage:input", "x_capacitance")
    resistance = Key.of("stage:input", "discharge_resistance")
    capacitance = estimate(judge.book, amount)
    paths = judge.unit.having("x_discharge")
    if paths or judge.book.fact(resistance) is not None:
        names = " and ".join(part.ref for part in paths) or "A resistance between the pins"
        used = [resistance] if judge.book.fact(resistance) else []
        sentence = "{names} can discharge the X capacitors when the plug is drawn."
        yield judge.decided(True, sentence, subject="stage:input", used=used, names=names)
    elif capacitance is None:
        yield judge.lacks(
            judge.rule.claim,
            subject="stage:input",
            missing=[amount],
            next_step="Read the value of the X capacitors, and look for resistors across them.",
        )
    elif capacitance > NEEDED_FROM:
        yield judge.decided(
            False,
            "The X capacitance is {amount} and no part is listed that discharges it when the plug is drawn.",
            subject="stage:input",
            used=[amount],
            next_step="Look for resistors across the X capacitor, or measure between the pins.",
            amount=amount,
        )
