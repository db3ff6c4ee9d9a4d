"""Advertised claims of `words/listing.md`, line by line."""

import re
from collections import defaultdict
from collections.abc import Iterator

from partingline.facts.statements.values import from_quantity
from partingline.facts.statements.video import video_claims
from partingline.model import Evidence, Key, Line, Number, Route, Sense, Statement, Unit
from partingline.readers.folder import Folder
from partingline.readers.label import Claim, read_claims
from partingline.readers.label.video import read_video_modes
from partingline.sources import quantities

NAME = "words/listing.md"
_COMMENT = re.compile(r"<!--.*?-->", re.DOTALL)


def listing_statements(folder: Folder, unit: Unit) -> Iterator[Statement]:
    """Every claim that can be bound to a quantity; a line with figures that cannot is reported."""
    file = folder.text(NAME, "advertised claims, one a line")
    if file is None:
        return
    text = _COMMENT.sub(lambda comment: re.sub(r"[^\n]", " ", comment.group()), file.text)
    by_line: dict[int, list[Claim]] = defaultdict(list)
    for claim in read_claims(text):
        by_line[claim.line].append(claim)
    for number, line in enumerate(text.splitlines(), start=1):
        videos = read_video_modes(line)
        claims = [c for c in by_line[number] if not any(v.start < c.end and c.start < v.end for v in videos)]
        if not by_line[number] and not videos:
            continue
        said = line.strip().lstrip("-*• ").strip()
        bound = list(video_claims(line, said, (file.at(Line(number)),), Route.LISTING))
        bound += _line(claims, said, unit, file.at(Line(number)))
        if not bound:
            step = "Name the port or the quantity in the line, as '65 W on C1'."
            folder.report(NAME, f"'{said}' speaks of nothing known", "a claim such as '65 W on C1'", step, Line(number))
        yield from bound


def _line(claims: list[Claim], said: str, unit: Unit, evidence: Evidence) -> Iterator[Statement]:
    ports = [port.id for port in unit.ports if re.search(rf"(?<!\w){re.escape(port.id)}(?!\w)", said, re.IGNORECASE)]
    by_unit = {claim.quantity.unit: claim for claim in claims}
    if "V" in by_unit and "A" in by_unit and len(ports) == 1:
        key = Key.of(f"port:{ports[0]}", "available_current", offer=by_unit["V"].quantity.value)
        yield _claimed(key, by_unit["A"].quantity.value, said, evidence)
        claims = [claim for claim in claims if claim.quantity.unit not in ("V", "A")]
    for claim in claims:
        quantity = claim.quantity
        if quantity.unit == "W" and claim.what in (None, "output_power", "rated_power"):
            own = ports or [port.id for port in unit.ports if len(unit.ports) == 1]
            yield _claimed(Key.of(_subject(own), "output_power"), quantity.value, said, evidence)
        elif claim.what in ("efficiency", "average_efficiency", "peak_efficiency"):
            name = "average_efficiency" if "average" in said.casefold() else "peak_efficiency"
            yield _claimed(Key.of("unit", name), quantity.value, said, evidence)
        elif claim.what in quantities():
            key = Key.of(_subject(ports), claim.what or "")
            read = from_quantity(quantity, key)
            yield Statement(key, read.value, Route.LISTING, read.sense, (evidence,), said, read.note)


def _subject(ports: list[str]) -> str:
    if not ports:
        return "unit"
    return f"port:{ports[0]}" if len(ports) == 1 else f"ports:{'+'.join(sorted(ports))}"


def _claimed(key: Key, value: float, said: str, evidence: Evidence) -> Statement:
    return Statement(key, Number(value), Route.LISTING, Sense.AT_LEAST, (evidence,), said)
