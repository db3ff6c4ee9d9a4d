"""The lens of a photo from a calibration set: photos of the card by the same camera, lens and focal length.

They lie in `photos/calibration/` of the unit or, for all units of a bench, in `calibration/` beside the units, and are
taken where their metadata name the same camera (Exif 2.32: make, model, lens model, focal length). Serial numbers are
not looked at. The pictures are read at a size that is enough for the lens: its numbers are fractions of the picture.
"""

from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from partingline.readers.folder import Folder
from partingline.readers.photos.camera import Lens
from partingline.readers.photos.opening import Picture, PictureError, open_picture, pixels

if TYPE_CHECKING:
    from PIL.Image import Image

UNIT_SET, BENCH_SET = "photos/calibration", "calibration"
_ENDINGS = (".jpg", ".jpeg", ".png", ".webp", ".heic", ".heif", ".tif", ".tiff")
_ENOUGH = 2400
_MOST = 40
"""Photos of one set that are looked at; more do not make a lens better known."""


def calibrated_lens(folder: Folder, picture: Picture) -> Lens | None:
    """The lens of a picture; None where its camera is not told, or no set is of that camera.

    A set of that camera that does not suffice is reported.
    """
    if not picture.camera:
        return None
    for place, name in ((folder.root / UNIT_SET, UNIT_SET), (folder.root.parent / BENCH_SET, f"../{BENCH_SET}")):
        alike = _alike(place, picture.camera)
        if not alike:
            continue
        try:
            return _lens(alike)
        except PictureError as error:
            folder.report(name, f"{error.found}, by {picture.camera}", error.expected, error.next_step, loses=False)
    return None


def calibration_stamp(folder: Folder) -> tuple[tuple[str, int, int], ...]:
    """Names, times and sizes of all that lies in the sets of a unit and its bench: what changes when they do."""
    found = []
    for place in (folder.root / UNIT_SET, folder.root.parent / BENCH_SET):
        try:
            found += [(str(p), p.stat().st_mtime_ns, p.stat().st_size) for p in sorted(place.iterdir())]
        except OSError:
            continue
    return tuple(found)


def _alike(place: Path, camera: str) -> tuple[tuple[Path, int, int], ...]:
    """Pictures of a folder by a camera, with what changes when they do."""
    found: list[tuple[Path, int, int]] = []
    try:
        files = sorted(p for p in place.iterdir() if p.name.lower().endswith(_ENDINGS) and not p.is_symlink())
    except OSError:  # no such folder
        return ()
    for path in files:
        try:
            if open_picture(path).camera == camera:
                told = path.stat()
                found.append((path, told.st_mtime_ns, told.st_size))
        except PictureError:
            continue  # no picture: it calibrates nothing
    return tuple(found[:_MOST])


@lru_cache(maxsize=16)
def _lens(files: tuple[tuple[Path, int, int], ...]) -> Lens:
    from partingline.readers.photos.markers import lens_of

    return lens_of(_small(open_picture(path)) for path, _, _ in files)


def _small(picture: Picture) -> "Image":
    less = max(1.0, max(picture.width, picture.height) / _ENOUGH)
    return pixels(picture, (round(picture.width / less), round(picture.height / less)))
