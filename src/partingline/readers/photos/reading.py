"""Text proposed from a picture by an offline reader whose models ship in its package (extra `ocr`): never assumed.

The crop is padded, read upright and in the three other directions; the direction read with the most certainty wins. On
request each line is ranked against the grammar of labels and markings. A person accepts or corrects.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

import numpy as np

from partingline.readers.photos.opening import PictureError

if TYPE_CHECKING:
    from PIL.Image import Image

_PAD = 40
_ALIKE = {"O": "0", "0": "O", "I": "1", "l": "1", "1": "I", "S": "5", "5": "S", "B": "8", "8": "B", "Z": "2", "2": "Z"}
_MOST_VARIANTS = 256


@dataclass(frozen=True, slots=True)
class Proposal:
    """A line of text as proposed: as read, as the grammar prefers it, certainty 0 to 1, and the turn in degrees."""

    read: str
    text: str
    certainty: float
    turn: int


def propose(image: "Image", fits: Callable[[str], float] | None = None) -> tuple[Proposal, ...]:
    """The lines of a crop, top to bottom. PictureError where the optional reader is not installed.

    `fits` says how well a text keeps a grammar (larger is better); letters that look alike are exchanged to please it.
    """
    from PIL import Image as Pictures

    best: tuple[float, int, list[tuple[str, float]]] = (-1.0, 0, [])
    for turn in (0, 90, 180, 270):
        turned = image.convert("RGB").rotate(turn, expand=True)
        padded = Pictures.new("RGB", (turned.width + 2 * _PAD, turned.height + 2 * _PAD), turned.getpixel((0, 0)))
        padded.paste(turned, (_PAD, _PAD))
        lines = _read(padded)
        worth = sum(len(text) * certainty**2 for text, certainty in lines)
        if worth > best[0]:
            best = (worth, turn, lines)
    return tuple(Proposal(text, preferred(text, fits), certainty, best[1]) for text, certainty in best[2])


def preferred(text: str, fits: Callable[[str], float] | None) -> str:
    """The variant of a text, letters that look alike exchanged, that keeps a grammar best; the text itself on a tie."""
    return text if fits is None else max(_variants(text), key=fits)


def _variants(text: str) -> Iterator[str]:
    """The text first, then with ever more exchanges, a bounded number."""
    found = [text]
    for k, letter in enumerate(text):
        if letter in _ALIKE and len(found) < _MOST_VARIANTS:
            found += [one[:k] + _ALIKE[letter] + one[k + 1 :] for one in found]
    yield from found[:_MOST_VARIANTS]


def _read(image: "Image") -> list[tuple[str, float]]:
    result = _engine()(np.asarray(image)[:, :, ::-1])
    texts, scores = getattr(result, "txts", None) or (), getattr(result, "scores", None) or ()
    return [(str(text), float(score)) for text, score in zip(texts, scores, strict=True)]


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
