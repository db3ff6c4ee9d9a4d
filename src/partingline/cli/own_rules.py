"""A person's own rules: files in a folder that declare a rule as the product's own files do."""

import importlib.util
from pathlib import Path

from partingline.findings import Rule, rules


def all_rules(folder: Path | None) -> tuple[Rule, ...]:
    """The product's rules and those of every `*.py` file in a folder, sorted by file.

    Raises ValueError, naming the file, where a file declares no rule or cannot be run.
    """
    return rules() if folder is None else (*rules(), *_own(folder))


def _own(folder: Path) -> tuple[Rule, ...]:
    if not folder.is_dir():
        raise ValueError(f"{folder}: no such folder; expected one with rule files such as my_rule.py")
    return tuple(rule for path in sorted(folder.glob("*.py")) for rule in _of_file(path))


def _of_file(path: Path) -> list[Rule]:
    spec = importlib.util.spec_from_file_location(f"partingline_own_rules_{path.stem}", path)
    if spec is None or spec.loader is None:
        raise ValueError(f"{path}: not a Python file")
    module = importlib.util.module_from_spec(spec)
    try:
        spec.loader.exec_module(module)
    except Exception as error:
        raise ValueError(f"{path}: {type(error).__name__}: {error}") from error
    found = [value for value in vars(module).values() if isinstance(value, Rule)]
    if not found:
        raise ValueError(f"{path}: declares no rule; expected a function under @rule(id=, claim=, source=)")
    return found
