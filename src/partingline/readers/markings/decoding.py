"""Every reading of a marking, over all schemes, the most plausible one first."""

from collections.abc import Sequence
from datetime import date

from partingline.readers.markings.types import EVIDENCE, WEAKEST_LAST, Found, Reading, Scheme
from partingline.readers.markings.wording import one_line


def decode(text: str, kind: str | None, not_after: date | None, schemes: Sequence[Scheme]) -> tuple[Reading, ...]:
    """All readings of `text`, those of the asked kind first, then by plausibility."""
    marking = " ".join(text.split())
    readings = [
        _reading(text, found, scheme, kind)
        for scheme in schemes
        for found in (scheme.read(marking) if marking else ())
        if not _is_later(found, not_after)
    ]
    return tuple(sorted(readings, key=lambda one: (_rank(one, kind), -one.plausibility)))


def _rank(reading: Reading, kind: str | None) -> int:
    """A date code can stand on any part: it comes behind the asked kind and before the other kinds."""
    if kind is None or kind in (reading.kind, reading.variety):
        return 0
    return 1 if reading.fits else 2


def _is_later(found: Found, not_after: date | None) -> bool:
    return not_after is not None and any(said.day is not None and said.day > not_after for said in found.said)


def _reading(text: str, found: Found, scheme: Scheme, kind: str | None) -> Reading:
    fits = kind is None or kind in (found.kind, found.variety) or found.kind == "date code"
    marks = [scheme.evidence, *(said.evidence for said in found.said if said.evidence)]
    weakest = max(marks, key=WEAKEST_LAST.index)
    return Reading(
        text=text,
        kind=found.kind,
        variety=found.variety,
        says=one_line(found),
        said=found.said,
        scheme=scheme.id,
        source=scheme.source,
        evidence=EVIDENCE[weakest],
        plausibility=found.plausibility,
        fits=fits,
        unread=found.unread,
        notes=found.notes,
    )


def tried(text: str, schemes: Sequence[Scheme]) -> str:
    """One sentence for a marking that no scheme reads."""
    titles = "; ".join(scheme.title for scheme in schemes)
    return f"{text!r} fits none of {len(schemes)} marking schemes. Tried: {titles}."
