"""Whether parts stay below their rated temperature in the test that was run."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import estimate, known_of
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite

ALWAYS_RATED = ("bulk_capacitor", "output_capacitor")


@rule(
    id="thermal.part_temperature_below_rating",
    claim="No part exceeds its rated temperature.",
    source=cite("maker-rating", "rated temperature of the part", "S"),
)
def part_temperature_below_rating(judge: Judge) -> Iterator[Finding]:
    """One finding for each part with a reading and a rating; of capacitors a missing rating is said."""
    for part in judge.unit.parts:
        keys = [key for key in judge.book.keys("part_temperature", part.subject) if key.subject == part.subject]
        read = {key: value for key in keys if (value := estimate(judge.book, key)) is not None}
        rated = known_of(judge.book, part.subject, "rated_temperature", "max_junction_temperature")
        if not read or (judge.book.fact(rated) is None and part.role not in ALWAYS_RATED):
            continue
        yield judge.at_most(
            max(read, key=lambda key: read[key]),
            Key.of(part.subject, rated.quantity),
            "{ref} reached {value} in the test; it is rated {limit}.",
            label="rated temperature",
            next_step="Read the temperature rating on the part.",
            ref=part.ref,
        )
