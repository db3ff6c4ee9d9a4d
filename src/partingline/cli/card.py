"""`partingline card`: the scale card as a PDF at true size, with a line to check the print by; its photo laid flat."""

from pathlib import Path

from partingline.cli.screen import console
from partingline.readers.photos.card import CHECK, HEIGHT, WIDTH, markers

_MM = 72 / 25.4
_A4, _LETTER = (210.0, 297.0), (215.9, 279.4)


def run(out: Path, paper: str) -> int:
    """Write the card. Exit code 2 where it cannot be written."""
    size = {"a4": _A4, "letter": _LETTER}.get(paper.casefold())
    if size is None:
        console(error=True).print(f"Paper '{paper}': expected a4 or letter.")
        return 2
    try:
        out.write_bytes(card_pdf(size))
    except OSError as error:
        console(error=True).print(f"{out}: {error.strerror}. Name a folder that can be written.")
        return 2
    console().print(
        f"{out}: print it at 100 % (no fitting to the page). The check line must measure {CHECK:g} mm; "
        "glue the card to something flat, and lay the board in its middle."
    )
    return 0


def flat(photo: Path, out: Path, per_mm: float) -> int:
    """Write a photo of the card laid flat, without its metadata. Exit code 2 where it cannot be."""
    from partingline.readers.photos.markers import card_scale
    from partingline.readers.photos.opening import PictureError, open_picture, pixels
    from partingline.readers.photos.rectify import rectified

    try:
        image = pixels(open_picture(photo))
        rectified(image, card_scale(image), per_mm).save(out, "PNG")
    except PictureError as error:
        console(error=True).print(f"{photo}: {error}")
        return 2
    except ValueError as error:
        console(error=True).print(f"{photo}: {error}. Ask for fewer pixels with --per-mm.")
        return 2
    except OSError as error:
        console(error=True).print(f"{out}: {error.strerror}. Name a folder that can be written.")
        return 2
    console().print(f"{out}: {per_mm:g} pixels a millimetre in the plane of the card")
    return 0


def card_pdf(paper: tuple[float, float]) -> bytes:
    """The card in the middle of a page of a size in millimetres (PDF 1.4, ISO 32000-1; same bytes every time)."""
    left, top = (paper[0] - WIDTH) / 2, (paper[1] + HEIGHT) / 2
    lines = [f"{_MM:.9f} 0 0 {_MM:.9f} 0 0 cm", "0 g"]
    for marker in markers():
        lines += [f"{left + x:.4f} {top - y - s:.4f} {s:.4f} {s:.4f} re" for x, y, s in marker.cells]
    lines += ["f", "0.1 w"]
    start, low = (paper[0] - CHECK) / 2, top - HEIGHT - 12
    lines += [f"{start:.4f} {low:.4f} m {start + CHECK:.4f} {low:.4f} l"]
    for k in range(11):
        height = 3.0 if k % 5 == 0 else 1.5
        lines.append(f"{start + 10 * k:.4f} {low:.4f} m {start + 10 * k:.4f} {low + height:.4f} l")
    lines.append("S")
    words = (
        f"This line measures {CHECK:g} mm where the print is true. Print at 100 %, not fitted to the page.",
        "Lay the board in the middle, flat. Four markers at least must be whole and sharp in the picture.",
    )
    for k, text in enumerate(words):
        lines.append(f"BT /F 3.2 Tf {start:.4f} {low - 5 - 5 * k:.4f} Td ({text}) Tj ET")
    return _pdf("\n".join(lines).encode("ascii"), paper)


def _pdf(content: bytes, paper: tuple[float, float]) -> bytes:
    box = f"[0 0 {paper[0] * _MM:.4f} {paper[1] * _MM:.4f}]"
    bodies = [
        b"<< /Type /Catalog /Pages 2 0 R /ViewerPreferences << /PrintScaling /None >> >>",
        b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
        f"<< /Type /Page /Parent 2 0 R /MediaBox {box} /Contents 4 0 R /Resources << /Font << /F 5 0 R >> >> >>".encode(
            "ascii"
        ),
        b"<< /Length %d >>\nstream\n%s\nendstream" % (len(content), content),
        b"<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>",
    ]
    out, places = b"%PDF-1.4\n", []
    for number, body in enumerate(bodies, 1):
        places.append(len(out))
        out += b"%d 0 obj\n%s\nendobj\n" % (number, body)
    table = b"".join(b"%010d 00000 n \n" % place for place in places)
    size = len(bodies) + 1
    tail = b"xref\n0 %d\n0000000000 65535 f \n%strailer\n<< /Size %d /Root 1 0 R >>\nstartxref\n%d\n%%%%EOF\n"
    return out + tail % (size, table, size, len(out))
