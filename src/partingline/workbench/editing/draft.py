"""Whether a file would still be read as well as before: the folder's own readers look at the new text."""

from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

from partingline.model import Problem
from partingline.readers.folder import TEXT_LIMIT, Folder, TextFile
from partingline.readers.logs import read_catalogue
from partingline.readers.parts import read_parts
from partingline.readers.photos import read_marks
from partingline.readers.unitfile import read_unit_file
from partingline.workbench.editing.outcome import RefusedError


def hold_readable(root: Path, file: str, before: str, after: str) -> None:
    """RefusedError with the reader's own words where the new text loses something that the old one did not."""
    if len(after.encode("utf-8", "surrogatepass")) > TEXT_LIMIT:
        raise RefusedError(file, "a text that is too large", f"at most {TEXT_LIMIT >> 20} MiB", "Shorten it.")
    if any("\ud800" <= character <= "\udfff" or character == "\0" for character in after):
        raise RefusedError(file, "half a character, or a zero byte", "text that UTF-8 can hold", "Type it anew.")
    known = Counter(_kind(problem) for problem in _problems(root, file, before))
    for problem in _problems(root, file, after):
        if known[_kind(problem)]:
            known[_kind(problem)] -= 1
        elif problem.loses:
            raise RefusedError(str(problem.evidence), problem.found, problem.expected, problem.next_step)


@dataclass
class _Draft(Folder):
    """A folder in which one file has another text, not yet written."""

    draft: dict[str, str] = field(default_factory=dict)

    def text(self, name: str, expected: str, *, needed: bool = False) -> TextFile | None:
        """The draft's text, or that of the folder."""
        if name not in self.draft:
            return super().text(name, expected, needed=needed)
        text = self.draft[name].removeprefix("\ufeff")
        return TextFile(name, text, "") if text.strip() else None

    def sha256(self, name: str) -> str:
        """No hash: a draft is no evidence."""
        return ""


def _problems(root: Path, file: str, text: str) -> list[Problem]:
    folder = _Draft(root, draft={file: text})
    if file == "unit.toml":
        read_unit_file(folder)
    elif file == "parts.csv":
        read_parts(folder)
    elif file == "photos/marks.json":
        read_marks(folder)
    elif file == "logs/logs.toml" and text.strip():
        return list(read_catalogue(text.removeprefix("\ufeff"), file, "")[1])
    return folder.problems


def _kind(problem: Problem) -> tuple[str, str]:
    return problem.found, problem.expected
