"""Statements of the bench logs: what was measured, at which load and mains, by which instrument.

Efficiency is not computed here: the fact graph derives it from these statements, so that readings of one meter share
their draws.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping

from partingline.facts.statements.log_overcurrent import over_current
from partingline.facts.statements.log_sharing import sharing
from partingline.facts.statements.log_source import Accuracies, LogSource
from partingline.facts.statements.log_storage import discharge, recharge
from partingline.facts.statements.log_sweep import no_load, standby, sweep
from partingline.facts.statements.log_thermal import thermal
from partingline.facts.statements.scope_events import hold_up, inrush, load_step
from partingline.facts.statements.scope_ripple import ripple
from partingline.model import Problem, Statement
from partingline.readers.logs import Log

_KINDS: Mapping[str, Callable[[LogSource], Iterator[Statement]]] = {
    "load sweep": sweep,
    "line sweep": sweep,
    "no load": no_load,
    "standby": standby,
    "over-current": over_current,
    "sharing": sharing,
    "ripple": ripple,
    "load step": load_step,
    "hold-up": hold_up,
    "inrush": inrush,
    "discharge": discharge,
    "recharge": recharge,
}


def log_statements(
    logs: Iterable[Log], instruments: Accuracies, hashes: Mapping[str, str] | None = None
) -> tuple[tuple[Statement, ...], tuple[Problem, ...]]:
    """Measured statements of all logs, and the problems met in making them (`Log.problems` are not repeated).

    instruments: accuracy statements by (instrument id, glossary id). hashes: sha256 by path, where the folder knows
    them already; otherwise those of the logs. A log without kind says nothing."""
    known = tuple(log for log in logs if len(log.time_s))
    soaks = sum(log.entry.kind == "thermal" for log in known)
    statements: list[Statement] = []
    problems: list[Problem] = []
    for log in known:
        source = LogSource(log, instruments, (hashes or {}).get(log.path, log.sha256))
        if log.entry.kind == "thermal":
            statements += thermal(source, alone=soaks == 1)
        elif log.entry.kind in _KINDS:
            statements += _KINDS[log.entry.kind](source)
        problems += source.problems
    return tuple(statements), tuple(problems)
