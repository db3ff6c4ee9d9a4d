"""Pictures that are refused or turned: bombs, broken tags, false names. Made here with Pillow and the PNG layout."""

import io
import struct
import tracemalloc
import zlib
from pathlib import Path

import pytest
from PIL import Image

from partingline.readers.photos.metadata import private_metadata
from partingline.readers.photos.opening import PictureError, open_picture, pixels


def _png(path: Path, width: int, height: int, data: bytes = b"") -> Path:
    """A PNG head of any size (W3C PNG third edition, 11.2.1)."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    head = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0))
    path.write_bytes(b"\x89PNG\r\n\x1a\n" + head + chunk(b"IDAT", zlib.compress(data)) + chunk(b"IEND", b""))
    return path


@pytest.mark.parametrize(("width", "height"), [(60_000, 60_000), (60_000, 4), (12_000, 12_000)])
def test_too_large_pictures_are_refused_before_memory_is_spent(tmp_path: Path, width: int, height: int) -> None:
    path = _png(tmp_path / "bomb.png", width, height, bytes(1000))
    tracemalloc.start()
    with pytest.raises(PictureError, match=f"{width} × {height} pixels; expected at most"):
        open_picture(path)
    assert tracemalloc.get_traced_memory()[1] < 4 << 20
    tracemalloc.stop()


@pytest.mark.parametrize(
    ("data", "said"),
    [(b"<?xml version='1.0'?><svg xmlns='http://www.w3.org/2000/svg'/>", "an SVG drawing under the name"),
     (b"  <svg width='1'/>", "an SVG drawing"), (b"<!DOCTYPE html><html>", "a web page"), (b"", "an empty file"),
     (b"\0\1\2\3", "begins with 00 01 02 03"), (b"\xff\xd8\xff\xe0 and nothing more", "head without a picture")],
)  # fmt: skip
def test_false_names_are_said(tmp_path: Path, data: bytes, said: str) -> None:
    path = tmp_path / "photo.png"
    path.write_bytes(data)
    with pytest.raises(PictureError, match=said):
        open_picture(path)


def test_a_picture_that_breaks_off_is_refused(tmp_path: Path) -> None:
    whole = io.BytesIO()
    Image.effect_noise((300, 200), 80).save(whole, "JPEG")
    path = tmp_path / "half.jpg"
    path.write_bytes(whole.getvalue()[: len(whole.getvalue()) // 2])
    with pytest.raises(PictureError, match="expected a whole JPEG"):
        pixels(open_picture(path))


@pytest.mark.parametrize("orientation", range(1, 9))
def test_pictures_are_turned_as_viewers_show_them(tmp_path: Path, orientation: int) -> None:
    """Against Pillow's own transposition."""
    from PIL import ImageOps

    image = Image.new("RGB", (40, 20), "white")
    image.paste("black", (0, 0, 10, 5))
    tags = Image.Exif()
    tags[0x0112] = orientation
    path = tmp_path / "turned.png"
    image.save(path, exif=tags)
    picture = open_picture(path)
    shown = pixels(picture)
    with Image.open(path) as again:
        expected = ImageOps.exif_transpose(again)
    assert (picture.width, picture.height) == shown.size == expected.size
    assert shown.tobytes() == expected.tobytes()


def test_broken_tags_do_not_cost_the_picture(tmp_path: Path) -> None:
    path = tmp_path / "odd.jpg"
    Image.new("RGB", (30, 20)).save(path, exif=b"Exif\0\0II*\0\xff\xff\xff\xff\xff\xff")
    assert open_picture(path).orientation == 1
    tags = Image.Exif()
    tags[0x0112] = 77
    Image.new("RGB", (30, 20)).save(path, exif=tags)
    assert open_picture(path).orientation == 1


def test_heic_is_read_where_its_reader_is_there(tmp_path: Path) -> None:
    pillow_heif = pytest.importorskip("pillow_heif")
    path = tmp_path / "photo.heic"
    pillow_heif.from_pillow(Image.new("RGB", (64, 48), "red")).save(path)
    picture = open_picture(path)
    assert (picture.kind, picture.width, picture.height) == ("HEIF", 64, 48)
    red, green, blue = pixels(picture).getpixel((32, 24))
    assert red > 240
    assert max(green, blue) < 20


