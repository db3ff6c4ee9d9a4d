"""Claims of a picture, printed or advertised: the refresh rate at a size, on so many displays."""

from collections.abc import Iterator

from partingline.model import Evidence, Key, Number, Route, Sense, Statement
from partingline.readers.label.video import VideoMode, read_video_modes


def video_claims(line: str, said: str, evidence: tuple[Evidence, ...], route: Route) -> Iterator[Statement]:
    """Each size with a rate in a line, as `unit/video_refresh@displays,size`, at least."""
    for mode in read_video_modes(line):
        key = Key.of("unit", "video_refresh", size=mode.size, displays=mode.displays)
        yield Statement(key, Number(mode.refresh), route, Sense.AT_LEAST, evidence, said)


def without_modes(text: str) -> str:
    """The same text with blanks where modes stand, so that their hertz are not taken for those of the mains."""
    return "\n".join(_blanked(line, read_video_modes(line)) for line in text.split("\n"))


def _blanked(line: str, modes: tuple[VideoMode, ...]) -> str:
    for mode in modes:
        line = line[: mode.start] + " " * (mode.end - mode.start) + line[mode.end :]
    return line
