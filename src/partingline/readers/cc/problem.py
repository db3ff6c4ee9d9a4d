"""What is wrong with a file, told so that it can be mended."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Problem:
    """`place`: file and where in it; `found`, `expected`, `next_step`: sentences for a person."""

    place: str
    found: str
    expected: str
    next_step: str

    @property
    def text(self) -> str:
        """All of it in one line."""
        return f"{self.place}: {self.found}; expected {self.expected}. {self.next_step}"


class UnreadableError(Exception):
    """A file that cannot be read at all; carries every problem found."""

    def __init__(self, problems: list[Problem]) -> None:
        super().__init__("\n".join(problem.text for problem in problems))
        self.problems = tuple(problems)
