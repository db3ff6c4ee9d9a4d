"""Text proposed from a picture by an offline reader whose models ship in its package (extra `ocr`): never assumed.

The crop is padded, read upright and in the three other directions; the direction read with the most certainty wins. On
request each line is held against the grammar of labels and markings. A person accepts or corrects.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

import numpy as np

from partingline.readers.photos.grammar import mended
from partingline.readers.photos.opening import PictureError

if TYPE_CHECKING:
    from numpy.typing import NDArray
    from PIL.Image import Image

_PAD = 40
_ALIKE = {"O": "0", "0": "O", "I": "1", "l": "1", "1": "I", "S": "5", "5": "S", "B": "8", "8": "B", "Z": "2", "2": "Z"}
_MOST_VARIANTS = 256
_SURE = 0.9
"""Below this certainty of its worst line, a crop is read once more with its ground taken away."""
_NOTHING, _SOMETHING = 0.2, 0.6
"""Of a grammar: a text below the first means nothing to it, one above the second does."""
_GRAIN, _GROUND = 1.2, 31
"""Pixels: what is smoothed as grain, and the width over which a ground is taken."""


@dataclass(frozen=True, slots=True)
class Proposal:
    """A line of text as proposed: as read, as the grammar prefers it, certainty 0 to 1, and the turn in degrees."""

    read: str
    text: str
    certainty: float
    turn: int


def propose(image: "Image", fits: Callable[[str], float] | None = None) -> tuple[Proposal, ...]:
    """The lines of a crop, top to bottom. PictureError where the optional reader is not installed.

    Ink that hardly stands out from its ground is read once more with the ground taken away. `fits` says how well a text
    keeps a grammar, 0 to 1; letters that look alike are exchanged to please it.
    """
    plain = image.convert("RGB")
    best = _best_turn(plain)
    if best.certainty < _SURE:
        best = max(best, _best_turn(_cleared(plain)), key=lambda one: one.worth)
    return tuple(Proposal(text, preferred(mended(text), fits), certainty, best.turn) for text, certainty in best.lines)


def preferred(text: str, fits: Callable[[str], float] | None) -> str:
    """A text that means nothing becomes the variant, letters that look alike exchanged, that does; else it stays."""
    if fits is None or fits(text) >= _NOTHING:
        return text
    best = max(_variants(text), key=fits)
    return best if fits(best) >= _SOMETHING else text


@dataclass(frozen=True, slots=True)
class _Turned:
    """What was read in one direction."""

    turn: int
    lines: tuple[tuple[str, float], ...]

    @property
    def worth(self) -> float:
        return sum(len(text) * certainty**2 for text, certainty in self.lines)

    @property
    def certainty(self) -> float:
        return min((certainty for _, certainty in self.lines), default=0.0)


def _best_turn(image: "Image") -> _Turned:
    from PIL import Image as Pictures

    found = []
    for turn in (0, 90, 180, 270):
        turned = image.rotate(turn, expand=True)
        padded = Pictures.new("RGB", (turned.width + 2 * _PAD, turned.height + 2 * _PAD), turned.getpixel((0, 0)))
        padded.paste(turned, (_PAD, _PAD))
        found.append(_Turned(turn, tuple(_read(padded))))
    return max(found, key=lambda one: one.worth)


def _cleared(image: "Image") -> "Image":
    """Dark ink on an even ground: the ground is a wide median, the ink what departs from it, darker or lighter."""
    import cv2
    from PIL import Image as Pictures

    grey = cv2.GaussianBlur(np.asarray(image.convert("L")).astype(np.float32), (0, 0), _GRAIN)
    ground = cv2.medianBlur(np.clip(grey, 0, 255).astype(np.uint8), _GROUND).astype(np.float32)
    ink = grey - ground
    low, high = np.percentile(ink, (1, 99))
    if high > -low:
        ink, low = -ink, -high
    stretched = np.clip((ink - low) / max(-float(low), 1.0) * 200.0, 0, 230)
    return Pictures.fromarray(stretched.astype(np.uint8)).convert("RGB")


def _variants(text: str) -> Iterator[str]:
    """The text first, then with ever more exchanges, a bounded number."""
    found = [text]
    for k, letter in enumerate(text):
        if letter in _ALIKE and len(found) < _MOST_VARIANTS:
            found += [one[:k] + _ALIKE[letter] + one[k + 1 :] for one in found]
    yield from found[:_MOST_VARIANTS]


def _read(image: "Image") -> list[tuple[str, float]]:
    """Lines from top to bottom.

    The engine's own turning of lines is off, and one that stands on its end is left out: all lines of a crop are held
    the same way, and another turn reads those.
    """
    result = _engine()(np.asarray(image)[:, :, ::-1], use_cls=False)
    texts, scores = getattr(result, "txts", None) or (), getattr(result, "scores", None) or ()
    boxes = [np.asarray(box) for box in result.boxes] if texts else []
    lines = sorted(zip(boxes, texts, scores, strict=True), key=lambda line: float(line[0][:, 1].min()))
    return [(str(text), float(score)) for box, text, score in lines if len(text) < 3 or _lies(box)]


def _lies(box: "NDArray[np.float64]") -> bool:
    """Whether a box of four corners, from the first letter on, lies rather than stands."""
    along = box[1] - box[0]
    return bool(abs(along[0]) >= abs(along[1]) and np.ptp(box[:, 0]) >= 0.8 * np.ptp(box[:, 1]))


@cache
def _engine() -> Any:
    try:
        import logging

        from rapidocr import RapidOCR
    except ImportError:
        step = "Install it with: pip install 'partingline[ocr]', or type what you read."
        raise PictureError("a picture to read", "the text reader, which is optional", step) from None
    engine = RapidOCR(params={"Global.log_level": "error"})
    logging.getLogger("RapidOCR").setLevel(logging.ERROR)
    return engine
