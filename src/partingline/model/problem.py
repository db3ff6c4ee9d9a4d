"""What was wrong with a file, said so that it can be put right."""

from dataclasses import dataclass

from partingline.model.evidence import Evidence


@dataclass(frozen=True, slots=True)
class Problem:
    """A place that could not be read, what was expected there, and the next step.

    `loses` says whether something the person wrote could not be used (True) or it is only a remark (False).
    """

    evidence: Evidence
    found: str
    expected: str
    next_step: str
    loses: bool = True

    def __str__(self) -> str:
        return f"{self.evidence}: {self.found}; expected {self.expected}. {self.next_step}"
