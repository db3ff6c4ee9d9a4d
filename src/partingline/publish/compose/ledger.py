"""What the page speaks of: every fact, file and source that was referred to, with the id that leads to it."""

from partingline.facts import Book
from partingline.facts.show import THIN, show_statement, split, split_u
from partingline.model import Citation, Evidence, Fact, Interval, Key, Number, Sense, Statement, Text
from partingline.model import Span as Said
from partingline.publish.document import Amount, EvidenceFile, EvidenceList, EvidencePlace, Kind, Span, Spans


class Ledger:
    """Ids for facts, evidence and sources, in the order in which they were first referred to."""

    def __init__(self, book: Book) -> None:
        self.book = book
        self.facts: dict[Key, None] = {}
        self.evidence: dict[Evidence, str] = {}
        self.sources: dict[str, Citation] = {}

    def ref(self, key: Key) -> str | None:
        """The id of a fact's entry; None where the fact is unknown. Its inputs are entered as well."""
        fact = self.book.fact(key)
        if fact is None:
            return None
        if key not in self.facts:
            self.facts[key] = None
            for needed in fact.inputs:
                self.ref(needed)
        return key.id

    def evidence_ref(self, evidence: Evidence) -> str:
        """The id of an evidence entry."""
        return self.evidence.setdefault(evidence, f"evidence-{len(self.evidence) + 1}")

    def evidence_list(self) -> EvidenceList:
        """Every place that was referred to, in the order of files and of first reference within one."""
        by_file: dict[tuple[str, str], list[EvidencePlace]] = {}
        for evidence, id_ in self.evidence.items():
            by_file.setdefault((evidence.path, evidence.sha256), []).append(EvidencePlace(id_, str(evidence.place)))
        return EvidenceList(tuple(EvidenceFile(*file, tuple(places)) for file, places in sorted(by_file.items())))

    def source_ref(self, citation: Citation) -> str:
        """The id of a source entry."""
        self.sources.setdefault(citation.document, citation)
        return f"source-{citation.document}"

    def amount(self, fact: Fact, statement: Statement | None = None, suffix: str = "") -> Amount:
        """A fact's preferred value, or one of its statements, as printed."""
        said = statement or fact.preferred
        ref, value, quantity = self.ref(fact.key), said.value, fact.key.quantity
        if isinstance(value, Text):
            return Amount(value.text, "", "", suffix, ref)
        if isinstance(value, Interval):
            number, unit = split(value.high, quantity)
            low, _ = split(value.low, quantity, unit=unit)
            return Amount(f"{low}–{number}" if low != number else number, "", unit, suffix, ref)
        if not value.u or said.sense is Sense.NOMINAL:
            number, unit = split(value.value, quantity)
            return Amount(number, _tolerance(value) if said.sense is Sense.NOMINAL else "", unit, suffix, ref)
        number, u, unit = split_u(value.value, value.u, quantity)
        return Amount(number, u, unit, suffix, ref)

    def spans(self, sentence: tuple[Said, ...]) -> Spans:
        """A finding's sentence with its numbers leading to their facts."""
        return tuple(
            Span(unbroken(said.text), self.ref(said.key), Kind.VALUE) if said.key else Span(unbroken(said.text))
            for said in sentence
        )

    def evidence_spans(self, key: Key, most: int = 2) -> Spans:
        """What the statements of a fact rest on, a few places: one of each route before more of one."""
        fact = self.book.fact(key)
        if fact is None:
            return ()
        firsts = [s.evidence[0] for s in fact.statements if s.evidence and s.evidence[0].sha256]
        places = list(dict.fromkeys([*firsts, *_places(self.book, fact)]))
        shown = [Span(str(place), self.evidence_ref(place)) for place in places[:most] if place.sha256]
        spans = [span for one in shown for span in (one, Span("; "))][:-1]
        if len(places) > most:
            spans.append(Span(f" and {len(places) - most} more"))
        return tuple(spans)


def unbroken(text: str) -> str:
    """The text with every value kept in one line with its uncertainty."""
    return text.replace(" ± ", "\u00a0±\u00a0")


def said_as(statement: Statement) -> str:
    """A statement in one line: its value, and in brackets how it was written where that differs."""
    shown = show_statement(statement)
    plain = shown.replace(THIN, " ")
    return shown if not statement.said or statement.said.strip() == plain else f"{shown} (‘{statement.said.strip()}’)"


def _places(book: Book, fact: Fact, depth: int = 4) -> list[Evidence]:
    """The evidence of a fact, or of what it was computed from."""
    found = [place for place in fact.evidence if place.sha256]
    if found or depth == 0:
        return found
    inputs = [known for key in fact.inputs if (known := book.fact(key)) is not None]
    return list(dict.fromkeys(place for known in inputs for place in _places(book, known, depth - 1)))


def _tolerance(value: Number) -> str:
    width = sum(abs(component.width) for component in value.components)
    return f"{width / value.value * 100:.3g}{THIN}%" if width and value.value else ""
