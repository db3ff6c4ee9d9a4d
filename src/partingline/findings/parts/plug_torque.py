"""Whether a unit that hangs on its plug pulls at the socket no more than plug-in equipment may."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite

MOST = 0.25
"""N m."""


@rule(
    id="parts.plug_torque",
    claim="The torque of the unit's weight on the socket is at most 0.25 N m.",
    source=cite("iec-62368-1-2018", "4.7: 0.25 N m about an axis 8 mm behind the face of the socket", "M"),
)
def plug_torque(judge: Judge) -> Iterator[Finding]:
    """Speaks of wall chargers whose mass and length are known."""
    key = Key.of("unit", "plug_torque")
    if judge.unit.kind == "wall charger" and judge.book.fact(key) is not None:
        yield judge.at_most(
            key,
            MOST,
            "The unit's weight pulls at the socket with {value}; plug-in equipment may pull with {limit}.",
            label="limit for plug-in equipment",
            next_step="Find the centre of mass: balance the unit on an edge, and measure from the plug's face.",
        )
