"""What lies in the folder without anyone being told what it is, and names that lead to nothing: said, never guessed."""

from collections.abc import Iterable, Mapping
from difflib import get_close_matches

from partingline.facts.book import Preferences
from partingline.facts.statements.captures import Captures, port_of
from partingline.model import Evidence, Key, Problem, Route, Statement, Unit
from partingline.readers.folder import Folder
from partingline.readers.recordings import DATA, META

KINDS = ("unit", "port", "ports", "part", "face", "stage", "barrier", "capture", "model")
_TABLES = {"port": "a [[port]] table in unit.toml", "part": "a row in parts.csv"}


def report_folders_for_files(folder: Folder) -> None:
    """Folders that have the name of a file, as `words/captions.vtt`."""
    told = {problem.evidence.path for problem in folder.problems}
    for room in ("captures", "logs", "photos", "words"):
        for path in sorted(folder.entries(room)):
            name = path.relative_to(folder.root).as_posix()
            if path.is_dir() and path.suffix and name not in told:
                folder.report(name, "no file but a folder", f"a {path.suffix} file", "Move it away.", loses=False)


def report_unnamed_logs(folder: Folder, named: Iterable[str]) -> None:
    """Logs of which `logs.toml` says nothing."""
    known = {f"logs/{name}" for name in named}
    for name in folder.names("logs", ".csv", ".tsv", ".txt", ".xlsx", ".sigmf-meta"):
        if name not in known:
            table = f'[[log]] with file = "{name.removeprefix("logs/")}" in logs/logs.toml'
            folder.report(name, "a log that logs/logs.toml does not name", table, "Add it, with kind and conditions.")


def report_lonely_captures(folder: Folder, captures: Captures, told: Mapping[str, str], unit: Unit) -> None:
    """Recordings without their metadata, those that hold no message, and those that belong to no port."""
    for name in folder.names("captures", DATA):
        meta = name.removesuffix(DATA) + META
        if not folder.has(meta):
            step = "Copy it in; without it rate and channels are unknown."
            folder.report(name, "a recording without its metadata", meta, step)
    for name, capture in captures.items():
        if capture.kind != "unreadable" and not capture.frames and not capture.pasted_offers:
            samples = name.replace(META, DATA)
            expected, step = "a recording of the wire while something is plugged in", "Is it the right file, and whole?"
            folder.report(samples, "no message in it", expected, step)
        if capture.conversation.offers and port_of(name, unit.ports, told.get(name, "")) is None:
            ports = ", ".join(port.id for port in unit.ports) or "none is told in unit.toml"
            expected = f"partingline:port in the metadata, or a file name with the port's ({ports}), as c1-attach"
            folder.report(name, "a recording of no known port", expected, "Name the port, or add it to unit.toml.")


def report_unmet_preferences(
    folder: Folder, preferences: Preferences, statements: Iterable[Statement], at: Mapping[Key, Evidence]
) -> None:
    """A preferred route by which nothing is said; computed ones are known only later."""
    routes: dict[Key, set[Route]] = {}
    for statement in statements:
        routes.setdefault(statement.key, set()).add(statement.route)
    for key, (route, _) in preferences.items():
        if route is not Route.COMPUTED and route not in routes.get(key, set()):
            said = ", ".join(sorted(routes.get(key, set()))) or "nothing"
            place, found = at[key], f"'{key.id}' is not known by the route '{route}'"
            folder.report(
                place.path, found, f"a route by which it is known: {said}", "Correct the choice.", place.place
            )


def report_unknown_subjects(folder: Folder, unit: Unit, told: Iterable[tuple[str, Evidence]]) -> None:
    """Subjects that are no part, port or kind of subject of the unit, each once."""
    known = {
        "port": [port.id for port in unit.ports],
        "part": [part.ref for part in unit.parts],
    }
    seen: set[str] = set()
    for subject, evidence in told:
        kind, _, name = subject.partition(":")
        if subject in seen or (kind in KINDS and name in known.get(kind, [name])):
            continue
        seen.add(subject)
        choices = known.get(kind, []) if kind in KINDS else KINDS
        near = get_close_matches(name if kind in KINDS else kind, choices, n=1)
        expected = _TABLES.get(kind, f"one of {', '.join(KINDS)}, as port:C1 or part:C3")
        step = f"Did you mean '{near[0]}'?" if near else "Correct the name, or add what it names."
        folder.report(evidence.path, f"'{subject}' is not known", expected, step, evidence.place, loses=False)


def failure_problem(key_name: str, message: str, inputs: Iterable[Evidence]) -> Problem:
    """A calculation that refused its inputs, said at the first of them that stands in a file."""
    place = next((evidence for evidence in inputs if evidence.sha256), Evidence("unit.toml", ""))
    found = f"{key_name} could not be computed: {message}"
    return Problem(place, found, "values that the calculation accepts", "Correct the value that it was given.")
