"""`partingline log`: columns, segments, facts and budgets of one bench log."""

import json
import sys
from pathlib import Path

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from partingline.cli.screen import console
from partingline.facts.budget import Budget, cause_text
from partingline.facts.one_log import OneLog, open_log
from partingline.facts.show import key_text, show_fact, show_value
from partingline.model import Fact
from partingline.readers.logs import KINDS, Log, LogEntry
from partingline.readers.logs.plateaus import Plateau, level
from partingline.readers.logs.types import Guest
from partingline.readers.quantities import QuantityError, parse_quantity
from partingline.sources import quantities

_TOLD = {
    "offer": ("offer_v", "V"),
    "mains": ("mains_v", "V"),
    "load": ("load", "1"),
    "frequency": ("frequency_hz", "Hz"),
}
MOST_LINES = 5


def run(file: Path, told: dict[str, str], *, beside: Path | None, budgets: bool, as_json: bool) -> int:
    """Print what one log holds; 2 where it cannot be read or an option is not understood."""
    entry = _entry(file, told)
    if isinstance(entry, str):
        console(error=True).print(entry)
        return 2
    opened = open_log(file, entry, beside)
    if as_json:
        from partingline.publish.records.log import log_record

        record = log_record(opened)
        json.dump(record, sys.stdout, ensure_ascii=False, indent=1)
        sys.stdout.write("\n")
    else:
        _print(console(), opened, budgets=budgets)
    return 0 if len(opened.log.time_s) else 2


def _entry(file: Path, told: dict[str, str]) -> LogEntry | str:
    """What was told at the prompt; else the sentence that says what was not understood."""
    values: dict[str, object] = {"file": file.name, "port": told.get("port", ""), "sheet": told.get("sheet", "")}
    kind = told.get("kind", "")
    if kind and kind not in KINDS:
        return f"kind {kind!r}: expected one of {', '.join(KINDS)}"
    values["kind"] = kind
    for name, (field, unit) in _TOLD.items():
        if text := told.get(name):
            try:
                values[field] = parse_quantity(text, unit=unit).value
            except QuantityError as error:
                return f"--{name}: {error}"
    return LogEntry(**values)  # type: ignore[arg-type]


def _print(out: Console, opened: OneLog, *, budgets: bool) -> None:
    log = opened.log
    out.print(Text(log.path, style="bold") + Text(f"  {log.entry.kind or 'kind not told'}", style="italic"))
    if log.columns:
        out.print(f"{len(log.time_s)} samples over {_length(opened)}, {_dialect(opened)}", style="bright_black")
        _columns(out, opened)
    for guest in log.guests:
        _guest(out, guest)
    if opened.plateaus:
        _segments(out, opened)
    facts = opened.facts
    if facts:
        _facts(out, facts, opened.budgets)
        if budgets:
            for fact in facts:
                if (one := opened.budgets.get(fact.key.id)) is not None:
                    _budget(out, fact, one)
    if not log.entry.kind and log.series:
        kinds = ", ".join(f'"{kind}"' for kind in KINDS)
        told = f'No facts without a kind: add --kind "load sweep" --port C1 --offer "20 V", or another of {kinds}.'
        out.print(Padding("\n" + told, (0, 0, 0, 0)))
    if opened.problems:
        out.print(Text("\nTo look at", style="bold"))
        for problem in opened.problems:
            out.print(Padding(str(problem), (0, 0, 0, 2)))


def _length(opened: OneLog) -> str:
    time = opened.log.time_s
    length = float(time[-1] - time[0]) if len(time) else 0.0
    return show_value(length, "record_length") if length >= 120 else f"{length:.4g} s"


def _dialect(opened: OneLog) -> str:
    log = opened.log
    if log.rate_hz:
        return f"SigMF at {log.rate_hz:g} Hz"
    divider = {"\t": "tab", ";": "semicolon", ",": "comma", "|": "bar"}.get(log.delimiter, log.delimiter)
    return f"{log.encoding}, divided by {divider}, decimal {'comma' if log.decimal == ',' else 'point'}"


