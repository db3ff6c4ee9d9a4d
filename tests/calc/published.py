"""A published number beside what the calculations make of the published inputs."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest


@dataclass(frozen=True)
class Published:
    """One printed number of a document.

    `printed` is the number as printed, `within` the relative half-width that its printed digits or the document's own
    rounding leave. Where the document is wrong or simplifies, `exact` is what its inputs give, and `why` says so; then
    the printed number must lie outside `within` of it, or the note is out of date.
    """

    document: str
    quantity: str
    printed: float
    within: float
    compute: Callable[[], Any]
    exact: float | None = None
    why: str = ""

    def __str__(self) -> str:
        return f"{self.document}: {self.quantity}"

    def check(self) -> None:
        """Assert that the calculation gives the printed number, or the exact one where the printed one is off."""
        got = float(self.compute())
        if self.exact is None:
            assert got == pytest.approx(self.printed, rel=self.within), str(self)
        else:
            assert self.why
            assert got == pytest.approx(self.exact, rel=2e-3), str(self)
            assert got != pytest.approx(self.printed, rel=self.within), f"{self}: no longer off"
