"""What runs in the background: the report in its formats, the tiles of a photo, readings of what is printed, a
recording with its levels, the map of the converter."""

from datetime import date
from pathlib import Path
from typing import Any

from partingline.workbench import tiles
from partingline.workbench.api.answers import AnswerError
from partingline.workbench.jobs import Progress, Work
from partingline.workbench.live import LiveUnit

FORMATS = ("html", "pdf", "md")
LANGUAGES = ("en", "de", "zh-Hans")
_MAP = (12, 10)
"""Steps of line and load."""


def named(unit: LiveUnit, told: dict[str, Any]) -> tuple[str, Work]:
    """The kind and the work that a request asks for."""
    kind = told.get("kind")
    if kind == "report":
        formats = told.get("formats", list(FORMATS))
        if not isinstance(formats, list) or not formats or any(name not in FORMATS for name in formats):
            raise AnswerError(400, "formats", f"{formats!r:.100}", f"some of {', '.join(FORMATS)}", "Mend the request.")
        return "report", lambda progress: report(unit, [name for name in FORMATS if name in formats], progress)
    if kind == "tiles" and isinstance(told.get("photo"), str):
        picture = tiles.find_picture(unit.root, unit.cache, told["photo"])
        return "tiles", lambda progress: _tiles(picture, progress)
    if kind in ("publication", "bag"):
        language = told.get("language", "en")
        if language not in LANGUAGES:
            raise AnswerError(
                400, "language", f"{language!r:.60}", f"one of {', '.join(LANGUAGES)}", "Mend the request."
            )
        work = publication if kind == "publication" else bag
        return kind, lambda progress: work(unit, language, progress)
    if kind == "readings":
        wanted = told.get("subjects", [])
        if not isinstance(wanted, list) or not all(isinstance(one, str) for one in wanted):
            raise AnswerError(400, "subjects", f"{wanted!r:.100}", "a list of part:REF and label", "Mend the request.")
        return "readings", lambda progress: _readings(unit, wanted, progress)
    if kind == "decode" and isinstance(told.get("capture"), str):
        return "decode", lambda progress: _decode(unit, told["capture"], progress)
    if kind == "map":
        offer = told.get("offer")
        if not isinstance(offer, int | float) or isinstance(offer, bool):
            raise AnswerError(400, "offer", f"{offer!r:.60}", "an offer's voltage, as 20", "Mend the request.")
        return "map", lambda progress: _map(unit, float(offer), progress)
    expected = "report, readings, map with 'offer', decode with 'capture', or tiles with 'photo'"
    raise AnswerError(400, "kind", f"{kind!r:.60}", expected, "Mend the request.")


def report(unit: LiveUnit, formats: list[str], progress: Progress) -> dict[str, Any]:
    """Write `report/` in the unit folder, as `partingline report` does; the files' names."""
    from partingline.publish.compose import compose

    progress(0.05, "judging")
    with unit.reading:
        shown = unit.current()
        progress(0.2, "composing")
        document = compose(shown.opened, shown.findings)
    target = unit.root / "report"
    if target.is_symlink():
        raise OSError("report/ is a link; expected a folder. Move the link away.")
    files: list[str] = []
    for number, name in enumerate(formats):
        progress(0.3 + 0.7 * number / len(formats), f"writing {name}")
        for file, data in _rendered(name, document).items():
            _write(target / file, data)
            files.append(file)
    return {"files": files, "state": shown.state}


def publication(unit: LiveUnit, language: str, progress: Progress) -> dict[str, Any]:
    """Write `publication/` in the unit folder, as `partingline publish` does; the files' names."""
    target = unit.root / "publication"
    if target.is_symlink():
        raise OSError("publication/ is a link; expected a folder. Move the link away.")
    files = _publication(unit, language, progress)
    for number, (name, data) in enumerate(files.items()):
        progress(0.8 + 0.2 * number / len(files), f"writing {name}")
        _write(target / name, data)
    return {"folder": "publication", "files": sorted(files, key=lambda name: ("/" in name, name)), "state": unit.state}


def bag(unit: LiveUnit, language: str, progress: Progress) -> dict[str, Any]:
    """Seal publication and evidence beside the unit's folder, as `partingline bag` does; where, and what to mind."""
    from partingline.publish.bag import write_bag
    from partingline.readers.photos.metadata import private_photos

    today = date.today()
    target = unit.root.parent / f"{unit.root.name}-{today.isoformat()}"
    files = _publication(unit, language, progress)
    progress(0.9, "sealing")
    name = unit.current().opened.unit.name
    write_bag(unit.root, files, target, title=f"{name}: publication and evidence", day=today)
    private = private_photos(target / "data/unit")
    minded = [
        f"{photo}: the original holds {', '.join(told)}; hand on data/publication" for photo, told in private.items()
    ]
    return {"bag": target.name, "notes": minded, "state": unit.state}


