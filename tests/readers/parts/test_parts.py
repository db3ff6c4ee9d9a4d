"""`parts.csv` as spreadsheets write it. Sources: RFC 4180 (quoting); ="..." and sep= are common practice; the
rest is own definition in docs/unit-folder.md. The csv module writes the round trip.
"""

import csv
import io
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from partingline.model import Cell
from partingline.readers.folder import Folder
from partingline.readers.parts import PartRow, read_parts
from partingline.readers.parts.table import rows, sniff_delimiter


def read(folder: Path, text: str | bytes) -> tuple[tuple[PartRow, ...], list[str]]:
    (folder / "parts.csv").write_bytes(text if isinstance(text, bytes) else text.encode())
    opened = Folder(folder)
    return read_parts(opened), [str(problem) for problem in opened.problems]


DIALECTS = {
    "comma": "ref,kind,value\nC3,capacitor,82 µF\n",
    "semicolon": "ref;kind;value\nC3;capacitor;82 µF\n",
    "tab": "ref\tkind\tvalue\nC3\tcapacitor\t82 µF\n",
    "named": "sep=;\nref;kind;value\nC3;capacitor;82 µF\n",
    "byte-order mark": "\ufeffref;kind;value\r\nC3;capacitor;82 µF\r\n",
    "utf-16": "ref\tkind\tvalue\nC3\tcapacitor\t82 µF\n",
    "quoted": '"ref";"kind";"value"\n"C3";"capacitor";"82 µF"\n',
    "formula": 'ref,kind,value\n="C3",="capacitor",="82 µF"\n',
    "formula as written out": 'ref,kind,value\n"=""C3""",capacitor,"=""82 µF"""\n',
    "apostrophe": "ref,kind,value\n'C3,capacitor,'82 µF\n",
    "blanks": " Ref , KIND ,Value\n\n  C3 ,\u00a0capacitor , 82 µF \n,,\n\n",
    "old line ends": "ref,kind,value\rC3,capacitor,82 µF\r",
    "other order": "value,kind,designator\n82 µF,capacitor,C3\n",
}


@pytest.mark.parametrize("dialect", DIALECTS)
def test_dialects(dialect: str, tmp_path: Path) -> None:
    text = DIALECTS[dialect]
    found, problems = read(tmp_path, text.encode("utf-16") if dialect == "utf-16" else text)
    assert problems == []
    assert [(row.refs, row["kind"], row["value"]) for row in found] == [(("C3",), "capacitor", "82 µF")]


def test_rows_are_counted_as_a_spreadsheet_does(tmp_path: Path) -> None:
    for head in ("", "sep=,\n"):
        found, _ = read(tmp_path, head + 'ref,note\nC1,"two\nlines"\n\nC2,\n')
        assert [row.row for row in found] == [2, 4]
        assert found[1].at("note").place == Cell(4, "note")
        assert found[0]["note"] == "two\nlines"


def test_decimal_comma_comes_with_semicolons(tmp_path: Path) -> None:
    assert read(tmp_path, "ref;value\nF1;3,15 A\n")[0][0].decimal_comma
    assert not read(tmp_path, "ref,value\nF1,3.15 A\n")[0][0].decimal_comma


@pytest.mark.parametrize(
    ("text", "refs", "told"),
    [
        ("ref\nC1\nC1\n", [("C1",)], "C1 stands in row 2 too"),
        ('ref\n"C1,C2"\n"C2,C3"\n', [("C1", "C2"), ("C3",)], "C2 stands in row 2 too"),
        ('ref\n"C3,C3"\n', [("C3",)], "C3 stands in row 2 too"),
        ("ref,kind\n,fuse\n", [], "a row without a ref"),
        ("ref,kind\nC@1,fuse\n", [], "a ref without @ : ="),
        ("ref,kind\nC1,fuse,more,\n", [("C1",)], "1 cells more"),
        ("ref,knd\nC1,x\n", [("C1",)], "Did you mean 'kind'?"),
        ("ref,kind,kind\nC1,a,b\n", [("C1",)], "stands twice"),
        ("kind\nfuse\n", [], "no column 'ref'"),
        ("ref,quantity\nC1,two\n", [("C1",)], "a whole number"),
        ("ref,quantity\nC1,0\n", [("C1",)], "a whole number"),
        ('ref,quantity\n"C1,C2",3\n', [("C1", "C2")], "or a multiple"),
        ('ref,note\nC1,"open\nC2,x\n', [("C1",), ("C2",)], "never closed"),
    ],
)
def test_faults_are_said_and_the_rest_is_read(
    text: str, refs: list[tuple[str, ...]], told: str, tmp_path: Path
) -> None:
    found, problems = read(tmp_path, text)
    assert [row.refs for row in found] == refs
    assert any(told in problem and "row" in problem for problem in problems), problems


@pytest.mark.parametrize(
    ("refs", "quantity", "each"),
    [("C1", "", 1), ("C1", "2", 2), ("C1", "2,0", 2), ("C1 C2", "2", 1), ("C1/C2", "4", 2), ("C1;C2", "1", 1)],
)
def test_equal_parts(refs: str, quantity: str, each: int, tmp_path: Path) -> None:
    found, problems = read(tmp_path, f'ref;quantity\n"{refs}";{quantity}\n')
    assert (found[0].count, problems) == (each, [])


CELLS = st.text(st.sampled_from('aB1 ,;"\n=µ±\t'), max_size=6)


@settings(max_examples=80)
@given(st.lists(st.lists(CELLS, min_size=3, max_size=3), min_size=1, max_size=4), st.sampled_from(",;\t"))
def test_what_the_csv_module_writes_is_read(table: list[list[str]], delimiter: str) -> None:
    stream = io.StringIO()
    csv.writer(stream, delimiter=delimiter, lineterminator="\n", quoting=csv.QUOTE_ALL).writerows(table)
    found = [cells for _, cells in rows(stream.getvalue(), delimiter, lambda row, what: pytest.fail(what))]
    expected = [[_bare(cell) for cell in line] for line in table]
    assert found == [line for line in expected if any(line)]


def _bare(cell: str) -> str:
    cell = cell.strip()
    inner = cell[2:-1].replace('""', '"') if cell.startswith('="') and cell.endswith('"') and len(cell) > 2 else cell
    return inner


def test_delimiter_is_that_of_the_header() -> None:
    assert sniff_delimiter("ref;note\nC1;a,b,c,d,e\n") == ";"
    assert sniff_delimiter('"a;b;c",x\n') == ","
    assert sniff_delimiter("ref\n") == ","
    assert sniff_delimiter("SEP=|\nref|x\n") == "|"
