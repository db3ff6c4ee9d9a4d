"""A unit folder opened: everything read, brought together as a book of facts, with every problem met on the way."""

import glob
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import Any

from partingline.facts.assumed import assumed
from partingline.facts.book import Book
from partingline.facts.derivations import derivations
from partingline.facts.draws import Draws
from partingline.facts.memory import Memory, stamps
from partingline.facts.overlooked import (
    failure_problem,
    report_folders_for_files,
    report_lonely_captures,
    report_unknown_subjects,
    report_unmet_preferences,
    report_unnamed_logs,
)
from partingline.facts.show import key_text
from partingline.facts.spoken.statements import spoken_statements
from partingline.facts.statements.barriers import MeasuredPath
from partingline.facts.statements.captures import capture_statements, captured_ports
from partingline.facts.statements.handshakes import handshake_statements
from partingline.facts.statements.label import label_statements
from partingline.facts.statements.listing import listing_statements
from partingline.facts.statements.logs import log_statements
from partingline.facts.statements.offers import offer_statements, rated_statements, shared_offers, typed_ports
from partingline.facts.statements.opening import opening_steps
from partingline.facts.statements.parts import Seen, part_of, part_statements, seen_markings
from partingline.facts.statements.photos import photo_statements
from partingline.facts.statements.stage_kinds import stage_statements
from partingline.facts.statements.unitfile import (
    Instruments,
    assumptions,
    instruments,
    preferences,
    unit_statements,
)
from partingline.model import Key, Part, Port, Problem, Route, Statement, Unit
from partingline.readers.folder import Folder
from partingline.readers.logs import Log, read_catalogue, read_log
from partingline.readers.parts import read_parts
from partingline.readers.photos import Mark, read_marks, report_broken_pictures
from partingline.readers.recordings import META, read_notes
from partingline.readers.unitfile import ReadUnit, read_unit_file


