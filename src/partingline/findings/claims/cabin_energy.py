"""Whether a power bank may be carried in the cabin of an aircraft without asking."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite

LIMIT = 100.0 * 3600.0
"""J"""


@rule(
    id="claims.cabin_energy",
    claim="The rated energy of a power bank is at most 100 Wh, the limit of spare lithium cells in the cabin.",
    source=cite("tsa-lithium", "spare batteries and power banks", "S"),
)
def cabin_energy(judge: Judge) -> Iterator[Finding]:
    """One finding for a power bank."""
    if judge.unit.kind.casefold() == "power bank":
        yield judge.at_most(
            Key.of("unit", "rated_energy"),
            LIMIT,
            "The rated energy is {value}; {limit} is the limit of a spare lithium battery in the cabin of an aircraft.",
            label="cabin",
            next_step="Read the watt-hours, or the capacity of the cells, on the label.",
        )
