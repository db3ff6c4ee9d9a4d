"""Power data objects: words both ways, and offers as people write them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partingline.readers.cc.objects import (
    Battery,
    EprAvs,
    FixedSource,
    Pdo,
    Pps,
    ReservedPdo,
    SprAvs,
    Variable,
    decode_pdo,
    encode_pdo,
    parse_offer,
)

OFFERS: list[tuple[str, Pdo]] = [
    ("5V 3A", FixedSource(5, 3)),
    ("5V⎓3A", FixedSource(5, 3)),
    ("20 V 3.25 A", FixedSource(20, 3.25)),
    ("20,0 V / 3,25 A", FixedSource(20, 3.25)),
    ("9V=2.22A", FixedSource(9, 2.22)),
    ("Fixed: 12 volts 1.5 amps", FixedSource(12, 1.5)),
    ("PPS 5-21V 3.25A", Pps(5, 21, 3.25)),
    ("PPS 3.3–11V⎓5A", Pps(3.3, 11, 5)),
    ("pps: 3.3 V to 5.9 V, 3 A".replace(", ", " "), Pps(3.3, 5.9, 3)),
    ("5-11 V 3 A PPS", Pps(5, 11, 3)),
    ("AVS 15-28V 140W", EprAvs(15, 28, 140)),
    ("EPR AVS 15–48 V 240 W", EprAvs(15, 48, 240)),
    ("9-15V 3A SPR AVS", SprAvs(3)),
    ("SPR AVS 9-15 V 3 A, 15-20 V 3.25 A", SprAvs(3, 3.25)),
    ("SPR AVS 9-20 V 3 A", SprAvs(3, 3)),
    ("Battery 9-21 V 45 W", Battery(9, 21, 45)),
    ("Variable 9-21V 3A", Variable(9, 21, 3)),
    ("0x0801912C", FixedSource(5, 3, unconstrained=True)),
    ("0801912c", FixedSource(5, 3, unconstrained=True)),
    ("c1a43241", Pps(5, 21, 3.25)),
]


@pytest.mark.parametrize(("text", "expected"), OFFERS, ids=[text for text, _ in OFFERS])
def test_offer_as_typed(text: str, expected: Pdo) -> None:
    assert parse_offer(text) == expected


@pytest.mark.parametrize(
    ("text", "tells"),
    [
        ("", "expected one of"),
        ("fast", "expected one of"),
        ("20 V 65 W", "expected one of"),
        ("5-21 V 3 A", "needs its kind"),
        ("PPS 21-5 V 3 A", "lower voltage first"),
        ("PPS 5-21 V 3.22 A", "use 3.2 or 3.25"),
        ("5.02 V 3 A", "use 5 or 5.05"),
        ("PPS 5-30 V 3 A", "does not fit"),
        ("SPR AVS 9-28 V 3 A", "SPR AVS ranges are"),
        ("PPS AVS 9-15 V 3 A", "more than one kind"),
        ("0x0801912", "expected one of"),
    ],
)
def test_offer_that_cannot_be_read(text: str, tells: str) -> None:
    with pytest.raises(ValueError, match=tells):
        parse_offer(text)


@given(st.integers(0, 0xFFFFFFFF), st.booleans(), st.sampled_from([2, 3]))
def test_every_word_survives(word: int, sink: bool, revision: int) -> None:
    assert encode_pdo(decode_pdo(word, sink=sink, revision=revision)) == word


@given(st.integers(0, 0xFFFFFFFF))
def test_text_of_offer_reads_back(word: int) -> None:
    """What the program prints can be typed in again (flags, peak codes and backward windows aside)."""
    pdo = decode_pdo(word)
    if pdo.kind in ("empty", "reserved") or pdo.min_v > pdo.max_v or isinstance(pdo, SprAvs):
        return
    again = parse_offer(pdo.text)
    assert (again.text, again.kind) == (pdo.text, pdo.kind)


@given(st.text(max_size=40))
def test_any_text_gives_an_object_or_a_told_error(text: str) -> None:
    fault = "expected"
    try:
        encode_pdo(parse_offer(text))
    except ValueError as problem:
        fault = str(problem)
    assert "expected" in fault or "step" in fault or "SPR AVS" in fault or "PPS" in fault


def test_augmented_object_is_reserved_in_revision_2() -> None:
    assert decode_pdo(0xC1A43241, revision=2) == ReservedPdo(0xC1A43241)


def test_word_out_of_range() -> None:
    with pytest.raises(ValueError, match="expected a number"):
        decode_pdo(1 << 32)


@pytest.mark.parametrize("pdo", [FixedSource(60, 3), FixedSource(5, 11), Pps(5, 21, 3.26), SprAvs(-1)])
def test_value_that_does_not_fit(pdo: Pdo) -> None:
    with pytest.raises(ValueError, match=r"fit|step"):
        encode_pdo(pdo)
