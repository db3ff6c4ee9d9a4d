"""What a picture tells of its maker and place: found, so that it never reaches a publication.

Sources: Exif 2.32 (GPS IFD 0x8825; 0xA430 owner, 0xA431 and 0xA435 serial numbers, 0x927C maker's note), IPTC-IIM,
XMP (ISO 16684-1).
"""

import io
import re
from pathlib import Path

_ROOT = {0x8825: "GPS position", 0x013B: "artist", 0x013C: "host computer", 0x8298: "copyright"}
_DETAIL = {
    0xA420: "image id",
    0xA430: "camera owner",
    0xA431: "camera serial number",
    0xA435: "lens serial number",
    0x927C: "maker's note",
    0x9286: "user comment",
}
_PICTURES = (".jpg", ".jpeg", ".png", ".webp", ".heic", ".heif", ".tif", ".tiff")
_MOST_BYTES = 256 << 20
_XMP = re.compile(rb"gps(?:latitude|longitude)|serialnumber|ownername|photoshop:city|<dc:creator", re.IGNORECASE)


def private_metadata(data: bytes) -> tuple[str, ...]:
    """What in a picture's bytes could tell where it was taken, by whom and with which device; sorted names.

    Bytes that are no picture hold 'unreadable metadata': what cannot be looked through is not published.
    """
    from PIL import Image

    try:
        if data[4:8] == b"ftyp":
            import pillow_heif

            pillow_heif.register_heif_opener()
        with Image.open(io.BytesIO(data)) as image:
            tags = image.getexif()
            found = {name for tag, name in _ROOT.items() if tag in tags}
            found |= {name for tag, name in _DETAIL.items() if tag in tags.get_ifd(0x8769)}
            if tags.get_ifd(0x8825):
                found.add("GPS position")
            if any(key in image.info for key in ("photoshop", "comment")):
                found.add("embedded notes")
            if image.format == "PNG":
                image.load()
                texts = getattr(image, "text", {})
                if any(key not in ("Software",) for key in texts):
                    found.add("embedded text")
    except Exception:  # broken tags fail in any way
        return ("unreadable metadata",)
    if _XMP.search(data):
        found.add("XMP position or device")
    return tuple(sorted(found))


def private_photos(folder: Path) -> dict[str, tuple[str, ...]]:
    """Photos of a unit folder whose originals tell more than a picture, by relative name; sets for calibration too."""
    found = {}
    for path in sorted((folder / "photos").rglob("*")):
        if not path.is_file() or path.suffix.lower() not in _PICTURES or path.stat().st_size > _MOST_BYTES:
            continue
        if told := private_metadata(path.read_bytes()):
            found[path.relative_to(folder).as_posix()] = told
    return found
