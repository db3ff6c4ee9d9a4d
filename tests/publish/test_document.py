"""Anchors and refs of the document."""

import pytest

from partingline.publish.anchors import anchors, by_link, unresolved_refs
from partingline.publish.document import Amount, Document, Kind, Paragraph, Section, Span, amount_spans, plain
from tests.publish.nasty import nasty
from tests.publish.sample import sample


def _document(*sections: Section) -> Document:
    return Document("t", "", (), sections)


def test_anchors_are_plain_and_unique_and_stable() -> None:
    ids = ("port:C1/current@output_voltage=20", "port:C1/current@output_voltage:20", "20 V", "", "content")
    names = anchors(_document(*(Section(identity, "s", ()) for identity in ids)))
    assert len(set(names.values())) == len(ids)
    assert all(name.isascii() and name.replace("-", "").isalnum() and name[0].isalpha() for name in names.values())
    assert "content" not in names.values()
    assert names == anchors(_document(*(Section(identity, "s", ()) for identity in ids)))


def test_an_id_that_stands_twice_is_named() -> None:
    with pytest.raises(ValueError, match="log 3"):
        anchors(_document(Section("log 3", "a", ()), Section("log 3", "b", ())))


def test_unresolved_refs_are_found_once_each() -> None:
    spans = (Span("1", "gone"), Span("2", "here"), Span("3", "gone"))
    assert unresolved_refs(_document(Section("here", "s", (Paragraph(spans),)))) == ("gone",)
    assert unresolved_refs(sample()) == ()
    assert "x" in unresolved_refs(nasty())


def test_an_amount_keeps_value_uncertainty_unit_and_suffix_apart() -> None:
    spans = amount_spans(Amount("3.61", "0.02", "A", "trips", "f"))
    assert [span.kind for span in spans] == [Kind.VALUE, Kind.U, Kind.UNIT, Kind.MUTED]
    assert (
        "".join(span.text for span in spans) == "3.61\N{NO-BREAK SPACE}±\N{NO-BREAK SPACE}0.02\N{NO-BREAK SPACE}A trips"
    )
    assert amount_spans(Amount("30", unit="°"))[1].text == "°"


def test_neighbours_with_one_ref_are_one_link() -> None:
    runs = list(by_link((*plain("a "), *amount_spans(Amount("1", "2", "V", "", "f")), *plain(" b"))))
    assert [first.ref for first, _ in runs] == [None, "f", None]
    assert len(runs[1][1]) == 3
