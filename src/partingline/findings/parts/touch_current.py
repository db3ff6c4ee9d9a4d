"""Whether the current through the Y capacitors into an earthed person stays within the limit."""

import re
from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import worded
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite

TWO_PIN, EARTHED = 0.25e-3, 3.5e-3


@rule(
    id="parts.touch_current",
    claim="The touch current of the output is at most 0.25 mA, or 3.5 mA on earthed equipment.",
    source=cite("iec-60950-1", "5.1 (withdrawn; IEC 62368-1 allows 0.5 mA RMS)", "S2"),
    mains=True,
)
def touch_current(judge: Judge) -> Iterator[Finding]:
    """Speaks where there is a Y capacitor or a measured current. Two pins unless class I is marked."""
    key = Key.of("unit", "touch_current")
    if not judge.unit.having("y_capacitor") and judge.book.fact(key) is None:
        return
    marking = judge.fact("unit", "insulation_class")
    earthed = bool(marking and re.fullmatch(r"\s*(class\s+)?(I|1)\s*", worded(marking), re.IGNORECASE))
    yield judge.at_most(
        key,
        EARTHED if earthed else TWO_PIN,
        "The touch current at the highest mains voltage is {value}; the limit is {limit} for {kind}.",
        label="touch current",
        next_step="Read the value of the Y capacitors, or measure the current with the network of IEC 60990.",
        kind="earthed equipment" if earthed else "equipment without earth",
    )
