"""The PDF read back with pypdf: its tags (ISO 14289-1, PDF/UA-1), links, text, and that its bytes repeat."""

import hashlib
import io
import os
import subprocess
import sys
from pathlib import Path

import pytest
from pypdf import PdfReader

from partingline.publish import fonts
from partingline.publish.document import Document, Drawing, Figure, Section
from partingline.publish.pdf import render_pdf
from tests.publish.nasty import nasty
from tests.publish.sample import sample


@pytest.fixture(scope="module")
def data() -> bytes:
    return render_pdf(sample())


@pytest.fixture(scope="module")
def reader(data: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(data))


def test_two_runs_give_the_same_bytes(data: bytes) -> None:
    assert render_pdf(sample()) == data


def test_another_process_gives_the_same_bytes(data: bytes) -> None:
    program = (
        "import hashlib; from partingline.publish.pdf import render_pdf; from tests.publish.sample import sample; "
    )
    program += "print(hashlib.sha256(render_pdf(sample())).hexdigest())"
    root = Path(__file__).parents[2]
    paths = os.pathsep.join((str(root), str(root / "src")))
    environment = {**os.environ, "PYTHONHASHSEED": "7", "PYTHONPATH": paths, "TZ": "Asia/Tokyo"}
    done = subprocess.run([sys.executable, "-c", program], env=environment, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == hashlib.sha256(data).hexdigest()


def test_it_is_tagged_titled_and_in_a_language(data: bytes, reader: PdfReader) -> None:
    catalogue = reader.root_object
    assert catalogue["/MarkInfo"]["/Marked"]
    assert "/StructTreeRoot" in catalogue
    assert catalogue["/Lang"] == "en"
    assert catalogue["/ViewerPreferences"]["/DisplayDocTitle"]
    assert reader.metadata is not None
    assert reader.metadata.title == "Tern 65, two-port wall charger"
    assert reader.metadata.creation_date is None
    assert b"<pdfuaid:part>1</pdfuaid:part>" in data


def test_every_link_leads_to_a_page_of_the_file_or_to_a_cited_document(reader: PdfReader) -> None:
    links = [annotation.get_object() for page in reader.pages for annotation in page.get("/Annots", [])]
    cited = [link["/A"]["/URI"] for link in links if "/URI" in link.get("/A", {})]
    inside = [link for link in links if "/URI" not in link.get("/A", {})]
    assert cited == ["https://example.org/coc"]
    assert len(inside) > 40
    pages = {page.indirect_reference.idnum for page in reader.pages if page.indirect_reference}
    for link in inside:
        target = link["/Dest"] if "/Dest" in link else link["/A"]["/D"]
        if isinstance(target, str):
            target = reader.named_destinations[target].dest_array
        assert target[0].idnum in pages


def test_sections_are_bookmarks(reader: PdfReader) -> None:
    titles = [entry.title for entry in reader.outline if not isinstance(entry, list)]
    assert titles == [section.title for section in sample().sections]


def test_pages_are_numbered_and_carry_the_notice(reader: PdfReader) -> None:
    last = reader.pages[-1].extract_text()
    assert f"{len(reader.pages)} of {len(reader.pages)}" in last
    assert all("Invented demonstration unit" in page.extract_text() for page in reader.pages)


def test_numbers_keep_their_units_on_the_page(reader: PdfReader) -> None:
    text = " ".join("".join(page.extract_text() for page in reader.pages).split())
    assert "3.61 ± 0.02 A trips" in text.replace("\u00a0", " ")
    assert "25.8 ± 0.3 µF" in text.replace("\u00a0", " ").replace("μ", "µ")


def test_own_faces_are_embedded_where_they_were_built(reader: PdfReader) -> None:
    if fonts.print_folder() is None:
        pytest.skip("the faces were not built")
    names = {str(font.get_object()["/BaseFont"]) for page in reader.pages for font in _fonts(page).values()}
    assert any("Partingline-Serif" in name for name in names)
    assert any("Partingline-Figures" in name for name in names)


def _fonts(page: object) -> dict[str, object]:
    return page["/Resources"].get("/Font", {})  # type: ignore[index]


def test_nasty_texts_do_not_become_markup() -> None:
    data = render_pdf(nasty())
    text = "".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages)
    flat = "".join(text.split()).replace("\u200b", "")
    for words in ("<script>alert(1)</script>", "#setpage(width:1pt)$x$#panic()", "*bold*_it_", "@label<label>"):
        assert words in flat
    assert data == render_pdf(nasty())


def test_without_built_faces_it_is_still_set(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(fonts, "FONTS", tmp_path)
    reader = PdfReader(io.BytesIO(render_pdf(sample())))
    assert "Tern 65" in reader.pages[0].extract_text()


def test_a_drawing_without_a_shape_is_refused() -> None:
    figure = Figure("f", "", Drawing("<svg/>"), (), "nothing")
    with pytest.raises(ValueError, match="viewBox"):
        render_pdf(Document("t", "", (), (Section("s", "s", (figure,)),)))
