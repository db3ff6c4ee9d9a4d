"""Character accuracy of proposed readings on rendered labels, as read and after the grammar of markings.

Kinds: plain, skewed, curved, low contrast, laser-marked (grey on black, thin). Accuracy: 1 - edit distance / length.
"""

import math
import random

import numpy as np
from PIL import Image, ImageDraw, ImageFilter, ImageFont

from partingline.readers.markings import decode_marking
from partingline.readers.photos.reading import propose

TEXTS = (
    "INPUT: 100-240V~ 50/60Hz 1.8A", "OUTPUT: 20V 3.25A 65W MAX", "104K 310V X2", "T3.15A H 250V", "82uF 400V 105C",
    "NQ65A 2631", "4R7", "R100", "1002", "363",
)  # fmt: skip
KINDS = ("plain", "skewed", "curved", "low contrast", "laser-marked")


def main() -> None:
    """Print the accuracy of each kind."""
    for kind in KINDS:
        before = after = total = 0.0
        for seed, text in enumerate(TEXTS):
            lines = propose(render(text, kind, seed), lambda words: float(len(decode_marking(words)) > 0))
            wanted = text.replace(" ", "")
            total += len(wanted)
            before += max(0, len(wanted) - distance("".join(one.read for one in lines).replace(" ", ""), wanted))
            after += max(0, len(wanted) - distance("".join(one.text for one in lines).replace(" ", ""), wanted))
        print(f"{kind:14} as read {before / total:6.1%}   after the grammar {after / total:6.1%}")


def render(text: str, kind: str, seed: int) -> Image.Image:
    """One line of text as a kind of label or mark shows it."""
    dice = random.Random(seed)
    dark = kind == "laser-marked"
    ink, ground = {"low contrast": ("#8d8a80", "#a9a69b"), "laser-marked": ("#6c7072", "#25292b")}.get(
        kind, ("#20262b", "#e7e3d8")
    )
    font = ImageFont.load_default(size=24 if dark else 34)
    image = Image.new("RGB", (int(font.getlength(text)) + 80, 130), ground)
    ImageDraw.Draw(image).text((40, 45), text, ink, font)
    if kind == "skewed":
        image = image.rotate(dice.uniform(-9, 9), fillcolor=ground, expand=True, resample=Image.Resampling.BICUBIC)
    if kind == "curved":
        pixels = np.asarray(image)
        shift = (16 * np.sin(np.linspace(0, math.pi, image.width))).round().astype(int)
        columns = [np.roll(pixels[:, k], -s, axis=0) for k, s in enumerate(shift.tolist())]
        image = Image.fromarray(np.stack(columns, axis=1))
    image = image.filter(ImageFilter.GaussianBlur(0.7))
    noise = np.random.default_rng(seed).normal(0, 4, (image.height, image.width, 1))
    return Image.fromarray(np.uint8(np.clip(np.asarray(image) + noise, 0, 255)))


def distance(one: str, other: str) -> int:
    """Edit distance of Levenshtein, 1966."""
    row = list(range(len(other) + 1))
    for k, letter in enumerate(one, 1):
        before, row[0] = row[0], k
        for m, there in enumerate(other, 1):
            before, row[m] = row[m], min(row[m] + 1, row[m - 1] + 1, before + (letter != there))
    return row[-1]


if __name__ == "__main__":
    main()
