"""The JSON record of one bench log."""

from partingline.facts.budget import Budget
from partingline.facts.one_log import OneLog
from partingline.publish.records import VERSION, fact_record, problem_record
from partingline.publish.records.log_shapes import (
    BudgetLineRecord,
    BudgetRecord,
    ColumnRecord,
    GuestRecord,
    LogRecord,
    SegmentRecord,
)
from partingline.readers.logs.types import Column, Guest


def log_record(opened: OneLog) -> LogRecord:
    """Everything that is known of one log."""
    log = opened.log
    return LogRecord(
        schema="partingline/log",
        version=VERSION,
        file=log.path,
        sha256=log.sha256,
        kind=log.entry.kind,
        encoding=log.encoding,
        delimiter=log.delimiter,
        decimal=log.decimal,
        header_row=log.header_row,
        samples=len(log.time_s),
        start=log.start.isoformat() if log.start else None,
        length_s=float(log.time_s[-1] - log.time_s[0]) if len(log.time_s) else 0.0,
        columns=[_column(column) for column in log.columns],
        segments=[
            SegmentRecord(
                first_row=int(log.rows[p.first]), last_row=int(log.rows[p.last]),
                settled_from_row=int(log.rows[p.settled_first]), start_s=float(log.time_s[p.first]),
                end_s=float(log.time_s[p.last]), settled=p.settled, drift=p.drift, why=p.why,
            )
            for p in opened.plateaus
        ],
        facts=[fact_record(fact) for fact in opened.facts],
        budgets=[_budget(one) for one in opened.budgets.values()],
        beside=[_guest(guest) for guest in log.guests],
        problems=[problem_record(problem) for problem in opened.problems],
    )  # fmt: skip


def _guest(guest: Guest) -> GuestRecord:
    clock = guest.clock
    return GuestRecord(
        file=guest.log.path, sha256=guest.log.sha256, columns=[_column(guest.log.column(*key)) for key in guest.keys],
        offset_s=clock.seconds, u_s=clock.u, drift=clock.rate, u_drift=clock.u_rate, at_s=clock.at, edges=clock.edges,
        seen=clock.seen,
    )  # fmt: skip


def _column(column: Column) -> ColumnRecord:
    return ColumnRecord(
        name=column.name,
        unit=column.unit,
        quantity=column.quantity,
        channel=column.channel,
        recognised_by=column.how if column.quantity else "",
        factor=column.factor,
        offset=column.offset,
        step=column.step,
    )


def _budget(one: Budget) -> BudgetRecord:
    lines = [
        BudgetLineRecord(
            cause=line.cause,
            moves=[key.id for key in line.moves],
            shape=line.shape.value,
            u=line.u,
            sensitivity=line.sensitivity,
            contribution=line.contribution,
            share=line.share,
        )
        for line in one.lines
    ]
    dominant = one.dominant.cause if one.dominant else ""
    return BudgetRecord(fact=one.key.id, value=one.value, u=one.u, dominant=dominant, lines=lines, rest=one.rest)
