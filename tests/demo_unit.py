"""The demonstration unit for tests of the core: copies of it, read and judged, and what its bytes are."""

import hashlib
import shutil
from pathlib import Path

from partingline.facts.draws import Draws
from partingline.facts.opened import Opened, open_unit
from partingline.findings import Case, run
from partingline.model import Finding, Key, Route, Statement

TERN = Path(__file__).resolve().parents[1] / "demo" / "tern-65"
FEW = 40
"""Draws: enough to see who moves whom, few enough to be quick."""


def copy_of_unit(target: Path) -> Path:
    """A copy of the demonstration unit."""
    return Path(shutil.copytree(TERN, target / "tern-65"))


def judged(root: Path) -> tuple[Opened, tuple[Finding, ...]]:
    """A folder read and judged by every rule."""
    opened = open_unit(root, Draws(FEW))
    return opened, run(Case(opened.unit, opened.book, captures=opened.captures))


def tree_hash(root: Path) -> dict[str, str]:
    """Digest of every file below a folder (of the first and last MiB and the size, for enormous ones)."""
    return {path.relative_to(root).as_posix(): _digest(path) for path in sorted(root.rglob("*")) if path.is_file()}


def said(opened: Opened) -> dict[str, set[tuple[Key, Route, object]]]:
    """Everything that was said, by the file that it rests on first; without what was spoken, whose figures are bound by
    all the other facts (tests/words), and what was computed from several files, as the circuit of a port."""
    found: dict[str, set[tuple[Key, Route, object]]] = {}
    for statement in statements(opened):
        heard = statement.route not in (Route.SPOKEN, Route.COMPUTED)
        if heard and statement.evidence and statement.evidence[0].sha256:
            found.setdefault(statement.evidence[0].path, set()).add((statement.key, statement.route, statement.value))
    return found


def statements(opened: Opened) -> list[Statement]:
    """All statements of all facts."""
    return [statement for fact in opened.book.facts() for statement in fact.statements]


def _digest(path: Path) -> str:
    size = path.stat().st_size
    with path.open("rb") as stream:
        if size <= 32 << 20:
            return hashlib.sha256(stream.read()).hexdigest()
        head = stream.read(1 << 20)
        stream.seek(-(1 << 20), 2)
        return hashlib.sha256(head + stream.read()).hexdigest() + str(size)
