"""One recording as a witness: what it says of times, levels and counts, each with its place and its resolution."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import PurePosixPath

from partingline.model import Component, Evidence, Key, Number, Route, Samples, Sense, Shape, Statement
from partingline.readers.cc import Capture
from partingline.readers.folder import Folder


@dataclass(frozen=True)
class Witness:
    """A recording of the folder by its name."""

    name: str
    capture: Capture
    folder: Folder

    @property
    def subject(self) -> str:
        """`captures/c1-attach.sigmf-meta` is `capture:c1-attach`."""
        name = PurePosixPath(self.name).name.removesuffix(".sigmf-meta").partition(".")[0]
        return f"capture:{name}"

    @property
    def timed(self) -> bool:
        """Whether its times mean something; pasted messages have none."""
        return self.capture.timed

    @property
    def step_s(self) -> float:
        """Time between two samples; 0 where edges were recorded."""
        return 1 / self.capture.rate_hz if self.capture.rate_hz else 0.0

    @property
    def end_s(self) -> float:
        """The end of the recording."""
        frames = self.capture.frames
        return self.capture.duration_s or (frames[-1].end_s if frames else 0.0)

    def whole(self) -> Evidence:
        """A pointer to the file."""
        return self.folder.evidence(self.name)

    def between(self, start_s: float, end_s: float) -> Evidence:
        """A pointer to the samples between two times; to the data file of a SigMF pair."""
        if not self.capture.rate_hz:
            return self.whole()
        data = self.name.replace(".sigmf-meta", ".sigmf-data")
        rate = self.capture.rate_hz
        return self.folder.evidence(data, Samples(round(start_s * rate), round(end_s * rate), start_s))

    def count(self, quantity: str, value: float, note: str = "") -> Statement:
        """A number of things in the whole recording."""
        return Statement(
            Key.of(self.subject, quantity), Number(float(value)), Route.CAPTURED, evidence=(self.whole(),), note=note
        )

    def says(
        self,
        quantity: str,
        value: float,
        span: tuple[float, float],
        note: str = "",
        *,
        half_width: float | None = None,
        sense: Sense = Sense.EQUALS,
        at: Mapping[str, float | str] | None = None,
    ) -> Statement:
        """A value read between two times; `half_width` of its resolution is one sample where it is not given."""
        key = Key.of(self.subject, quantity, **(at or {}))
        width = self.step_s if half_width is None else half_width
        components = (Component(f"reading:{key.id}", width, Shape.RECTANGULAR),) if width else ()
        where = (self.between(*span),)
        return Statement(key, Number(value, components), Route.CAPTURED, sense, where, note=note)

    def extreme(
        self, quantity: str, found: Iterable[tuple[float, float, float]], *, highest: bool, note: str = ""
    ) -> Iterator[Statement]:
        """The highest or lowest of (value, start, end); nothing where none was found."""
        values = list(found)
        if values:
            value, start, end = (max if highest else min)(values, key=lambda one: one[0])
            which = "highest" if highest else "lowest"
            yield self.says(quantity, value, (start, end), note or f"{which} of {len(values)}")
