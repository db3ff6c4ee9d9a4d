"""Character accuracy of proposed readings on rendered labels and marks, as read and after the grammar of markings.

Kinds: plain; skewed (up to 30°, seen from the side); curved (round a can, a third of the turn seen); low contrast
(a step of 14 in 255 over noise of 4); laser-marked (thin grey dots on black, 17 pixels high); upside down.
Accuracy: 1 - edit distance / length, blanks left out (Levenshtein, 1966). All texts are invented.
"""

import math
import random

import numpy as np
from PIL import Image, ImageDraw, ImageFilter, ImageFont

from partingline.readers.photos.grammar import understood
from partingline.readers.photos.reading import propose

TEXTS = (
    "INPUT: 100-240V~ 50/60Hz 1.8A", "OUTPUT: 20V 3.25A 65W MAX", "5V 3A / 9V 3A / 15V 2.4A", "PPS: 3.3-21V 3.25A",
    "104K 310V X2", "T3.15A H 250V", "82uF 400V 105C", "NQ65A 2631", "4R7", "R100", "1002", "363", "560 25V KP", "GS1M",
    "SN6508 P8K2", "152M Y1 400V",
)  # fmt: skip
KINDS = ("plain", "skewed", "curved", "low contrast", "laser-marked", "upside down")
INKS = {"low contrast": ("#9b9991", "#a9a69f"), "laser-marked": ("#70757a", "#25292b")}


def main() -> None:
    """Print the accuracy of each kind."""
    for kind in KINDS:
        before = after = total = 0.0
        for seed, text in enumerate(TEXTS):
            lines = propose(render(text, kind, seed), understood)
            wanted = text.replace(" ", "")
            total += len(wanted)
            before += max(0, len(wanted) - distance("".join(one.read for one in lines).replace(" ", ""), wanted))
            after += max(0, len(wanted) - distance("".join(one.text for one in lines).replace(" ", ""), wanted))
        print(f"{kind:14} as read {before / total:6.1%}   after the grammar {after / total:6.1%}", flush=True)


def render(text: str, kind: str, seed: int) -> Image.Image:
    """One line of text as a kind of label or mark shows it, with blur, noise and the blocks of JPEG."""
    import io

    dice, noise = random.Random(seed), np.random.default_rng(seed)
    ink, ground = INKS.get(kind, ("#20262b", "#e7e3d8"))
    size = 17 if kind == "laser-marked" else dice.choice((22, 28, 34))
    font = ImageFont.load_default(size=size)
    image = Image.new("RGB", (int(font.getlength(text)) + 4 * size, 4 * size), ground)
    ImageDraw.Draw(image).text((2 * size, int(1.3 * size)), text, ink, font)
    if kind == "laser-marked":
        pixels = np.asarray(image).astype(float)
        dots = noise.uniform(0.35, 1.0, pixels.shape[:2])[:, :, None]
        image = Image.fromarray(np.uint8(pixels * dots + (1 - dots) * np.array([37, 41, 43])))
    if kind == "skewed":
        image = _from_the_side(image, dice, ground)
    if kind == "curved":
        image = _round_a_can(image)
    if kind == "upside down":
        image = image.rotate(180)
    image = image.filter(ImageFilter.GaussianBlur(0.8))
    grain = noise.normal(0, 4, (image.height, image.width, 1))
    image = Image.fromarray(np.uint8(np.clip(np.asarray(image) + grain, 0, 255)))
    kept = io.BytesIO()
    image.save(kept, "JPEG", quality=80)
    return Image.open(kept)


def _from_the_side(image: Image.Image, dice: random.Random, ground: str) -> Image.Image:
    w, h = image.size
    far = dice.uniform(0.1, 0.3) * h
    corners = (0, 0, 0, h, w, h + far, w, -far)
    image = image.transform(image.size, Image.Transform.QUAD, corners, Image.Resampling.BICUBIC, fillcolor=ground)
    turn = dice.choice((-1, 1)) * dice.uniform(8, 30)
    return image.rotate(turn, fillcolor=ground, expand=True, resample=Image.Resampling.BICUBIC)


def _round_a_can(image: Image.Image) -> Image.Image:
    """Wound round a can seen a little from above: columns crowd towards the edges, and lines sag."""
    pixels = np.asarray(image)
    half = math.radians(60)
    radius = image.width / (2 * half)
    width = int(2 * radius * math.sin(half))
    angle = np.arcsin(np.clip((np.arange(width) - width / 2) / radius, -1, 1))
    columns = np.clip((image.width / 2 + radius * angle).astype(int), 0, image.width - 1)
    sag = (0.18 * radius * (np.cos(angle) - math.cos(half))).round().astype(int)
    tall = np.repeat(pixels[:1, :1], image.height + int(sag.max()), axis=0).repeat(width, axis=1)
    for at, (column, down) in enumerate(zip(columns.tolist(), sag.tolist(), strict=True)):
        tall[down : down + image.height, at] = pixels[:, column]
    return Image.fromarray(tall)


def distance(one: str, other: str) -> int:
    """Edit distance."""
    row = list(range(len(other) + 1))
    for k, letter in enumerate(one, 1):
        before, row[0] = row[0], k
        for m, there in enumerate(other, 1):
            before, row[m] = row[m], min(row[m] + 1, row[m - 1] + 1, before + (letter != there))
    return row[-1]


if __name__ == "__main__":
    main()
