"""What the import contracts cannot see: size of rooms, no I/O where none belongs, docstrings, no machine named."""

import ast
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
SOURCE = ROOT / "src" / "partingline"
FILES = sorted(SOURCE.rglob("*.py"))
PURE = ("model", "calc", "findings")
MOST_LINES, MOST_FUNCTION = 400, 60
READS = {"open", "read_text", "read_bytes", "write_text", "write_bytes", "urlopen"}


def _relative(path: Path) -> str:
    return path.relative_to(SOURCE).as_posix()


def _functions(tree: ast.AST) -> Iterator[ast.FunctionDef]:
    return (node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef))


@pytest.mark.parametrize("path", FILES, ids=_relative)
def test_rooms_are_small_and_say_what_they_hold(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    tree = ast.parse(text)
    assert len(text.splitlines()) <= MOST_LINES, f"{_relative(path)} is too long: split it by idea"
    assert ast.get_docstring(tree), f"{_relative(path)} needs a docstring that says what comes in and goes out"
    for function in _functions(tree):
        body = function.body[1:] if ast.get_docstring(function) else function.body
        length = (function.end_lineno or 0) - (body[0].lineno if body else function.lineno) + 1
        assert length <= MOST_FUNCTION, f"{_relative(path)}:{function.lineno} {function.name} has {length} lines"


def _is_rule(node: ast.FunctionDef | ast.ClassDef) -> bool:
    """The judging function of a rule file: its claim and the file's docstring say what it is."""
    called = [d.func for d in node.decorator_list if isinstance(d, ast.Call)]
    return any(isinstance(name, ast.Name) and name.id == "rule" for name in called)


@pytest.mark.parametrize("path", FILES, ids=_relative)
def test_public_names_are_documented(path: Path) -> None:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_") and not _is_rule(node):
            assert ast.get_docstring(node), f"{_relative(path)}:{node.lineno} {node.name} needs a docstring"


@pytest.mark.parametrize("path", [p for p in FILES if _relative(p).split("/")[0] in PURE], ids=_relative)
def test_words_calculations_and_rules_touch_no_file(path: Path) -> None:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call):
            called = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            assert called not in READS, f"{_relative(path)}:{node.lineno} calls {called}: readers and cli read files"


def test_no_committed_file_names_this_machine() -> None:
    listed = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=False).stdout
    here = str(ROOT) + "/"
    if len(here) < 8:
        pytest.skip("the checkout's path is too short to tell from other text")
    for name in filter(None, listed.split("\0")):
        data = (ROOT / name).read_bytes() if (ROOT / name).is_file() else b""
        assert here.encode() not in data, f"{name} holds the path of this machine"
