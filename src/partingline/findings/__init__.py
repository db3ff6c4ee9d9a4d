"""Rules on facts: one rule one file, grouped by folder.

What comes in: a `Case` (the unit and its book of facts). What goes out: findings. No file, no network, no screen.
"""

from partingline.findings.case import Case, Guard
from partingline.findings.judge import Judge
from partingline.findings.rule import Rule, rule, rules
from partingline.findings.run import run

__all__ = ["Case", "Guard", "Judge", "Rule", "rule", "rules", "run"]
