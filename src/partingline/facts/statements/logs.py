"""Statements of the bench logs: what was measured, at which load and mains, by which instrument.

A log that stands `beside` another adds its readings to that one's. Efficiency is not computed here: the fact graph
derives it from these statements, so that readings of one meter share their draws.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping

from partingline.facts.statements.log_overcurrent import over_current
from partingline.facts.statements.log_sharing import sharing
from partingline.facts.statements.log_source import Accuracies, LogSource
from partingline.facts.statements.log_storage import discharge, recharge
from partingline.facts.statements.log_sweep import no_load, standby, sweep
from partingline.facts.statements.log_thermal import ambient_of_the_hottest, thermal
from partingline.facts.statements.scope_events import hold_up, inrush, load_step
from partingline.facts.statements.scope_ripple import ripple
from partingline.model import Problem, Statement
from partingline.readers.logs import Log
from partingline.readers.logs.joined import join_logs

_KINDS: Mapping[str, Callable[[LogSource], Iterator[Statement]]] = {
    "load sweep": sweep,
    "line sweep": sweep,
    "no load": no_load,
    "standby": standby,
    "thermal": thermal,
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
    statements: list[Statement] = []
    soaks: list[list[Statement]] = []
    together, apart = join_logs(tuple(logs))
    problems = list(apart)
    for log in together:
        if not len(log.time_s):
            continue
        source = LogSource(log, instruments, (hashes or {}).get(log.path, log.sha256))
        said = list(_KINDS[log.entry.kind](source)) if log.entry.kind in _KINDS else []
        soaks += [said] if log.entry.kind == "thermal" else []
        statements += said
        problems += source.problems
    if (ambient := ambient_of_the_hottest(soaks)) is not None:
        statements.append(ambient)
    return tuple(statements), tuple(problems)
