"""The card's PDF: true size by its own drawing operators, and its markers are those that OpenCV knows."""

import re

import numpy as np
import pytest

from partingline.cli.card import card_pdf
from partingline.readers.photos.card import CHECK, HEIGHT, MARKER, WIDTH, markers


def test_the_page_is_in_millimetres_and_the_check_line_is_true() -> None:
    page = card_pdf((210.0, 297.0)).decode("latin-1")
    scale = float(re.search(r"\n([\d.]+) 0 0 [\d.]+ 0 0 cm", page)[1])  # type: ignore[index]
    assert scale == pytest.approx(72 / 25.4)  # PDF user space: 72 units an inch (ISO 32000-1, 8.3.2.3)
    start, end = re.search(r"([\d.]+) [\d.]+ m ([\d.]+) [\d.]+ l", page).groups()  # type: ignore[union-attr]
    assert float(end) - float(start) == pytest.approx(CHECK)
    assert page.count(" re") == sum(len(marker.cells) for marker in markers())
    boxes = [[float(v) for v in found] for found in re.findall(r"([\d.]+) ([\d.]+) ([\d.]+) ([\d.]+) re", page)]
    assert max(x + w for x, _, w, _ in boxes) - min(x for x, *_ in boxes) == pytest.approx(WIDTH)
    assert max(y + h for _, y, _, h in boxes) - min(y for _, y, *_ in boxes) == pytest.approx(HEIGHT)


def test_the_page_opens_in_another_reader() -> None:
    import io

    import pypdf

    page = pypdf.PdfReader(io.BytesIO(card_pdf((210.0, 297.0)))).pages[0]
    assert float(page.mediabox.width) == pytest.approx(210 / 25.4 * 72, abs=1e-3)
    assert "This line measures 100 mm" in page.extract_text()


def test_the_markers_are_those_of_the_open_dictionary() -> None:
    cv2 = pytest.importorskip("cv2")
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    for marker in markers():
        drawn = np.full((6, 6), 255, np.uint8)
        for x, y, side in marker.cells:
            drawn[round((y - marker.y) / side), round((x - marker.x) / side)] = 0
        assert np.array_equal(drawn, cv2.aruco.generateImageMarker(dictionary, marker.id, 6))
        assert marker.corners[2] == (marker.x + MARKER, marker.y + MARKER)
