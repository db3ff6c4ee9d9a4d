"""The commands as a person and a script use them. Own definition: `cli/app.py` (exit codes), docs/schema (records)."""

import json
import subprocess
import sys
from functools import cache
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from typer.testing import CliRunner, Result

from partingline.calc import CALCULATIONS
from partingline.cli.app import app
from partingline.publish.records import SCHEMAS

from ..demo_unit import TERN, tree_hash

SCHEMA = Path(__file__).resolve().parents[2] / "docs" / "schema"


def run(*words: str) -> Result:
    return CliRunner().invoke(app, list(words))


@cache
def checked() -> tuple[int, dict[str, Any]]:
    done = run("check", str(TERN), "--json")
    return done.exit_code, valid(done.stdout)


def valid(text: str) -> dict[str, Any]:
    """A record that holds to the schema committed in docs/schema."""
    record = json.loads(text, parse_constant=lambda word: pytest.fail(f"{word} is no JSON (RFC 8259, 6)"))
    assert isinstance(record, dict)
    name = record["schema"].removeprefix("partingline/")
    schema = json.loads((SCHEMA / f"{name}.json").read_text("utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(record, schema, cls=jsonschema.Draft202012Validator)
    return record


@pytest.mark.parametrize("name", SCHEMAS)
def test_the_committed_schema_is_the_generated_one(name: str) -> None:
    done = run("schema", name)
    assert done.exit_code == 0
    assert json.loads(done.stdout) == json.loads((SCHEMA / f"{name}.json").read_text("utf-8"))


def test_every_committed_schema_belongs_to_a_record() -> None:
    assert {path.stem for path in SCHEMA.glob("*.json")} == set(SCHEMAS)
    done = run("schema", "chek")
    assert done.exit_code == 2
    assert "expected one of" in done.stderr


def test_init_writes_a_skeleton_and_touches_nothing(tmp_path: Path) -> None:
    folder = tmp_path / "new unit"
    done = run("init", str(folder))
    assert done.exit_code == 0
    assert {p.name for p in folder.iterdir()} == {"unit.toml", "parts.csv", "photos", "captures", "logs", "words"}
    assert "CAUTION" in (folder / "unit.toml").read_text("utf-8")
    (folder / "unit.toml").write_text("# mine\n")
    (folder / "parts.csv").unlink()
    before = tree_hash(folder)
    again = run("init", str(folder))
    assert again.exit_code == 0
    assert "parts.csv" in "".join(again.stdout.split())
    assert {k: v for k, v in tree_hash(folder).items() if k != "parts.csv"} == before
    assert "nothing was touched" in " ".join(run("init", str(folder)).stdout.split())


def test_a_skeleton_as_written_is_a_unit_without_claims(tmp_path: Path) -> None:
    run("init", str(tmp_path))
    done = run("check", str(tmp_path), "--json")
    record = valid(done.stdout)
    assert done.exit_code == 0
    assert record["counts"]["falls short"] == 0
    assert [problem for problem in record["problems"] if problem["loses"]] == []


def test_init_where_a_file_stands(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    done = run("init", str(tmp_path / "file"))
    assert done.exit_code == 2
    assert "is a file" in done.stderr
    (tmp_path / "photos").write_text("x")
    blocked = run("init", str(tmp_path))
    assert blocked.exit_code == 2
    assert "expected a place" in " ".join(blocked.stderr.split())


def test_check_as_text() -> None:
    before = tree_hash(TERN)
    done = run("check", str(TERN))
    assert tree_hash(TERN) == before
    assert done.exit_code == 1
    text = " ".join(done.stdout.split())
    assert "An invented example" in text
    for words in ("▼ falls short", "◐ undecided", "● meets", "What to measure next", "15 V at 2.4 A is offered"):
        assert words in text
    every = run("check", str(TERN), "--all")
    assert len(every.stdout) > 2 * len(done.stdout)


def test_check_as_json() -> None:
    code, record = checked()
    assert code == 1
    assert record["invented"] is True
    assert sum(record["counts"].values()) == len(record["findings"])
    ids = {fact["id"] for fact in record["facts"]}
    for finding in record["findings"]:
        assert set(finding["used"]) <= ids, finding["rule"]
        assert finding["fact"] is None or finding["fact"] in ids or finding["verdict"] == "not enough data"
    for fact in record["facts"]:
        for statement in fact["statements"]:
            assert sum(statement[kind] is not None for kind in ("value", "text", "interval")) == 1
            assert set(statement["inputs"]) <= ids


def test_a_stricter_risk_decides_less() -> None:
    """JCGM 106:2012, 8.3: the smaller the accepted risk, the wider the guard band."""
    counts = [valid(run("check", str(TERN), "--json", "--risk", risk).stdout)["counts"] for risk in ("0.4", "0.0001")]
    assert counts[0]["undecided"] < counts[1]["undecided"]


def test_check_without_a_folder(tmp_path: Path) -> None:
    done = run("check", str(tmp_path / "none"))
    assert done.exit_code == 2
    assert "no such folder" in " ".join(done.stderr.split())
    (tmp_path / "file").write_text("x")
    assert "is a file" in " ".join(run("check", str(tmp_path / "file")).stderr.split())


def test_check_of_a_broken_unit_still_delivers(tmp_path: Path) -> None:
    (tmp_path / "unit.toml").write_text(
        '[unit]\nmakr = "x"\n[[port]]\nid = "C1"\noffers = ["5V 3A"]\n', encoding="utf-8"
    )
    record = valid(run("check", str(tmp_path), "--json").stdout)
    assert any("Did you mean 'maker'?" in p["next_step"] and "line 2" in p["place"] for p in record["problems"])
    assert any(fact["id"] == "port:C1/available_current@offer=5" for fact in record["facts"])
    text = " ".join(run("check", str(tmp_path)).stdout.split())
    assert "Did you mean 'maker'?" in text


@pytest.mark.parametrize("name", ["chek", "reprot"])
def test_an_unknown_command(name: str) -> None:
    assert run(name).exit_code == 2


def test_marking_as_text_and_json() -> None:
    """EIA-198: 104K is 100 nF ± 10 %."""
    text = run("marking", "104K", "--kind", "capacitor")
    assert text.exit_code == 0
    assert "100" in text.stdout
    record = valid(run("marking", "104K", "--kind", "capacitor", "--json").stdout)
    first = record["readings"][0]
    said = {one["quantity"]: one for one in first["said"]}
    assert said["capacitance"]["value"] == pytest.approx(100e-9)
    assert first["source"]


def test_marking_that_nobody_reads() -> None:
    done = run("marking", "?!?", "--json")
    assert done.exit_code == 1
    assert valid(done.stdout)["readings"] == []
    assert run("marking", "?!?").exit_code == 1


def test_calc_lists_all() -> None:
    done = run("calc")
    assert done.exit_code == 0
    assert f"{len(CALCULATIONS)} calculations" in done.stdout
    record = valid(run("calc", "--json").stdout)
    assert {one["id"] for one in record["calculations"]} == set(CALCULATIONS)
    assert all(one["source"]["text"] for one in record["calculations"])


def test_calc_shows_one_with_its_source() -> None:
    done = run("calc", "stored_energy")
    assert done.exit_code == 0
    assert "capacitors.stored_energy" in done.stdout
    assert "Source:" in done.stdout


def test_calc_runs_with_quantities_as_people_write_them() -> None:
    """½·C·U²: 100 µF at 325 V is 5.28 J (algebra)."""
    for inputs in (("capacitance=100 µF", "voltage=325 V"), ("capacitance=100e-6", "voltage=0,325 kV")):
        record = valid(run("calc", "stored_energy", *inputs, "--json").stdout)
        assert record["calculations"][0]["result"] == pytest.approx(0.5 * 100e-6 * 325**2)
    assert "5.28" in run("calc", "stored_energy", "capacitance=100 µF", "voltage=325 V").stdout


@pytest.mark.parametrize("id_", sorted(CALCULATIONS))
def test_every_example_can_be_typed(id_: str) -> None:
    """Each declared example gives at the prompt what calling the function gives; its own source stands beside it."""
    example = CALCULATIONS[id_].example
    if example is None:
        assert CALCULATIONS[id_].no_outside
        return
    typed = [f"{name}={_typed(value)}" for name, value in example.inputs.items() if value is not None]
    done = run("calc", id_, *typed, "--json")
    assert done.exit_code == 0, done.stderr
    result = valid(done.stdout)["calculations"][0]["result"]
    pairs = zip(_flat(result), _flat(example.result), strict=False)
    if isinstance(example.result, dict):
        pairs = zip((result[name] for name in example.result), example.result.values(), strict=True)
    for found, expected in pairs:
        assert found == (
            expected if isinstance(expected, str) else pytest.approx(expected, rel=max(example.tolerance, 1e-9))
        )


def _typed(value: Any) -> str:
    if isinstance(value, str | bool):
        return {True: "yes", False: "no"}.get(value, str(value)) if isinstance(value, bool) else value
    return json.dumps(value)


def _flat(value: Any) -> list[Any]:
    if isinstance(value, dict):
        return [piece for inner in value.values() for piece in _flat(inner)]
    return [piece for inner in value for piece in _flat(inner)] if isinstance(value, list | tuple) else [value]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("stord_energy",), "did you mean: stored_energy"),
        (("stored_energy", "capacitanc=1 µF"), "did you mean 'capacitance'?"),
        (("stored_energy", "capacitance"), "expected NAME=QUANTITY"),
        (("stored_energy", "capacitance=1 µF"), "needs voltage in V as well"),
        (("stored_energy", "capacitance=1 V", "voltage=1 V"), "capacitance"),
        (("stored_energy", "capacitance=", "voltage=1 V"), "nothing after the equals sign"),
        (("stored_energy", "capacitance=1 µF", "capacitance=2 µF", "voltage=1"), "given twice"),
        (("stored_energy", "capacitance=nan", "voltage=1 V"), "expected a number"),
        (("rated_impulse_voltage", "mains_voltage=230 V", "overvoltage_category=V"), "overvoltage category 'V'"),
        (("harmonic_limit_class_a", "harmonic=2.5"), "expected a whole number"),
        (("average_efficiency", "efficiencies=[1, x]"), "expected numbers such as"),
        (("energy", "capacitance=1"), "is not one calculation"),
    ],
    ids=lambda value: value if isinstance(value, str) else " ".join(value),
)
def test_calc_says_what_it_does_not_understand(words: tuple[str, ...], told: str) -> None:
    done = run("calc", *words)
    assert done.exit_code == 2
    assert told in " ".join(done.stderr.split())
    assert "Traceback" not in done.stderr


def test_a_terminal_that_knows_no_signs_gets_them_spelt_out() -> None:
    """PYTHONIOENCODING=ascii, as in a bare container; JSON stays UTF-8 (RFC 8259, 8.1)."""
    env = {"PYTHONIOENCODING": "ascii", "PATH": "", "HOME": "/nowhere", "COLUMNS": "100"}
    command = [sys.executable, "-m", "partingline", "check", str(TERN)]
    text = subprocess.run(command, env=env, capture_output=True, check=False)
    assert text.returncode == 1
    assert b"falls short" in text.stdout
    assert text.stderr == b""
    record = subprocess.run([*command, "--json"], env=env, capture_output=True, check=False)
    assert json.loads(record.stdout.decode("utf-8"))["unit"] == "Fennmark Tern 65"
