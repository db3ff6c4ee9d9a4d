"""How a rule is declared, and where the rules are found."""

import importlib
import pkgutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache

from partingline.findings.head import RuleHead
from partingline.findings.judge import Judge
from partingline.model import Citation, Finding

JudgeFunction = Callable[[Judge], Iterator[Finding]]

GROUPS = ("claims", "protocol", "energy", "parts", "stage", "spacing", "thermal")


@dataclass(frozen=True, slots=True)
class Rule(RuleHead):
    """A published limit, or a rule of common practice, applied to facts."""

    judge: JudgeFunction
    mains: bool = False


def rule(*, id: str, claim: str, source: Citation, mains: bool = False) -> Callable[[JudgeFunction], Rule]:
    """Declare the judging function of a rule file; its path is its id: `energy/no_load.py` is `energy.no_load`.

    `mains`: it speaks of what meets the mains, and is silent where none come into the unit.
    """

    def declare(judge: JudgeFunction) -> Rule:
        return Rule(id=id, claim=claim, source=source, judge=judge, mains=mains)

    return declare


@cache
def rules() -> tuple[Rule, ...]:
    """Every rule, in the order of the groups, then by id; TypeError where a file declares none or misnames it."""
    found: list[Rule] = []
    for group in GROUPS:
        package = importlib.import_module(f"partingline.findings.{group}")
        for module in sorted(info.name for info in pkgutil.iter_modules(package.__path__)):
            found.extend(_of_module(f"partingline.findings.{group}.{module}", f"{group}.{module}"))
    return tuple(found)


def _of_module(path: str, expected: str) -> Iterator[Rule]:
    declared = [value for value in vars(importlib.import_module(path)).values() if isinstance(value, Rule)]
    if [r.id for r in declared] != [expected]:
        raise TypeError(f"{path}: expected exactly one rule with the id {expected}, found {[r.id for r in declared]}")
    return iter(declared)
