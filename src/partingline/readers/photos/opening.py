"""A picture is opened: what it is, how large, how it is held; refused with a reason before any memory is spent on it.

What comes in: a path. What goes out: a `Picture`, and its pixels as viewers show them (turned by the orientation tag,
colours in sRGB). Sources: PNG third edition, ITU-T T.81, Exif 2.32 (tag 0x0112), ISO/IEC 23008-12 (HEIC).
"""

import warnings
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL.Image import Image

MOST_SIDE, MOST_PIXELS, MOST_BYTES = 30_000, 120_000_000, 256 << 20
_TURNED = (5, 6, 7, 8)
_KINDS: tuple[tuple[str, Callable[[bytes], bool]], ...] = (
    ("JPEG", lambda head: head.startswith(b"\xff\xd8\xff")),
    ("PNG", lambda head: head.startswith(b"\x89PNG\r\n\x1a\n")),
    ("WEBP", lambda head: head[:4] == b"RIFF" and head[8:12] == b"WEBP"),
    ("HEIF", lambda head: head[4:8] == b"ftyp" and head[8:12] in (b"heic", b"heix", b"mif1", b"msf1", b"hevc")),
    ("TIFF", lambda head: head[:4] in (b"II*\0", b"MM\0*")),
)


class PictureError(ValueError):
    """A picture that is not opened: what was found, what is expected, and the next step."""

    def __init__(self, found: str, expected: str, next_step: str) -> None:
        super().__init__(f"{found}; expected {expected}. {next_step}")
        self.found, self.expected, self.next_step = found, expected, next_step


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture that can be read. `width` and `height` in pixels as shown; `focal_35mm` in mm, 0 where not told.

    `camera` names make, model, lens, focal length and shape, for comparison only; '' where the picture tells none.
    """

    path: Path
    kind: str
    width: int
    height: int
    orientation: int
    focal_35mm: float
    camera: str = ""


def picture_kind(head: bytes) -> str:
    """JPEG, PNG, WEBP, HEIF or TIFF by the first bytes of a file; empty for anything else."""
    return next((name for name, fits in _KINDS if fits(head)), "")


def open_picture(path: Path) -> Picture:
    """What a picture is, from its head only. PictureError says why one is refused."""
    try:
        size = path.stat().st_size
        with path.open("rb") as stream:
            head = stream.read(512)
    except OSError as error:
        raise PictureError(f"unreadable ({error.strerror})", "a picture", "Check its permissions.") from None
    if size > MOST_BYTES:
        step = "Scale a copy."
        raise PictureError(f"{size >> 20} MiB", f"at most {MOST_BYTES >> 20} MiB", step)
    kind = picture_kind(head)
    if not kind:
        raise PictureError(_what(head, path), "a JPEG, PNG, WebP, TIFF or HEIC picture", "Save it anew as one of them.")
    with _decoder(path, kind) as image:
        width, height = image.size
        if max(width, height) > MOST_SIDE or width * height > MOST_PIXELS:
            bound = f"at most {MOST_SIDE} pixels a side and {MOST_PIXELS // 10**6} megapixels"
            raise PictureError(f"{width} × {height} pixels", bound, "Scale a copy, or cut it.")
        orientation, focal, camera = _exif(image)
    if orientation in _TURNED:
        width, height = height, width
    return Picture(path, kind, width, height, orientation, focal, camera)


def pixels(picture: Picture, size: tuple[int, int] | None = None) -> "Image":
    """The picture as viewers show it: RGB in sRGB, turned; of another `size` as shown, if told, decoded no larger.

    PictureError for one that breaks off or whose data do not fit its head.
    """
    from PIL import Image

    try:
        with _decoder(picture.path, picture.kind) as image:
            if size:
                image.draft("RGB", size if picture.orientation not in _TURNED else size[::-1])
            shown = _in_srgb(_turned(image, picture.orientation), image.info.get("icc_profile"))
            return shown if size in (None, shown.size) else shown.resize(size, Image.Resampling.HAMMING)
    except PictureError:
        raise
    except Exception as error:  # a decoder can fail in any way on broken data
        step = "Copy the picture in again."
        raise PictureError(f"unreadable ({type(error).__name__})", f"a whole {picture.kind}", step) from None


def as_shown(image: "Image") -> "Image":
    """An opened picture as viewers show it: turned by its tag, RGB in sRGB, without anything that it says of itself.

    PictureError for one that breaks off.
    """
    try:
        return _in_srgb(_turned(image, _exif(image)[0]), image.info.get("icc_profile"))
    except Exception as error:  # a decoder can fail in any way on broken data
        found, step = f"unreadable ({type(error).__name__})", "Copy the picture in again."
        raise PictureError(found, f"a whole {image.format}", step) from None


def _in_srgb(image: "Image", profile: bytes | None) -> "Image":
    import io

    from PIL import ImageCms

    image.load()
    shown = image.convert("RGB")  # a copy too where it is RGB: the file is closed behind it
    if profile and image.mode in ("RGB", "RGBA"):
        try:
            source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            if "srgb" not in ImageCms.getProfileDescription(source).casefold():
                target = ImageCms.createProfile("sRGB")
                shown = ImageCms.profileToProfile(shown, source, target, outputMode="RGB") or shown
        except (ImageCms.PyCMSError, OSError):
            pass  # a broken profile: the colours are taken as sRGB, as browsers do
    shown.info = {}  # comments and tags would be written along
    return shown


def _turned(image: "Image", orientation: int) -> "Image":
    from PIL import Image

    ways = {2: Image.Transpose.FLIP_LEFT_RIGHT, 3: Image.Transpose.ROTATE_180, 4: Image.Transpose.FLIP_TOP_BOTTOM,
            5: Image.Transpose.TRANSPOSE, 6: Image.Transpose.ROTATE_270, 7: Image.Transpose.TRANSVERSE,
            8: Image.Transpose.ROTATE_90}  # fmt: skip
    return image.transpose(ways[orientation]) if orientation in ways else image


def _decoder(path: Path, kind: str) -> "Image":
    from PIL import Image

    if kind == "HEIF":
        try:
            import pillow_heif
        except ImportError:
            step = "Install it with: pip install 'partingline[photos]', or save the picture as JPEG."
            raise PictureError("a HEIC picture", "the reader for it, which is optional", step) from None
        pillow_heif.register_heif_opener()
    limit, Image.MAX_IMAGE_PIXELS = Image.MAX_IMAGE_PIXELS, None  # the bounds here are tighter and say more
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of broken tags, which do not cost the picture
            return Image.open(path, formats=[kind])
    except Exception as error:
        found, step = f"a {kind} head without a picture ({type(error).__name__})", "Copy the picture in again."
        raise PictureError(found, f"a whole {kind}", step) from None
    finally:
        Image.MAX_IMAGE_PIXELS = limit


def _exif(image: "Image") -> tuple[int, float, str]:
    """Orientation, focal length for 35 mm film, and camera; 1, 0 and '' where the tags are absent or broken."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            tags = image.getexif()
            detail = tags.get_ifd(0x8769)
        orientation = int(tags.get(0x0112, 1))
        focal = float(detail.get(0xA405, 0) or 0)
        names = [str(tags.get(0x010F, "")), str(tags.get(0x0110, "")), str(detail.get(0xA434, ""))]
        length = float(detail.get(0x920A, 0) or 0)
    except Exception:  # tags are written by anything; a broken block must not cost the picture
        return 1, 0.0, ""
    if image.format == "HEIF":
        orientation = 1  # its reader has turned it
    wide, high = sorted(image.size)
    told = [name.strip(" \0")[:80] for name in names]
    camera = " ".join([*filter(None, told), f"{length:g} mm", f"{high / wide:.2f}"]) if told[1] else ""
    return (orientation if 1 <= orientation <= 8 else 1), (focal if 1 <= focal <= 1000 else 0.0), camera


def _what(head: bytes, path: Path) -> str:
    text = head.lstrip(b"\xef\xbb\xbf \t\r\n").lower()
    if text.startswith((b"<svg", b"<?xml", b"<!doctype svg")) or b"<svg" in text:
        return f"an SVG drawing under the name {path.name}"
    if text.startswith((b"<!doctype html", b"<html")):
        return f"a web page under the name {path.name}"
    return "an empty file" if not head else f"no picture ({path.name} begins with {head[:4].hex(' ')})"
