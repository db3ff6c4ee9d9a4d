"""The bibliography and the tables: complete, consistent, cited by what exists."""

from itertools import pairwise
from typing import Any

import numpy as np
import pytest

import partingline.calc  # noqa: F401
from partingline.calc.declare import CALCULATIONS
from partingline.sources import cite, documents
from partingline.sources.supply_limits import supply_limit
from partingline.sources.tables import derating_citation, table, touch_temperature_citation

CREEPAGE = {name: column for name, column in table("iec60664")["creepage"].items() if name != "v_rms"}
COLUMNS = [
    (programme, metric, supply_class)
    for programme, held in table("eps_efficiency").items()
    for metric, columns in held.items()
    if isinstance(columns, dict)
    for supply_class in columns
]


def test_every_document_says_what_is_held_of_it() -> None:
    for document in documents().values():
        assert document.title, document.id
        assert document.holds.endswith((".", ")")), document.id


def test_an_unknown_document_is_answered_with_the_nearest() -> None:
    with pytest.raises(KeyError, match="iec-60664-1-2020"):
        cite("iec-60664-1")
    with pytest.raises(ValueError, match="S2"):
        cite("jcgm-100", mark="X")


def test_memory_and_practice_are_indicative() -> None:
    assert cite("from-memory", mark="M").indicative
    assert cite("common-practice", mark="P").indicative
    assert not cite("jcgm-100", mark="S2").indicative


@pytest.mark.parametrize("id_", CALCULATIONS)
def test_calculations_from_memory_do_not_claim_more(id_: str) -> None:
    source = CALCULATIONS[id_].source
    if source.document in ("from-memory", "common-practice"):
        assert source.indicative


@pytest.mark.parametrize("column", COLUMNS, ids="/".join)
def test_bands_rise_and_end(column: tuple[str, str, str]) -> None:
    limit = supply_limit(*column)
    edges = [band.to for band in limit.bands]
    assert edges == sorted(set(edges))
    powers = np.linspace(0.5, 250, 2000)
    values = limit(powers)
    assert np.isfinite(values).all()
    inside = values < 1.01 if column[1] == "no-load" else (values > 0) & (values < 0.9)
    assert inside.all()


def test_an_unknown_programme_or_class_is_answered_with_what_there_is() -> None:
    with pytest.raises(KeyError, match="us-level-vi"):
        supply_limit("us-level-vii", "average", "basic")
    with pytest.raises(KeyError, match="average/basic"):
        supply_limit("coc-v5-tier2", "average", "ac-ac")


@pytest.mark.parametrize("name", CREEPAGE)
def test_creepage_columns_are_whole_and_rise(name: str) -> None:
    rows = table("iec60664")["creepage"]["v_rms"]
    assert len(CREEPAGE[name]) == len(rows)
    assert CREEPAGE[name] == sorted(CREEPAGE[name])


def test_creepage_columns_keep_their_order() -> None:
    """Worse pollution and worse material never need less; printed wiring never more than the open column."""
    for order in (("pd2-I", "pd2-II", "pd2-III"), ("pd3-I", "pd3-II", "pd3-III"), ("pd1", "pd2-I", "pd3-I"),
                  ("board-pd1", "board-pd2", "pd2-III"), ("board-pd1", "pd1", "pd2-I")):  # fmt: skip
        for narrow, wide in pairwise(order):
            assert all(a <= b for a, b in zip(CREEPAGE[narrow], CREEPAGE[wide], strict=True)), (narrow, wide)


@pytest.mark.parametrize(
    "columns",
    [
        [table("iec60664")["rated_impulse"][name] for name in ("up_to", "I", "II", "III", "IV")],
        [table("iec60664")["clearance"][name] for name in ("impulse_kv", "pd1", "pd2", "pd3")],
        [table("iec60664")["altitude"][name] for name in ("metre", "factor")],
        [table("iec62368")["charged_capacitor"][name] for name in ("nf",)],
        [table("iec62368")["clearance_by_withstand"][name] for name in ("withstand", "basic", "reinforced")],
    ],
)
def test_tables_are_whole_and_rise(columns: list[list[Any]]) -> None:
    assert len({len(column) for column in columns}) == 1
    assert all(column == sorted(column) for column in columns)


def test_each_category_is_one_preferred_step_from_the_next() -> None:
    """IEC 60664-1, Table F.1 is built so."""
    rows = table("iec60664")["rated_impulse"]
    steps = rows["preferred"]
    for lower, higher in (("I", "II"), ("II", "III"), ("III", "IV")):
        for a, b in zip(rows[lower], rows[higher], strict=True):
            assert steps.index(b) - steps.index(a) == 1


def test_rows_know_how_they_were_read() -> None:
    assert touch_temperature_citation("plastic", "1 s to 10 s").mark == "S2"
    assert touch_temperature_citation("glass", "1 s to 10 s").indicative
    assert derating_citation("riac-benign").mark == "S2"
    assert derating_citation("ecss").indicative
    assert supply_limit("coc-v5-tier2", "average", "low-voltage").citation.indicative
    assert not supply_limit("us-level-vi", "average", "basic").citation.indicative
