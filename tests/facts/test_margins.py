"""Shares of ratings on the demonstration against hand calculation, and against what published rules say of them."""

from pathlib import Path

import pytest

from partingline.facts.draws import Draws
from partingline.facts.opened import Opened, open_unit
from partingline.findings.rating_rules import rule_sets, ruled_stresses
from partingline.model import Key


@pytest.fixture(scope="module")
def demo() -> Opened:
    return open_unit(Path(__file__).parents[2] / "demo" / "tern-65", Draws(50))


USED = {
    ("BR1", "voltage"): 264 * 2**0.5 / 800,
    ("C3", "voltage"): 264 * 2**0.5 / 400,
    ("Q1", "voltage"): 511 / 650,
    ("Q4", "voltage"): 106.2 / 150,
    ("C1", "voltage"): 264 / 310,
    ("Q6", "current"): 3.25 / 20,
    ("J1", "current"): 3.25 / 5,
    ("J2", "current"): 3.0 / 3,
}
"""Crest of 264 V, readings of the scope, and offers, over the ratings in the part list; worked by hand."""


@pytest.mark.parametrize(("ref", "of"), USED)
def test_shares_of_ratings(demo: Opened, ref: str, of: str) -> None:
    fact = demo.book.fact(Key.of(f"part:{ref}", "rating_used", state=of))
    assert fact is not None
    assert fact.value == pytest.approx(USED[ref, of], rel=1e-6)


def test_every_rule_set_is_named_with_its_document_and_mark(demo: Opened) -> None:
    assert len(rule_sets()) == 6
    seen = {one.citation.document for stress in ruled_stresses(demo.unit, demo.book) for one in stress.allowed}
    assert seen == {"riac-derating", "navsea-sd-18", "ecss-q-st-30-11c", "ipc-9592"}
    memory = {
        one.citation.document
        for stress in ruled_stresses(demo.unit, demo.book)
        for one in stress.allowed
        if one.citation.indicative
    }
    assert memory == {"ecss-q-st-30-11c", "ipc-9592"}
