"""Where the model does not hold there is no number, and facts, findings and report say why.

Source of the limit: Erickson and Maksimovic, Fundamentals of Power Electronics, 3rd edition, chapter 18: peak-current
control above a duty of one half is unstable without slope compensation.
"""

import shutil
from pathlib import Path

import numpy as np
import pytest

from partingline.calc.flyback import continuous_cycle, discontinuous_cycle
from partingline.facts.derivation import NoNumberError
from partingline.facts.derivations.clocked import clocked_cycle
from partingline.facts.draws import Draws
from partingline.facts.opened import Opened, open_unit
from partingline.findings import Case, rules, run
from partingline.model import Finding, Key, Verdict

TERN = Path(__file__).parents[2] / "demo" / "tern-65"
PEAK = Key.of("stage:primary", "peak_current", mains=90.0, offer=20.0)
LOSS = Key.of("port:C1", "computed_loss", mains=115.0, offer=20.0, load=1.0)
FIXED = """
[[reading]]
subject = "stage:primary"
quantity = "mode"
value = "fixed frequency"
"""
SLOPE = """
[[reading]]
subject = "stage:primary"
quantity = "slope_compensation"
value = "yes"
"""


def told(folder: Path, more: str) -> Opened:
    root = folder / "tern-65"
    shutil.copytree(TERN, root)
    path = root / "unit.toml"
    path.write_text(path.read_text("utf-8") + more, "utf-8")
    return open_unit(root, Draws(20))


def held(opened: Opened) -> list[Finding]:
    chosen = [rule for rule in rules() if rule.id == "stage.model_holds"]
    return list(run(Case(unit=opened.unit, book=opened.book), chosen))


def test_a_subharmonic_clock_gives_no_number_and_says_so(tmp_path: Path) -> None:
    opened = told(tmp_path, FIXED)
    book = opened.book
    assert book.fact(PEAK) is None
    assert "slope compensation" in book.no_number[PEAK]
    findings = held(opened)
    assert {finding.verdict for finding in findings} == {Verdict.UNDECIDED}
    assert any("90" in finding.text and "slope compensation" in finding.text for finding in findings)
    assert not [problem for problem in opened.problems if "could not be computed" in str(problem)]


def test_with_slope_compensation_the_same_clock_has_numbers(tmp_path: Path) -> None:
    opened = told(tmp_path, FIXED + SLOPE)
    peak = opened.book.fact(PEAK)
    assert peak is not None
    assert opened.book.fact(LOSS) is not None
    assert "clock" in peak.preferred.note
    assert [finding.verdict for finding in held(opened)] == [Verdict.MEETS]


def test_the_clocked_cycle_is_one_of_the_two_published_ones() -> None:
    at = {"output_voltage": 20.0, "turns_ratio": np.full(2, 5.3), "magnetising_inductance": np.full(2, 262e-6),
          "rectifier_drop": np.zeros(2), "frequency": 130e3}  # fmt: skip
    for bulk, current, compute in ((320.0, 0.5, discontinuous_cycle), (150.0, 3.25, continuous_cycle)):
        volts = np.full(2, bulk)
        got = clocked_cycle(bulk_voltage=volts, output_current=current, slope_compensated=False, **at)
        wanted = compute(bulk_voltage=volts, output_current=current, **at)
        assert np.asarray(got.peak_current) == pytest.approx(np.asarray(wanted.peak_current))
    with pytest.raises(NoNumberError, match="slope compensation"):
        clocked_cycle(bulk_voltage=np.full(2, 80.0), output_current=3.25, slope_compensated=False, **at)


def test_no_flyback_no_flyback_numbers(tmp_path: Path) -> None:
    opened = told(tmp_path, FIXED.replace("mode", "circuit").replace("fixed frequency", "resonant half bridge"))
    assert opened.book.fact(PEAK) is None
    assert opened.book.fact(LOSS) is None
