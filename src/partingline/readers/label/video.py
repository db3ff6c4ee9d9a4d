"""Picture sizes and rates in running text: `4K 60 Hz`, `3840×2160@60`, `dual 1080p60`.

What the names stand for is common practice (3840 × 2160 for 4K on a screen), no source.
"""

import re
from dataclasses import dataclass

_SIZES = {
    "8k": (7680, 4320), "4320p": (7680, 4320), "5k": (5120, 2880), "4k": (3840, 2160), "uhd": (3840, 2160),
    "ultra hd": (3840, 2160), "2160p": (3840, 2160), "2k": (2560, 1440), "qhd": (2560, 1440),
    "wqhd": (2560, 1440), "1440p": (2560, 1440), "full hd": (1920, 1080), "fhd": (1920, 1080),
    "1080p": (1920, 1080),
}  # fmt: skip
_COUNTS = {"dual": 2, "two": 2, "2": 2, "triple": 3, "three": 3, "3": 3, "quad": 4, "four": 4, "4": 4}
_NAMED = "|".join(sorted(_SIZES, key=len, reverse=True))
_MODE = re.compile(
    rf"""(?<![\w×])(?:(?P<count>dual|triple|quad|two|three|four|[234]\s*[x×])[\s-]+)?
    (?:(?P<name>{_NAMED})|(?P<width>\d{{3,4}})\s*[x×*]\s*(?P<height>\d{{3,4}}))
    \s*(?:[@,/(-]|at|with|up\ to)?\s*(?:up\ to\s*)?
    (?P<rate>\d{{2,3}})\s*(?:hz|fps|hertz|(?![\w.,]*\d|\s*(?:[wva]|watt|%|mm|cm|in|gb)))""",
    re.IGNORECASE | re.VERBOSE,
)


@dataclass(frozen=True, slots=True)
class VideoMode:
    """A picture of `width` × `height` pixels at `refresh` Hz on so many `displays`, and where in the line it stands."""

    width: int
    height: int
    refresh: float
    displays: int
    start: int
    end: int

    @property
    def size(self) -> str:
        """`3840×2160`."""
        return f"{self.width}×{self.height}"


def read_video_modes(line: str) -> tuple[VideoMode, ...]:
    """Every size with a rate in one line."""
    return tuple(_mode(found) for found in _MODE.finditer(line))


def _mode(found: re.Match[str]) -> VideoMode:
    name, count = found["name"], found["count"]
    size = _SIZES[name.lower()] if name else (int(found["width"]), int(found["height"]))
    displays = _COUNTS[re.sub(r"\s*[x×]$", "", count.lower())] if count else 1
    return VideoMode(*size, float(found["rate"]), displays, *found.span())