def test_places_and_serial_numbers_are_found() -> None:
    tags = Image.Exif()
    tags[0x8825] = {2: (52.0, 30.0, 0.0)}
    tags[0x8769] = {0xA431: "12345"}
    for kind in ("JPEG", "PNG"):
        out = io.BytesIO()
        Image.new("RGB", (30, 20)).save(out, kind, exif=tags)
        assert {"GPS position", "camera serial number"} <= set(private_metadata(out.getvalue()))
    plain = io.BytesIO()
    Image.new("RGB", (30, 20)).save(plain, "JPEG")
    assert private_metadata(plain.getvalue()) == ()
    assert private_metadata(b"no picture") == ("unreadable metadata",)


def test_colours_of_another_profile_become_srgb(tmp_path: Path) -> None:
    """A profile whose primaries are swapped: what it calls red is shown green. LittleCMS builds and judges it."""
    from PIL import ImageCms

    srgb = ImageCms.createProfile("sRGB")
    profile = ImageCms.ImageCmsProfile(srgb).tobytes()
    assert pixels(open_picture(_with_profile(tmp_path / "s.png", profile))).getpixel((5, 5)) == (200, 60, 20)
    swapped = profile.replace(b"rXYZ", b"tXYZ").replace(b"gXYZ", b"rXYZ").replace(b"tXYZ", b"gXYZ")
    swapped = swapped.replace("sRGB".encode("utf-16-be"), "swap".encode("utf-16-be")).replace(b"sRGB", b"swap")
    shown = pixels(open_picture(_with_profile(tmp_path / "t.png", swapped))).getpixel((5, 5))
    assert isinstance(shown, tuple)
    assert shown == pytest.approx((60, 200, 20), abs=6)
    broken = pixels(open_picture(_with_profile(tmp_path / "b.png", b"no profile at all" * 20)))
    assert broken.getpixel((5, 5)) == (200, 60, 20)


def _with_profile(path: Path, profile: bytes) -> Path:
    Image.new("RGB", (10, 10), (200, 60, 20)).save(path, icc_profile=profile)
    return path


def test_a_picture_of_50_megapixels_is_read_and_one_in_heic_is_turned_once(tmp_path: Path) -> None:
    path = tmp_path / "large.jpg"
    tags = Image.Exif()
    tags[0x0112] = 8
    Image.new("L", (8192, 6144), 90).save(path, exif=tags)
    picture = open_picture(path)
    assert (picture.width, picture.height) == (6144, 8192)
    assert pixels(picture, (768, 1024)).size == (768, 1024)
    pillow_heif = pytest.importorskip("pillow_heif")
    pillow_heif.register_heif_opener()
    image = Image.new("RGB", (64, 48), "white")
    image.paste("black", (0, 0, 16, 48))
    tags[0x0112] = 6
    image.save(tmp_path / "turned.heic", exif=tags.tobytes())
    turned = open_picture(tmp_path / "turned.heic")
    shown = pixels(turned)
    assert (turned.width, turned.height) == shown.size == (48, 64)
    assert max(shown.getpixel((24, 4))) < 40  # type: ignore[type-var]  # what was left is above, once
    assert min(shown.getpixel((24, 60))) > 200  # type: ignore[type-var]


def test_the_camera_is_named_without_its_serial_number(tmp_path: Path) -> None:
    tags = Image.Exif()
    tags[0x010F], tags[0x0110] = "Invented", "Box 1"
    tags.get_ifd(0x8769).update({0xA434: "Glass 5", 0x920A: 6.8, 0xA431: "12345", 0xA405: 26})
    path = tmp_path / "a.jpg"
    Image.new("RGB", (40, 30)).save(path, exif=tags)
    picture = open_picture(path)
    assert picture.camera == "Invented Box 1 Glass 5 6.8 mm 1.33"
    assert picture.focal_35mm == 26
