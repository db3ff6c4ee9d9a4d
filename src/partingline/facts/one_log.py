"""One bench log by itself: read, cut into segments, and turned into facts with their budgets."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path

from partingline.facts.book import Book
from partingline.facts.budget import Budget, budget
from partingline.facts.derivations import energy, heat, ports, storage, sweeps
from partingline.facts.derivations.layout import Layout
from partingline.facts.show import show_fact
from partingline.facts.statements.logs import log_statements
from partingline.facts.statements.unitfile import instruments
from partingline.model import Evidence, Fact, KeyPath, Port, Problem, Unit
from partingline.readers.folder import Folder
from partingline.readers.logs import Log, LogEntry, read_catalogue, read_log
from partingline.readers.logs.joined import join_logs
from partingline.readers.logs.plateaus import Plateau, find_plateaus
from partingline.readers.unitfile import read_unit_file

_DOMAINS = (ports, energy, sweeps, storage, heat)
"""What follows from readings alone; the rest of the graph is about parts, labels and the inside."""
_PLATEAU_KINDS = ("", "load sweep", "line sweep", "sharing")


@dataclass(frozen=True)
class OneLog:
    """A log with its plateaus, its facts and everything that could not be read; `unit`: the folder it belongs to."""

    log: Log
    plateaus: tuple[Plateau, ...]
    book: Book
    problems: tuple[Problem, ...]
    unit: Path | None = None

    @cached_property
    def facts(self) -> tuple[Fact, ...]:
        """Every fact of this log alone, sorted by id."""
        return self.book.facts()

    @cached_property
    def budgets(self) -> dict[str, Budget]:
        """The budget of each fact that has one, by the fact's id."""
        found = ((fact.key.id, budget(self.book, fact.key)) for fact in self.facts)
        return {id_: one for id_, one in found if one is not None}


def open_log(path: Path, told: LogEntry, beside: Path | None = None) -> OneLog:
    """Read one log. In a unit's `logs/` folder its entry in logs.toml and the accuracies of unit.toml count; what
    `told` says beside the file's name goes before them. Logs that stand beside it by logs.toml, and `beside`, add their
    readings."""
    unit = _unit_folder(path)
    entry, problems = told, list[Problem]()
    accuracies = {}
    guests: list[Log] = []
    name = path.name
    if unit is not None:
        folder = Folder(unit)
        accuracies = instruments(read_unit_file(folder), folder)
        name = path.resolve().relative_to(unit.resolve()).as_posix()
        text = folder.text("logs/logs.toml", "what each log is")
        if text is not None:
            entries, found = read_catalogue(text.text, text.path, text.sha256)
            mine = [one for one in entries if one.file == path.name]
            problems += [p for p in found if _concerns(p, mine)]
            entry = _merged(mine[0], told) if mine else told
            guests = [read_log(path.parent / one.file, one) for one in entries if one.beside == path.name]
    if beside is not None:
        guests = [read_log(beside, LogEntry(file=beside.name, beside=path.name), name=beside.name)]
    log = read_log(path, entry, name=name)
    problems += [problem for one in (log, *guests) for problem in one.problems]
    joined, apart = join_logs([log, *guests])
    log = joined[0]
    statements, met = log_statements([log], accuracies)
    plateaus = find_plateaus(log) if entry.kind in _PLATEAU_KINDS and len(log.time_s) and log.series else ()
    layout = Layout(_unit(path, entry), statements)
    book = Book(statements, (way for domain in _DOMAINS for way in domain.derive(layout)))
    return OneLog(log, plateaus, book, (*problems, *apart, *met, *_undescribed(log, book)), unit)


def _undescribed(log: Log, book: Book) -> Iterator[Problem]:
    """A remark for each sweep that the three parts of the loss do not describe."""
    for fact in book.find("loss_misfit"):
        if sweeps.undescribed(book, fact):
            place = log.place(0, len(log.time_s) - 1)
            found = f"the losses stray by {show_fact(fact)} about a fixed, a proportional and a square part"
            expected = "no more than the readings' uncertainty explains"
            step = "The parts carry it in their uncertainty; add load points between these: a change of mode is a step."
            yield Problem(Evidence(log.path, log.sha256, place), found, expected, step, loses=False)


def _unit_folder(path: Path) -> Path | None:
    folder = path.resolve().parent
    inside = folder.name == "logs" and ((folder.parent / "unit.toml").exists() or (folder / "logs.toml").exists())
    return folder.parent if inside else None


def _concerns(problem: Problem, mine: list[LogEntry]) -> bool:
    """Whether a problem of logs.toml is of this log's entry, or of the file as a whole."""
    place = problem.evidence.place
    if not isinstance(place, KeyPath):
        return True
    own = [e.evidence.place.path for e in mine if e.evidence and isinstance(e.evidence.place, KeyPath)]
    return any(place.path == path or place.path.startswith(f"{path}.") for path in own)


def _merged(entry: LogEntry, told: LogEntry) -> LogEntry:
    """The entry of logs.toml with what was told at the prompt in its place."""
    plain = LogEntry(file=told.file)
    given = {name: value for name, value in vars(told).items() if value != getattr(plain, name)}
    return replace(entry, **given)


def _unit(path: Path, entry: LogEntry) -> Unit:
    ports = tuple(Port(port, "") for port in entry.ports)
    return Unit(path.stem, "", "", "", "", False, None, "", ports)
