"""How a statement is known, and what it says about the true value."""

from enum import StrEnum


class Route(StrEnum):
    """How a thing is known. The order of the members is the order of preference."""

    MEASURED = "measured"
    CAPTURED = "captured"
    PHOTOGRAPHED = "photographed"
    MARKING = "marking"
    DATASHEET = "datasheet"
    LABEL = "label"
    LISTING = "listing"
    COMPUTED = "computed"
    ASSUMED = "assumed"
    SPOKEN = "spoken"

    @property
    def rank(self) -> int:
        """0 for the most preferred route."""
        return _RANK[self]

    @property
    def is_evidence(self) -> bool:
        """Whether the route observes the unit itself, so that it can support or contradict a claim."""
        return self in _EVIDENCE


_RANK = {route: rank for rank, route in enumerate(Route)}
_EVIDENCE = frozenset({Route.MEASURED, Route.CAPTURED, Route.PHOTOGRAPHED, Route.COMPUTED})


class Sense(StrEnum):
    """What a statement says about the true value."""

    EQUALS = "equals"
    """A reading: the true value, with its uncertainty."""
    NOMINAL = "nominal"
    """A marking: the true value lies in the tolerance class about it."""
    AT_LEAST = "at least"
    """A rating that the unit keeps by reaching or passing it."""
    AT_MOST = "at most"
    """A rating that the unit keeps by staying at or below it."""
    WITHIN = "within"
    """An interval that holds the true value."""
