"""Facts that a reader would expect and nobody said."""

from partingline.facts.spoken.types import Spoken
from partingline.model import Fact, Key, Standing

_ASKED = (
    "output_power", "mass", "power_density", "no_load_power", "average_efficiency", "ripple_voltage", "creepage",
    "clearance", "surface_temperature", "available_current", "peak_efficiency", "rated_input_voltage",
)  # fmt: skip
"""What the trade asks for first. Common practice, no source."""


def never_said(facts: tuple[Fact, ...], spoken: tuple[Spoken, ...]) -> tuple[Fact, ...]:
    """Of each quantity that the trade asks for, the facts of subjects of which it was never said; what routes
    contradict comes first."""
    said = {(one.fact.key.subject, one.fact.key.quantity) for one in spoken if one.fact is not None}
    first: dict[tuple[str, str], Fact] = {}
    for fact in facts:
        place = (fact.key.subject, fact.key.quantity)
        if fact.key.quantity in _ASKED and place not in said and _plain(fact.key):
            kept = first.get(place)
            if kept is None or (fact.standing is Standing.CONTRADICTED and kept.standing is not Standing.CONTRADICTED):
                first[place] = fact
    return tuple(sorted(first.values(), key=lambda fact: (fact.standing is not Standing.CONTRADICTED, fact.key.id)))


def _plain(key: Key) -> bool:
    return not key.subject.startswith(("part:", "face:", "capture:", "stage:"))
