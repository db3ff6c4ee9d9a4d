"""The reference values, each as a case of its own that names its source, and the program that runs such files."""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.check_values import main, outcomes, read

REFERENCE = Path(__file__).parent / "reference" / "check_values.json"
VALUES = read(REFERENCE)


def named(value: dict[str, Any]) -> str:
    inputs = ",".join(str(one) for one in value["inputs"].values())
    return f"{value['name']}({inputs[:40]}) {value['source'][:60]}"


@pytest.mark.parametrize("value", VALUES, ids=named)
def test_reference_value(value: dict[str, Any]) -> None:
    (outcome,) = outcomes([value])
    assert outcome.kind == "passed", str(outcome)


def test_every_value_says_where_it_comes_from() -> None:
    assert all(value["source"] and value["evidence"] in {"S", "S2", "M", "C"} for value in VALUES)


def test_the_program_counts_and_succeeds() -> None:
    program = Path(__file__).parent / "check_values.py"
    run = subprocess.run([sys.executable, program, REFERENCE], capture_output=True, text=True, check=False, timeout=60)
    assert run.returncode == 0
    assert run.stdout.splitlines()[-1] == f"{len(VALUES)} passed, 0 failed, 0 skipped"


def test_a_value_that_misses_and_a_name_without_calculation_are_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    values = [
        {"name": "capacitor_energy_j", "inputs": {"c_f": 2e-6, "v": 1000}, "expected": 1.1, "tolerance": 0.05,
         "source": "planted"},
        {"name": "capacitor_energy_j", "inputs": {"c_f": 2e-6}, "expected": 1.0, "tolerance": 0, "source": "planted"},
        {"name": "eia198_class2_code", "inputs": {"code": "X7R"}, "expected": [-55, 125], "tolerance": 0},
        {"name": "phase_of_the_moon", "inputs": {}, "expected": 0, "tolerance": 0, "source": "planted"},
    ]  # fmt: skip
    file = tmp_path / "values.json"
    file.write_text(json.dumps({"values": values}), encoding="utf-8")
    assert main([str(file)]) == 1
    lines = capsys.readouterr().out.splitlines()
    assert "expected 1.1, got 1.0, tolerance 0.05 [planted]" in lines[0]
    assert "KeyError" in lines[1]
    assert lines[2].startswith("failed eia198_class2_code")
    assert lines[3].startswith("skipped phase_of_the_moon")
    assert lines[4] == "0 passed, 3 failed, 1 skipped"


@pytest.mark.parametrize("content", ["", "[1, 2]", '{"values": 3}', '{"values"'])
def test_a_file_that_is_none_is_told(content: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "values.json"
    file.write_text(content, encoding="utf-8")
    assert main([str(file)]) == 2
    assert "cannot be read" in capsys.readouterr().out
