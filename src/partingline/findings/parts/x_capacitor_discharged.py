"""Whether the pins of the plug are safe to touch two seconds after unplugging."""

from collections.abc import Iterator

from partingline.calc.safety import charged_capacitor_limits
from partingline.findings.judge import Judge
from partingline.findings.pick import estimate
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite


@rule(
    id="parts.x_capacitor_discharged",
    claim="Two seconds after unplugging, the voltage at the pins is within ES1 for the X capacitance.",
    source=cite("iec-62368-1-2018", "5.5.2.2 with Table 5", "M"),
)
def x_capacitor_discharged(judge: Judge) -> Iterator[Finding]:
    """Speaks where there is an X capacitor, or where a voltage at the pins was measured."""
    left = Key.of("stage:input", "x_residual_voltage")
    amount = Key.of("stage:input", "x_capacitance")
    capacitance = estimate(judge.book, amount)
    if not judge.unit.having("x_capacitor") and judge.book.fact(left) is None:
        return
    if capacitance is None or judge.book.fact(left) is None:
        yield judge.lacks(
            judge.rule.claim,
            subject="stage:input",
            missing=[key for key in (amount, left) if judge.book.fact(key) is None],
            next_step="Read the X capacitors and the discharge resistors from the mains pins to the bridge.",
        )
        return
    yield judge.at_most(
        left,
        float(charged_capacitor_limits(capacitance=max(capacitance, 1.6e-9)).es1),
        "Two seconds after unplugging at the crest, {value} are left at the pins; "
        "the ES1 limit at {amount} is {limit}.",
        label="ES1",
        next_step="Measure the resistance between the pins, and the X capacitors out of circuit.",
        amount=amount,
    )