@dataclass(frozen=True)
class Opened:
    """One unit: what it is made of, its facts, its marks on photos, decoded recordings, and what could not be read."""

    folder: Folder
    unit: Unit
    book: Book
    marks: tuple[Mark, ...] = ()
    captures: dict[str, Any] = field(default_factory=dict)
    logs: tuple[Log, ...] = ()
    paths: tuple[MeasuredPath, ...] = ()

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Everything that could not be read, or (as far as facts were asked for) computed; sorted by file and place."""
        failed = (self._failed(key, message) for key, message in self.book.failures.items())
        return tuple(sorted({*self.folder.problems, *failed}, key=str))

    def _failed(self, key: Key, message: str) -> Problem:
        facts = (self.book.fact(need) for need in self.book.needs(key))
        return failure_problem(key_text(key), message, (one for fact in facts if fact for one in fact.evidence))


def open_unit(root: Path, draws: Draws | None = None, memory: Memory | None = None) -> Opened:
    """Read a unit folder and bring its statements together. Raises NotADirectoryError where there is no folder.

    `memory` is what the last opening of the same folder left: recordings, logs and calculations are taken from it
    where nothing has changed that they hang on.
    """
    if not root.is_dir():
        found = "is a file; expected a unit's folder" if root.exists() else "no such folder"
        raise NotADirectoryError(f"{root}: {found}; `partingline init FOLDER` makes one")
    memory = memory or Memory()
    memory.turn()
    folder = Folder(root, known=memory.hashes)
    read = read_unit_file(folder)
    captures, told = _captures(folder, memory)
    ports = captured_ports(typed_ports(read, folder), captures, told, folder)
    marks = read_marks(folder)
    parts, from_parts = _parts(folder, marks, memory)
    unit = _unit(folder, read, ports, parts)
    logs = _logs(folder, memory)
    statements = [*_statements(read, folder, unit, (captures, told), logs, memory), *from_parts]
    supposed = tuple(assumptions(read, folder))
    seen, paths = photo_statements(folder, marks, [*statements, *supposed], memory)
    statements += seen
    statements += stage_statements(unit, statements)
    barriers = sorted({s.key.subject for s in statements if s.key.subject.startswith("barrier:")})
    statements += supposed
    statements += assumed(barriers, [s.key for s in statements if s.route is Route.ASSUMED])
    preferred = preferences(read, folder)
    book = Book(statements, derivations(unit, statements), draws=draws, preferences=preferred, memory=memory)
    book.heard(spoken_statements(folder, unit, book))
    report_lonely_captures(folder, captures, told, unit)
    report_broken_pictures(folder)
    report_folders_for_files(folder)
    places = {key: read.at("prefer", key.id) for key in preferred}
    report_unmet_preferences(folder, preferred, statements, places)
    typed = [(s.key.subject, s.evidence[0]) for s in statements if s.evidence and s.evidence[0].path == "unit.toml"]
    report_unknown_subjects(folder, unit, typed)
    return Opened(folder, unit, book, marks, captures, logs, paths)


def _unit(folder: Folder, read: ReadUnit, ports: tuple[Port, ...], parts: tuple[Part, ...]) -> Unit:
    told = read.data.unit
    names = {id_: table.get("name", id_) for id_, table in read.data.instrument.items()}
    return Unit(
        folder.root.resolve().name,
        told.maker,
        told.model,
        told.title,
        told.kind,
        told.invented,
        told.examined,
        told.notes,
        ports,
        parts,
        names,
        opening_steps(read, folder),
    )


def _parts(folder: Folder, marks: Sequence[Mark], memory: Memory) -> tuple[tuple[Part, ...], list[Statement]]:
    seen = seen_markings(marks)
    hangs_on = (part_of, folder.sha256("parts.csv"), repr(seen))
    found: tuple[tuple[Part, ...], list[Statement]] = memory.reading(
        folder, hangs_on, partial(_read_parts, folder, seen)
    )
    return found


def _read_parts(folder: Folder, seen: Mapping[str, Seen]) -> tuple[tuple[Part, ...], list[Statement]]:
    parts: list[Part] = []
    statements: list[Statement] = []
    for row in read_parts(folder):
        for ref in row.refs:
            part = part_of(row, ref, folder, seen.get(ref))
            parts.append(part)
            statements += part_statements(row, part, folder, seen.get(ref))
    return tuple(parts), statements


def _statements(
    read: ReadUnit,
    folder: Folder,
    unit: Unit,
    captures: tuple[dict[str, Any], dict[str, str]],
    logs: tuple[Log, ...],
    memory: Memory,
) -> list[Statement]:
    accuracies = instruments(read, folder)
    statements = list(unit_statements(read, folder, accuracies))
    statements += handshake_statements(statements)
    printed = list(label_statements(read, folder, unit))
    statements += [*printed, *rated_statements(read, folder, printed)]
    for port in unit.ports:
        for seen in port.offer_lists:
            statements += offer_statements(port.id, seen)
    statements += shared_offers(read, folder)
    statements += capture_statements(captures[0], folder, unit.ports, captures[1], of_cable=unit.kind == "cable")
    statements += _log_statements(folder, logs, accuracies, memory)
    statements += listing_statements(folder, unit)
    return statements


def _captures(folder: Folder, memory: Memory) -> tuple[dict[str, Any], dict[str, str]]:
    """Decoded recordings and the ports that they name, by file."""
    names = folder.names("captures", ".sigmf-meta", ".npy", ".csv", ".wav", ".vcd", ".hex")
    if not names:
        return {}, {}
    from partingline.readers.cc import read_capture

    captures: dict[str, Any] = {}
    told: dict[str, str] = {}
    for name in names:
        if name.endswith(META):
            if (notes := read_notes(folder, name)) is None:
                continue
            told[name] = notes.port
        path = folder.root / name
        files = stamps(sorted(path.parent.glob(f"{glob.escape(path.stem)}.*")))
        capture = memory.recall(("capture", name, files), partial(read_capture, path))
        captures[name] = capture
        for problem in capture.problems:
            folder.report(name, f"{problem.place}: {problem.found}", problem.expected, problem.next_step)
    return captures, told


def _logs(folder: Folder, memory: Memory) -> tuple[Log, ...]:
    catalogue = folder.text("logs/logs.toml", "what each log is: [[log]] with file, kind and conditions")
    if catalogue is None:
        report_unnamed_logs(folder, ())
        return ()
    entries, problems = read_catalogue(catalogue.text, catalogue.path, catalogue.sha256)
    folder.problems += problems
    report_unnamed_logs(folder, (entry.file for entry in entries))
    logs = tuple(
        memory.recall(("log", repr(entry), stamps([path])), partial(read_log, path, entry, name=f"logs/{entry.file}"))
        for entry in entries
        if (path := folder.path(f"logs/{entry.file}")) is not None
    )
    folder.problems += [problem for log in logs for problem in log.problems]
    return logs


def _log_statements(
    folder: Folder, logs: tuple[Log, ...], accuracies: Instruments, memory: Memory
) -> tuple[Statement, ...]:
    read = (log_statements, repr(accuracies), tuple((repr(log.entry), log.sha256) for log in logs))
    found: tuple[tuple[Statement, ...], tuple[Problem, ...]]
    found = memory.recall(read, partial(log_statements, logs, accuracies))
    folder.problems += found[1]
    return found[0]