def _columns(out: Console, opened: OneLog) -> None:
    table = _table("\nColumns")
    for column in opened.log.columns:
        known = quantities().get(column.quantity)
        name = known.name if known else column.quantity or "left alone"
        told = f"{name} of {column.channel}" if column.channel else name
        step = f"step {column.step:.3g} {column.si}" if column.step and column.quantity else ""
        table.add_row(f"  {column.name}", Text(told, style="bold" if column.quantity else "bright_black"),
                      column.how if column.quantity else "", step)  # fmt: skip
    out.print(table)
    pins = ", ".join(
        f'{f"{c.channel}/" if c.channel else ""}{c.quantity} = "{c.name}"' for c in opened.log.columns if c.quantity
    )
    if pins:
        out.print(Padding(f"To pin them in logs.toml: columns = {{ {pins} }}", (0, 0, 0, 2)), style="bright_black")


def _segments(out: Console, opened: OneLog) -> None:
    log = opened.log
    many = len(opened.plateaus)
    table = _table(f"\n{many} plateau{'s' if many > 1 else ''}")
    for plateau in opened.plateaus:
        rows = f"rows {log.rows[plateau.first]}–{log.rows[plateau.last]}"
        settled = f"settled from row {log.rows[plateau.settled_first]}"
        table.add_row(f"  {rows}", _levels(log, plateau), settled if plateau.settled else plateau.why)
    out.print(table)


def _levels(log: Log, plateau: Plateau) -> str:
    """Power, voltages and currents of the settled part."""
    told: list[str] = []
    for quantity, channel in log.series:
        if quantities()[quantity].unit in ("W", "V", "A") and len(told) < MOST_LINES:
            found = level(log, quantity, channel, plateau.settled_first, plateau.last)
            step = log.column(quantity, channel).step
            told += [show_value(found.value, quantity, max(found.u, step / 2))] if found else []
    return ", ".join(value.partition(" ±")[0] + " " + value.split()[-1] for value in told)


def _facts(out: Console, facts: tuple[Fact, ...], budgets: dict[str, Budget]) -> None:
    table = _table(f"\n{len(facts)} fact{'' if len(facts) == 1 else 's'}")
    for fact in facts:
        one = budgets.get(fact.key.id)
        most = f"{one.dominant.share * 100:.0f} % {cause_text(one.dominant)}" if one and one.dominant else ""
        table.add_row(f"  {key_text(fact.key)}", Text(show_fact(fact), style="bold"), most)
    out.print(table)


def _budget(out: Console, fact: Fact, one: Budget) -> None:
    table = Table(show_header=True, box=None, padding=(0, 2, 0, 0), title_justify="left", title_style="bold",
                  title=f"\n{key_text(fact.key)}: {show_fact(fact)}", header_style="bright_black")  # fmt: skip
    for head in ("  cause", "moves", "u", "sensitivity", "contribution", "share"):
        table.add_column(head, justify="left" if head in ("  cause", "moves") else "right")
    for line in one.lines[:MOST_LINES]:
        moves = line.moves[0].quantity if len({k.quantity for k in line.moves}) == 1 else "several"
        many = f"{len(line.moves)} × {moves}" if len(line.moves) > 1 else moves
        table.add_row(f"  {cause_text(line)}", many, f"{line.u:.2g}", f"{line.sensitivity:.3g}",
                      f"{line.contribution:.2g}", f"{line.share * 100:.1f} %")  # fmt: skip
    left = one.rest + sum(line.share for line in one.lines[MOST_LINES:])
    table.add_row("  the rest", "", "", "", "", f"{left * 100:.1f} %")
    out.print(table)


def _guest(out: Console, guest: Guest) -> None:
    clock = guest.clock
    out.print(Text(f"\nBeside it {guest.log.path}", style="bold"))
    table = Table(show_header=False, box=None, padding=(0, 2, 0, 0))
    if not guest.keys:
        table.add_row("  adds nothing that this log does not hold")
    for quantity, channel in guest.keys:
        name = quantities()[quantity].name
        table.add_row(f"  {guest.log.column(quantity, channel).name}", f"{name} of {channel}" if channel else name)
    out.print(table)
    off = f"add {clock.seconds:+.4f} ± {clock.u:.2g} s to its time to get this log's"
    drift = f", and {clock.rate * 3600:+.2g} ± {clock.u_rate * 3600:.1g} s an hour" if clock.rate else ""
    edges = f"{clock.edges} of {clock.seen} edges agree"
    out.print(Padding(f"{off}{drift} ({edges})", (0, 0, 0, 2)), style="bright_black")


def _table(title: str) -> Table:
    table = Table(show_header=False, box=None, padding=(0, 2, 0, 0), title=title, title_justify="left",
                  title_style="bold")  # fmt: skip
    return table
