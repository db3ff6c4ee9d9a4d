"""The examples in README and docs do what they say: commands are run, TOML is read, rule files are judged."""

import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from partingline.facts.opened import open_unit

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def blocks(text: str, language: str) -> list[str]:
    """The fenced blocks of a language."""
    return re.findall(rf"```{language}\n(.*?)```", text, re.DOTALL)


def partingline(*arguments: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    """The command, run as a person would."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT / "src")}
    command = [sys.executable, "-m", "partingline", *arguments]
    return subprocess.run(command, cwd=cwd, capture_output=True, text=True, env=environment, timeout=60, check=False)


def test_every_command_of_the_readme_runs(tmp_path: Path) -> None:
    lines = [line for block in blocks(README, "sh") for line in block.splitlines() if "partingline " in line]
    assert len(lines) >= 5
    for line in lines:
        words = shlex.split(line, comments=True)
        done = partingline(*words[1:], cwd=tmp_path)
        assert done.returncode in (0, 1), f"{line}\n{done.stderr}"
        assert "Traceback" not in done.stderr


def test_the_readme_has_exactly_two_make_commands() -> None:
    assert [line for block in blocks(README, "sh") for line in block.splitlines() if line.startswith("make")] == [
        "make demo",
        "make test",
    ]


@pytest.mark.parametrize("block", blocks((ROOT / "docs" / "unit-folder.md").read_text(encoding="utf-8"), "toml")[:1])
def test_the_unit_file_of_the_docs_is_sound(block: str, tmp_path: Path) -> None:
    (tmp_path / "unit.toml").write_text(block, encoding="utf-8")
    (tmp_path / "parts.csv").write_text("ref,kind,value\nC3,capacitor,82 µF\n", encoding="utf-8")
    opened = open_unit(tmp_path)
    losing = [str(problem) for problem in opened.problems if problem.loses and problem.evidence.path == "unit.toml"]
    assert not losing


def test_the_rule_file_of_the_docs_judges(tmp_path: Path) -> None:
    (block,) = blocks((ROOT / "docs" / "own-rules.md").read_text(encoding="utf-8"), "python")
    (tmp_path / "travel.py").write_text(block, encoding="utf-8")
    done = partingline("check", str(ROOT / "demo" / "tern-65"), "--json", "--rules", str(tmp_path), cwd=tmp_path)
    assert "the kit takes 150 g" in done.stdout.replace("\u202f", " ")


def test_a_broken_rule_file_is_named(tmp_path: Path) -> None:
    (tmp_path / "broken.py").write_text("raise RuntimeError('no')", encoding="utf-8")
    done = partingline("check", str(ROOT / "demo" / "tern-65"), "--rules", str(tmp_path), cwd=tmp_path)
    assert done.returncode == 2
    assert "broken.py" in done.stderr