def _publication(unit: LiveUnit, language: str, progress: Progress) -> dict[str, bytes]:
    from partingline.publish.article import read_profile
    from partingline.publish.article.package import publication as packed

    progress(0.05, "judging")
    with unit.reading:
        shown = unit.current()
    progress(0.2, "writing the article")
    return packed(shown.opened, shown.findings, read_profile(None, language), day=date.today().isoformat())


def _rendered(name: str, document: Any) -> dict[str, bytes]:
    if name == "html":
        from partingline.publish.html import render_html

        return {"report.html": render_html(document).encode("utf-8")}
    if name == "pdf":
        from partingline.publish.pdf import render_pdf

        return {"report.pdf": render_pdf(document)}
    from partingline.publish.markdown import render_markdown

    return render_markdown(document, "report")


def _write(path: Path, data: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    beside = path.with_name(f".{path.name}.part")
    beside.write_bytes(data)
    beside.replace(path)


def _readings(unit: LiveUnit, subjects: list[str], progress: Progress) -> Any:
    """Proposals for the places named, or for all where nothing is typed yet; as `partingline read --json`."""
    from partingline.publish.records import read_record
    from partingline.workbench.readings import places, proposed, told

    opened = unit.current().opened
    chosen = [place for place in places(opened, subjects) if subjects or not place.now]
    found = []
    for number, place in enumerate(chosen):
        progress(number / len(chosen), f"reading {place.subject.removeprefix('part:')}")
        found += [(told(place), lines) for place, lines in proposed(opened, [place])]
    return read_record(found)


def _decode(unit: LiveUnit, name: str, progress: Progress) -> dict[str, Any]:
    """A recording decoded, and its levels made for every zoom: what a chart asks for is at hand from then on."""
    from partingline.workbench import signals

    progress(0.0, f"decoding {name}")
    captures = unit.current().opened.captures
    capture = captures.get(f"captures/{name}") or captures.get(name)
    if capture is None:
        raise ValueError(f"captures/{name}: no such recording; expected a file in captures/. Look at the unit's ports.")
    length = capture.recording.length if capture.recording else 0
    channels = capture.recording.channels if length else ()
    for number, channel in enumerate(channels):

        def watch(share: float, at: int = number, called: str = channel.name) -> None:
            progress((at + share) / len(channels), f"levels of {called}")

        signals.blocks(capture.recording, channel, unit.cache, watch)
    return {"samples": length, "channels": len(channels), "messages": len(capture.conversation.events)}


def _map(unit: LiveUnit, offer: float, progress: Progress) -> dict[str, Any]:
    """The converter over line and load at an offer; null where no cycle carries the load."""
    from partingline.facts.operating_point import NoPointError, bounds, operating_point

    with unit.reading:
        opened = unit.current().opened
        found = bounds(opened.unit, opened.book)
        operating_point(opened.unit, opened.book, mains=found.mains[1], offer=offer, load=1.0)
    low, high = found.mains
    mains = [low + (high - low) * step / (_MAP[0] - 1) for step in range(_MAP[0])]
    loads = [(step + 1) / _MAP[1] for step in range(_MAP[1])]
    table: dict[str, list[list[float | None]]] = {name: [] for name in ("efficiency", "total", "frequency")}
    for row, volts in enumerate(mains):
        for rows in table.values():
            rows.append([])
        for column, load in enumerate(loads):
            progress((row + column / len(loads)) / len(mains), f"{volts:.0f} V mains")
            try:
                with unit.reading:
                    point = operating_point(opened.unit, opened.book, mains=volts, offer=offer, load=load)
            except NoPointError:
                point = None
            for name, rows in table.items():
                rows[-1].append(None if point is None else getattr(point, name)[0])
    return {"port": found.port, "offer": offer, "mains": mains, "load": loads, **table}


def _tiles(picture: tiles.Picture, progress: Progress) -> dict[str, Any]:
    width, height = tiles.size_of(picture)
    count = tiles.level_count(width, height)
    made = 0
    for level in reversed(range(count)):
        scale = 2 ** (count - 1 - level)
        columns, rows = (-(-side // scale // tiles.TILE) for side in (width, height))
        for x in range(columns):
            progress(1 - (level + 1) / count, f"level {level}")
            for y in range(rows):
                tiles.tile(picture, level, x, y)
                made += 1
    return {"tiles": made}
