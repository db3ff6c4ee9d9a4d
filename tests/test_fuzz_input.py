"""`unit.toml`, `parts.csv` and `photos/marks.json` with random damage: nothing raises, and no byte changes.

Own definition (docs/unit-folder.md); the damage is what editors and half-finished edits leave (common practice, no
source).
"""

import json
import tempfile
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from .demo_unit import TERN, judged, tree_hash

UNIT = (TERN / "unit.toml").read_text("utf-8")
PARTS = (TERN / "parts.csv").read_text("utf-8")
SIGNS = st.sampled_from(
    [
        *(
            "",
            '"',
            '"""',
            "'",
            "[",
            "]",
            "[[",
            "]]",
            "=",
            "#",
            "\n",
            "\n\n",
            ";",
            ",",
            ":",
            "@",
            "/",
            "\\",
            "\0",
            "\ufeff",
        ),
        *(
            "[port]",
            "[[port]]",
            "[unit]",
            "nan",
            "-inf",
            "1e400",
            "9" * 40,
            "0x",
            "true",
            "2026-13-01",
            "{ }",
            "± 0",
            "-1",
        ),
    ]
)


@st.composite
def damaged(draw: st.DrawFn, text: str) -> str:
    """The text with up to six edits: a stretch dropped, repeated, moved or replaced by signs that mean something."""
    for _ in range(draw(st.integers(1, 6))):
        start = draw(st.integers(0, len(text)))
        stop = min(len(text), start + draw(st.integers(0, 60)))
        kind = draw(st.sampled_from(["drop", "repeat", "sign", "swap case"]))
        stretch = text[start:stop]
        put = {"drop": "", "repeat": stretch * 2, "sign": draw(SIGNS), "swap case": stretch.swapcase()}[kind]
        text = text[:start] + put + text[stop:]
    return text


def read(name: str, text: str) -> list[str]:
    """Problems of a folder that holds one file; the rules run too."""
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        (root / "photos").mkdir()
        (root / name).write_bytes(text.encode("utf-8", "surrogatepass"))
        before = tree_hash(root)
        opened, findings = judged(root)
        assert tree_hash(root) == before
        assert [f.text for f in findings if "could not be applied" in f.text] == []
        return [str(problem) for problem in opened.problems]


@settings(max_examples=70)
@given(damaged(UNIT))
@example("[[[[")
@example("x = " + "[" * 400 + "]" * 400)
@example("x = " + "[" * 5000)
@example("x = " + "9" * 5000)
@example('[unit]\nnotes = """\n' * 30)
@example('unit = 3\nport = "C1"\nreading = [1]\nassume = { x = 1 }\nprefer = [[]]\ninstrument = { A = 1 }\nbody = []')
@example('[[port]]\nid = "C1"\noffers = ["0x00000000", "0xFFFFFFFF", "", "PPS", "0V 0A", "PPS 21-5V 3A", "1e400V 1A"]')
@example('[[reading]]\nsubject = ""\nquantity = "mass"\nvalue = "1 g"\nat = { load = "nan" }')
@example('[[reading]]\nsubject = "barrier:main"\nquantity = "material_group"\nvalue = "IV"')
@example('[[reading]]\nsubject = "barrier:main"\nquantity = "pollution_degree"\nvalue = "7"')
@example('[body]\nlength = "0 mm"\nwidth = "0 mm"\nheight = "0 mm"\nmass = "-3 g"')
def test_unit_file(text: str) -> None:
    read("unit.toml", text)


@settings(max_examples=70)
@given(damaged(PARTS))
@example("ref;quantity\nC1;" + "9" * 400 + "\nC2;1e9\nC3;-1\nC4;²\n")
@example('ref,value\n"C1,1\nC2,2\nC3,3\n')
@example("ref\n" + "x" * 200_000)
@example("sep=;\n")
@example("ref,kind,value,marking\nC1,capacitor,1 µF,\nC2,capacitor,,\0\n")
def test_parts(text: str) -> None:
    read("parts.csv", text)


@settings(max_examples=60)
@given(
    st.recursive(
        st.none()
        | st.booleans()
        | st.floats()
        | st.text(max_size=8)
        | st.sampled_from(["xwyh=pixel:1,2,3,4", "part:C3"]),
        lambda inner: (
            st.lists(inner, max_size=3)
            | st.dictionaries(
                st.sampled_from(["target", "source", "selector", "type", "value", "body", "items"]), inner
            )
        ),
        max_leaves=12,
    )
)
def test_marks(value: object) -> None:
    read("photos/marks.json", json.dumps(value))


@pytest.mark.parametrize("text", ["[" * 3000, "[" + "9" * 5000 + "]", '["\\ud800"]', "nul", '{"items": 3}'])
def test_marks_that_are_no_marks(text: str) -> None:
    assert any("photos/marks.json" in problem for problem in read("photos/marks.json", text))


def test_open_quote_in_the_parts_does_not_swallow_the_rest() -> None:
    """RFC 4180 would take all that follows for one cell; here the rows stay rows, and the place is told."""
    problems = read("parts.csv", 'ref,kind,value\nC1,capacitor,"1 µF\nC2,capacitr,2 µF\n')
    assert any("row" in problem and "never closed" in problem for problem in problems)
    assert any("'capacitr'" in problem for problem in problems)
