"""What was said, or is meant to be, as statements: they join facts known otherwise, and are never preferred."""

from collections.abc import Iterable

from partingline.facts.book import Book
from partingline.facts.spoken.check import check_words
from partingline.facts.spoken.types import Class, Spoken
from partingline.model import Line, Number, Route, Sense, Statement, Text, Unit
from partingline.readers.folder import Folder, TextFile
from partingline.readers.words import read_script

NAME = "words/captions.vtt"
DRAFT = "words/narration.md"
_JOINS = (Class.AGREES, Class.DIFFERS, Class.WRONG_UNIT)


def spoken_statements(folder: Folder, unit: Unit, book: Book) -> tuple[Statement, ...]:
    """Statements of the captions on facts of the book; before there are captions, of the narration that is meant."""
    draft = folder.text(DRAFT, "the narration that is meant: Markdown")
    file = folder.text(NAME, "captions of the recording: WebVTT") or draft
    if file is None:
        return ()
    script = read_script(file.text, file.path)
    for line, found in script.notes:
        folder.report(file.path, found, "a cue's times, as 00:01.000 --> 00:04.000", "Correct that line.", Line(line))
    checked = check_words(unit, book.facts(), script)
    return tuple(dict.fromkeys(_statements(checked.spoken, file)))


def _statements(spoken: Iterable[Spoken], file: TextFile) -> Iterable[Statement]:
    for one in spoken:
        if one.fact is None or one.class_ not in _JOINS or one.figure.kind not in ("quantity", "dimension"):
            continue
        reading = one.reading or one.figure.readings[0]
        same_unit = not (one.class_ is Class.WRONG_UNIT and one.off is None)
        value = Number(reading.value) if same_unit and reading.high is None else Text(one.figure.words)
        sense = one.against.sense if one.against and one.class_ is Class.AGREES else Sense.EQUALS
        if isinstance(value, Text) and one.class_ is Class.AGREES and one.against is not None:
            value = one.against.value  # type: ignore[assignment]
        if isinstance(value, Number) and one.class_ is Class.AGREES and one.against is not None:
            value = one.against.value if isinstance(one.against.value, Number) else value
        place = file.at(Line(one.line))
        yield Statement(one.fact.key, value, Route.SPOKEN, sense, (place,), one.figure.words)
