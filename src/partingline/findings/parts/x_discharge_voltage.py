"""Whether the discharge resistors in series stand the crest of the highest mains voltage."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import at_highest, estimate, said_at
from partingline.findings.rule import rule
from partingline.model import Finding, Key
from partingline.sources import cite


@rule(
    id="parts.x_discharge_voltage",
    claim="The rated voltages of the discharge resistors add up to the crest of the highest mains voltage.",
    source=cite("maker-rating", "highest working voltage of the resistors", "S"),
)
def x_discharge_voltage(judge: Judge) -> Iterator[Finding]:
    """One finding for the string of resistors, taken in series; silent where a rating is unknown, as of most chips."""
    resistors = [part for part in judge.unit.having("x_discharge") if part.kind == "resistor"]
    known = [
        volts * part.count
        for part in resistors
        if (volts := estimate(judge.book, Key.of(part.subject, "rated_voltage"))) is not None
    ]
    crest = at_highest(judge.book, "peak_bulk_voltage", "stage:input")
    if known and len(known) == len(resistors):
        yield judge.at_most(
            crest,
            sum(known),
            "The crest of {mains} mains is {value}; {refs} {are} rated {limit}.",
            label="rated voltage of the string",
            refs=" and ".join(part.ref for part in resistors),
            are="in series are" if len(resistors) > 1 or resistors[0].count > 1 else "is",
            mains=said_at(crest),
        )
