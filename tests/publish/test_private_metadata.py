"""Position, owner and serial numbers of a photo, as a camera writes them, reach no publication: page, PDF, Markdown,
pictures, social card, bag's publication, tiles. Tags by Exif 2.32, IPTC-IIM in a Photoshop block, XMP (ISO 16684-1).
"""

import base64
import io
import re
import struct
import zlib
from pathlib import Path

import pytest
from PIL import Image

from partingline.cli import bag as bag_command
from partingline.readers.photos.metadata import private_metadata, private_photos
from partingline.workbench import tiles

SECRETS = (b"SECRET-OWNER", b"SN-4242-SECRET", b"LENS-SECRET", b"SECRET-NOTE", b"SECRET-XMP", b"SECRET-IPTC")
PLACE = struct.pack(">II", 4877, 97)  # a rational of the position that occurs nowhere else
XMP = b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">' + (
    b'<rdf:Description exif:GPSLatitude="52,30N" aux:SerialNumber="SECRET-XMP"/></rdf:RDF></x:xmpmeta>'
)


def _exif(orientation: int = 1) -> Image.Exif:
    tags = Image.Exif()
    tags[0x0112], tags[0x013B], tags[0x010F], tags[0x0110] = orientation, "SECRET-OWNER", "Invented", "Box 1"
    tags.get_ifd(0x8825).update({1: "N", 2: (52.0, 4877 / 97, 7.0), 3: "E", 4: (13.0, 24.0, 36.0)})
    detail = {
        0xA430: "SECRET-OWNER",
        0xA431: "SN-4242-SECRET",
        0xA435: "LENS-SECRET",
        0x927C: b"SECRET-NOTE " * 9,
        0x9286: b"ASCII\0\0\0SECRET-NOTE",
    }
    tags.get_ifd(0x8769).update(detail)
    return tags


def _photo(kind: str) -> bytes:
    image = Image.effect_noise((420, 300), 60).convert("RGB")
    out = io.BytesIO()
    if kind == "HEIF":
        pillow_heif = pytest.importorskip("pillow_heif")
        pillow_heif.register_heif_opener()
        image.save(out, "HEIF", exif=_exif().tobytes(), xmp=XMP)
    elif kind == "JPEG":
        image.save(out, "JPEG", exif=_exif(6), xmp=XMP, comment=b"SECRET-NOTE")
        block = b"Photoshop 3.0\x008BIM\x04\x04\0\0" + struct.pack(">I", 16) + b"\x1c\x02\x50\0\x0bSECRET-IPTC"
        data = out.getvalue()
        return data[:2] + b"\xff\xed" + struct.pack(">H", len(block) + 2) + block + data[2:]
    else:
        image.save(out, kind, exif=_exif().tobytes(), **({"xmp": XMP} if kind == "WEBP" else {}))
    return out.getvalue()


@pytest.fixture(scope="module")
def unit(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root: Path = tmp_path_factory.mktemp("bench") / "unit"
    (root / "photos").mkdir(parents=True)
    text = '[unit]\nmaker = "Invented"\nmodel = "X 1"\ninvented = true\n[[port]]\nid = "C1"\noffers = ["5 V 3 A"]\n'
    (root / "unit.toml").write_text(text, encoding="utf-8")
    for kind, ending in (("JPEG", "jpg"), ("PNG", "png"), ("WEBP", "webp"), ("HEIF", "heic"), ("TIFF", "tif")):
        (root / f"photos/by-{kind.lower()}.{ending}").write_bytes(_photo(kind))
    return root


def _bare(data: bytes) -> bool:
    return not any(secret in data for secret in (*SECRETS, PLACE, PLACE[::-1]))


def _pieces(data: bytes) -> list[bytes]:
    """A file, and what is packed in it: pictures in base64, deflated streams."""
    found = [data]
    found += [base64.b64decode(one) for one in re.findall(rb"base64,([A-Za-z0-9+/=]{40,})", data)]
    for match in re.finditer(rb"stream\r?\n", data):
        try:
            found.append(zlib.decompressobj().decompress(data[match.end() :]))
        except zlib.error:
            found.append(data[match.end() : match.end() + 4096])
    return found


def test_the_originals_hold_what_is_looked_for(unit: Path) -> None:
    told = private_photos(unit)
    assert len(told) == 5
    for name, found in told.items():
        assert {"GPS position", "camera serial number"} <= set(found), name
        assert not _bare((unit / name).read_bytes())


def test_no_publication_and_no_bag_holds_them(unit: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "bag"
    assert bag_command.run(unit, target, profile=None, language=None, verify=False) == 0
    said = capsys.readouterr().out
    assert "GPS position" in said  # the bag holds the originals, and says so
    published = [path for path in (target / "data/publication").rglob("*") if path.is_file()]
    assert {path.suffix for path in published} >= {".html", ".pdf", ".md"}
    pictures = 0
    for path in published:
        for piece in _pieces(path.read_bytes()):
            assert _bare(piece), path.name
            if piece.startswith((b"\xff\xd8\xff", b"\x89PNG\r\n")):
                pictures += 1
                assert not {"GPS position", "camera serial number"} & set(private_metadata(piece)), path.name
    assert pictures >= 5


def test_tiles_hold_none_of_it(unit: Path, tmp_path: Path) -> None:
    for path in sorted((unit / "photos").iterdir()):
        picture = tiles.find_picture(unit, tmp_path / "cache", path.name)
        width, height = tiles.size_of(picture)
        assert (width, height) == ((300, 420) if path.suffix == ".jpg" else (420, 300))
        for data in (tiles.tile(picture, tiles.level_count(width, height) - 1, 0, 0), tiles.small(picture)):
            assert _bare(data)
            assert private_metadata(data) == ()


def test_a_photo_that_breaks_off_costs_no_publication(unit: Path, tmp_path: Path) -> None:
    import shutil

    shutil.copytree(unit, tmp_path / "unit")
    whole = _photo("PNG")
    (tmp_path / "unit/photos/half.png").write_bytes(whole[: len(whole) // 2] + whole[-12:])
    bag_command.run(tmp_path / "unit", tmp_path / "bag", profile=None, language=None, verify=False)
    names = {path.name for path in (tmp_path / "bag/data/publication/pictures").iterdir()}
    assert "by-png.jpg" in names
    assert "half.jpg" not in names
