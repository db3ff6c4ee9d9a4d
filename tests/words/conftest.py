"""The demonstration unit, opened once, and its publication in three languages."""

from pathlib import Path

import pytest

from partingline.facts.opened import Opened, open_unit
from partingline.findings import Case, run
from partingline.model import Finding
from partingline.publish.article import read_profile
from partingline.publish.article.package import publication

DEMO = Path(__file__).parents[2] / "demo" / "tern-65"
DAY = "2026-11-25"


@pytest.fixture(scope="session")
def demo() -> Opened:
    """The demonstration unit with its captions."""
    return open_unit(DEMO)


@pytest.fixture(scope="session")
def findings(demo: Opened) -> tuple[Finding, ...]:
    """All findings of the demonstration unit."""
    return run(Case(demo.unit, demo.book, captures=demo.captures))


@pytest.fixture(scope="session", params=["en", "de", "zh-Hans"])
def published(request: pytest.FixtureRequest, demo: Opened, findings: tuple[Finding, ...]) -> dict[str, bytes]:
    """The files of a publication; `language` is written into them as a marker for the tests."""
    files = publication(demo, findings, read_profile(tag=request.param), day=DAY)
    return {**files, "language": request.param.encode()}
