"""`partingline log` as people and scripts meet it. The record is held against its committed schema (docs/schema)."""

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from typer.testing import CliRunner

from partingline.cli.app import app

ROOT = Path(__file__).parents[2]
LOGS = ROOT / "demo" / "tern-65" / "logs"


def run(*words: str) -> tuple[int, str, str]:
    done = CliRunner(env={"COLUMNS": "200"}).invoke(app, ["log", *words])
    return done.exit_code, done.stdout, done.stderr


def record(*words: str) -> dict[str, Any]:
    code, out, _ = run(*words, "--json")
    assert code == 0
    made = json.loads(out)
    schema = json.loads((ROOT / "docs" / "schema" / "log.json").read_text("utf-8"))
    jsonschema.validate(made, schema, cls=jsonschema.Draft202012Validator)
    assert isinstance(made, dict)
    return made


@pytest.mark.parametrize("path", sorted(LOGS.glob("*.csv")), ids=lambda path: path.stem)
def test_every_log_of_the_demonstration(path: Path) -> None:
    made = record(str(path))
    assert made["file"] == f"logs/{path.name}"
    assert [p for p in made["problems"] if p["loses"] or "the losses stray" not in p["found"]] == []
    assert made["facts"]
    assert {budget["fact"] for budget in made["budgets"]} <= {fact["id"] for fact in made["facts"]}
    for budget in made["budgets"]:
        assert sum(line["share"] for line in budget["lines"]) + budget["rest"] == pytest.approx(1.0, abs=1e-6)
        assert budget["dominant"] == (budget["lines"][0]["cause"] if budget["lines"] else "")


def test_columns_plateaus_facts_and_budgets_as_text() -> None:
    code, out, _ = run(str(LOGS / "load-115V-20V.csv"), "--budgets")
    assert code == 0
    for words in ("Columns", "6 plateaus", "settled from row", "average efficiency", "sensitivity", "PA1: input power"):
        assert words in out


def test_a_log_without_a_folder_is_told_what_it_is(tmp_path: Path) -> None:
    rows = [f"{n},{66 + 0.01 * (n % 3):.2f},20.1,3.0" for n in range(60)]
    (tmp_path / "a.csv").write_text("\n".join(["t (s),Pin (W),Vout (V),Iout (A)", *rows]))
    told = ("--kind", "load sweep", "--port", "C1", "--offer", "20 V", "--mains", "230 V")
    made = record(str(tmp_path / "a.csv"), *told)
    assert any(f["id"] == "port:C1/efficiency@load=1,mains=230,offer=20" for f in made["facts"])
    untold = record(str(tmp_path / "a.csv"))
    assert untold["facts"] == []
    assert [segment["first_row"] for segment in untold["segments"]] == [2]


def test_what_is_not_understood_is_said(tmp_path: Path) -> None:
    (tmp_path / "a.csv").write_text("t (s),Pin (W)\n1,2\n2,2\n")
    code, _, err = run(str(tmp_path / "a.csv"), "--kind", "sweeep")
    assert code == 2
    assert "load sweep" in err
    code, _, err = run(str(tmp_path / "a.csv"), "--offer", "twenty")
    assert code == 2
    assert "--offer" in err
    code, out, _ = run(str(tmp_path / "none.csv"))
    assert code == 2
    assert "no such file" in out


def test_clock_beside_itself_is_the_same() -> None:
    path = str(LOGS / "load-115V-20V.csv")
    made = record(path, "--beside", path)
    assert made["beside"][0]["offset_s"] == pytest.approx(0.0, abs=1e-9)
    assert made["beside"][0]["edges"] >= 5
