"""Whether the unit draws so much that limits on the harmonics of its input current apply."""

from collections.abc import Iterator

from partingline.findings.judge import Judge
from partingline.findings.pick import at_highest
from partingline.findings.rule import rule
from partingline.model import Finding, Verdict
from partingline.sources import cite
from partingline.sources.tables import table


@rule(
    id="stage.power_factor_correction_needed",
    claim="The input power at full load stays at or below 75 W, where no limits on harmonic currents apply.",
    source=cite("iec-61000-3-2", "75 W threshold", "S2"),
    mains=True,
)
def power_factor_correction_needed(judge: Judge) -> Iterator[Finding]:
    """Above the threshold nothing falls short yet: the harmonics have to be measured."""
    key = at_highest(judge.book, "input_power", "stage:input")
    if judge.book.fact(key) is None and not judge.unit.having("bulk_capacitor"):
        return
    finding = judge.at_most(
        key,
        float(table("parts")["harmonics"]["threshold_w"]),
        "The input power at full load is {value}; limits on harmonic currents apply above {limit}.",
        label="threshold",
        next_step="Copy the output power from the label, and log a load sweep for the input power.",
    )
    boost = judge.unit.having("pfc_inductor") + judge.unit.having("pfc_switch")
    if finding.verdict is Verdict.FALLS_SHORT:
        finding = judge.undecided(
            "The input power at full load is {value}, so that limits on harmonic currents apply; "
            + (
                "{stage} corrects the power factor, and what it leaves was not measured."
                if boost
                else "whether the unit keeps them is not known."
            ),
            subject=key.subject,
            used=[key],
            next_step="Measure the power factor or the harmonics at full load"
            + ("." if boost else "; look for a correction stage."),
            stage=f"a boost stage ({', '.join(part.ref for part in boost)})",
            value=key,
        )
    yield finding
