"""Whether the bulk capacitor carries full load over one missing half cycle of the mains."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import said_at
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite

HALF_CYCLE = 0.010
NOMINAL_FROM = 100.0


@rule(
    id="stage.hold_up",
    claim="At full load and nominal mains voltage the output holds over 10 ms without mains.",
    source=cite("common-practice", "one missing half cycle at 50 Hz", "P"),
    mains=True,
)
def hold_up(judge: Judge) -> Iterator[Finding]:
    """One finding, at the lowest nominal mains (100 V or above), from the valley: the worst instant."""
    if not judge.unit.having("bulk_capacitor"):
        return
    keys = [key for key in judge.book.keys("hold_up_time", "stage:input") if _mains(key) >= NOMINAL_FROM]
    known = [key for key in keys if judge.book.fact(key) is not None]
    key = min(known or keys, key=_mains, default=Key.of("stage:input", "hold_up_time"))
    yield judge.at_least(
        key,
        HALF_CYCLE,
        "At full load and {mains} mains the output holds {value} after the mains fails at the worst instant; "
        "one missing half cycle takes {limit}.",
        label="half a cycle",
        next_step="Read or measure the bulk capacitors, and log a load sweep for the input power.",
        mains=said_at(key),
    )


def _mains(key: Key) -> float:
    value = key.condition("mains")
    return value if isinstance(value, float) else 0.0
