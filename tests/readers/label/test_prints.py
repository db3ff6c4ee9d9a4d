"""Invented label prints with expected statements. Their layout is common practice, no source."""

import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partingline.readers.label import Label, LabelStatement, read_label
from partingline.readers.label.characters import alike
from partingline.readers.quantities import Quantity

PRINTS = tomllib.loads((Path(__file__).parent / "prints.toml").read_text(encoding="utf-8"))["print"]
SEPARATORS = set(" \t,;:|/()[]{}<>-–—+&=⎓~.•·*_'\"’°®™#")


def brief(statement: LabelStatement) -> str:
    """A statement in the notation of prints.toml."""
    ports = f" [{('+' if statement.together else '/').join(statement.ports)}]" if statement.ports else ""
    if statement.offer is not None:
        offer = statement.offer
        members = [one for one in (offer.voltage, offer.current, offer.power) if one is not None]
        plain = [quantity(one).removesuffix(" dc").removesuffix(" ac") for one in members]
        return f"offer{ports} {offer.kind} {' '.join(plain)}"
    if not statement.quantities:
        return f"{statement.what}{ports}: {statement.words}"
    return f"{statement.what}{ports} {', '.join(quantity(one) for one in statement.quantities)}"


def quantity(one: Quantity) -> str:
    number = f"{one.low:g}..{one.high:g}" if one.sense == "within" else f"{one.value:g}"
    bound = {"at most": "<=", "at least": ">="}.get(one.sense, "")
    return f"{bound}{number} {one.unit} {one.form}".strip()


@pytest.mark.parametrize("case", PRINTS, ids=[case["name"] for case in PRINTS])
def test_print(case: dict[str, object]) -> None:
    label = read_label(str(case["text"]))
    assert [brief(statement) for statement in label.statements] == case["says"]
    assert [gap.text for gap in label.unread] == case.get("unread", [])
    problems = case.get("problems", [])
    assert isinstance(problems, list)
    assert len(label.problems) == len(problems)
    for problem, words in zip(label.problems, problems, strict=True):
        assert words in str(problem)


@pytest.mark.parametrize("case", PRINTS, ids=[case["name"] for case in PRINTS])
def test_every_place_is_where_it_says(case: dict[str, object]) -> None:
    text = str(case["text"])
    places(read_label(text), text)


def places(label: Label, text: str) -> None:
    """Each place is right, and together they cover every character that is not a separator."""
    lines = text.splitlines()
    left = [list(line) for line in lines]
    for place in (*label.statements, *label.context, *label.unread):
        left[place.line - 1][place.start : place.end] = " " * (place.end - place.start)
        assert lines[place.line - 1][place.start : place.end] == place.text
        assert place.text
    for problem in label.problems:
        assert problem.found in lines[problem.line - 1]
    assert {character for line in left for character in alike("".join(line))} <= SEPARATORS


def test_a_range_without_kind_is_noted() -> None:
    assert "taken for PPS" in read_label("OUTPUT: 3.3-11V⎓3A").statements[0].notes[0]


def test_a_current_on_the_next_line_is_noted() -> None:
    statement = read_label("OUTPUT: 9V⎓\n3A").statements[0]
    assert statement.notes == ("Its current stands on line 2.",)


def test_the_file_is_large_enough() -> None:
    assert len(PRINTS) >= 40


NUMBERS = st.sampled_from(["5V", "9V", "20V", "3A", "3.25A", "65W", "100-240V~", "50/60Hz", "3.3-11V", "1OOV", "12"])
WORDS = st.sampled_from(
    ["INPUT:", "OUTPUT:", "USB-C1:", "C1+A1:", "PPS", "Total", "VI", "CE", "(", ")", "/", "⎓", "=", "smart"]
)
LABELS = st.lists(st.one_of(NUMBERS, WORDS, st.just("\n"), st.text(max_size=3)), max_size=25).map(" ".join)


@given(LABELS)
def test_nothing_is_lost(text: str) -> None:
    places(read_label(text), text)


@given(st.text(max_size=60))
def test_any_text_is_read_without_failing(text: str) -> None:
    places(read_label(text), text)


@given(
    st.lists(st.tuples(st.sampled_from([5, 9, 12, 15, 20, 28, 48]), st.integers(5, 100)), min_size=1, max_size=6),
    st.sampled_from(["⎓", "=", "---", " ", "⎓ "]),
    st.sampled_from([" ", ", ", "/", " / ", "\n"]),
)
def test_offers_round_trip(offers: list[tuple[int, int]], sign: str, gap: str) -> None:
    written = gap.join(f"{volts}V{sign}{amps / 20:g}A" for volts, amps in offers)
    label = read_label(f"OUTPUT: {written}")
    read = [
        (one.offer.voltage.value, one.offer.current.value)
        for one in label.all("offer")
        if one.offer and one.offer.current
    ]
    assert read == [(float(volts), pytest.approx(amps / 20)) for volts, amps in offers]
    assert label.unread == ()
