"""The article as a document, every fixed string from the language's data file and every number in its manner."""

from collections.abc import Sequence
from dataclasses import replace

from partingline.facts.opened import Opened
from partingline.facts.show import show_fact, show_value
from partingline.model import Citation, Fact, Finding, Key, Number, Route, Sense, Standing, Text, Unit, Verdict
from partingline.publish.article.profile import Profile
from partingline.publish.compose.claims import CLAIMS
from partingline.publish.compose.lead import key_figures
from partingline.publish.compose.ledger import Ledger
from partingline.publish.compose.pictures import pictures
from partingline.publish.document import (
    Amount,
    Block,
    Callout,
    Caution,
    Column,
    Document,
    Figure,
    FigureRow,
    KeyFigure,
    Measure,
    Photo,
    Section,
    Spans,
    Table,
    TableCell,
    TableGroup,
    TableRow,
    plain,
)  # fmt: skip
from partingline.publish.look import GLYPHS, shape_of
from partingline.publish.words.languages import summary
from partingline.sources import quantities

OPEN = (Verdict.UNDECIDED, Verdict.NOT_ENOUGH_DATA)


def article(opened: Opened, findings: Sequence[Finding], profile: Profile) -> Document:
    """The article of a unit: summary, key figures, claims beside evidence, open and failed findings, pictures."""
    unit, told = opened.unit, profile.language
    ledger = Ledger(opened.book)
    short = [finding for finding in findings if finding.verdict is Verdict.FALLS_SHORT]
    open_ = [finding for finding in findings if finding.verdict in OPEN]
    photos = pictures(opened, findings, ledger)
    sections = [
        _claims(opened, ledger, profile),
        _findings([*short, *open_], opened, profile),
        _cautions(opened.unit, profile),
    ]
    if photos is not None:
        sections.insert(2, Section("photos", told("pictures"), _worded(photos.blocks, opened, profile)))
    sections.append(_evidence(opened, ledger, profile))
    return Document(
        title=unit.name,
        subtitle=told.kind(unit),
        lead=plain(summary(findings, told)),
        sections=tuple(sections),
        key_figures=tuple(_figure(figure, profile) for figure in key_figures(unit, opened.book, Ledger(opened.book))),
        notice=told("invented") if unit.invented else "",
        meta=(told("examined", day=unit.examined.isoformat()),) if unit.examined else (),
        language=told.id,
    )


def _worded(blocks: Sequence[Block], opened: Opened, profile: Profile) -> tuple[Block, ...]:
    """The pictures with their pins, measures and alternative text in the language."""
    told = profile.language
    parts = {f"row-{part.ref}": part for part in opened.unit.parts}

    def pinned(pin: Callout) -> Callout:
        part = parts.get(pin.ref or "")
        return replace(pin, label=told.part(part)) if part else pin

    def worded(figure: Figure) -> Figure:
        content = figure.content
        if not isinstance(content, Photo):
            return figure
        pins = tuple(map(pinned, content.callouts))
        measures = tuple(_measure(one, profile) for one in content.measures)
        named = ", ".join(f"{pin.number} {pin.label}" for pin in pins)
        stem = figure.id.rpartition("/")[2].rpartition(".")[0]
        title = told.strings.get(f"photo_{stem.replace('-', '_')}", figure.title)
        alt = (
            told("alt", title=title, count=len(pins), parts=named)
            if pins
            else told("alt_plain", title=title, name=opened.unit.name)
        )
        return replace(figure, title=title, alt=alt, content=replace(content, callouts=pins, measures=measures))

    found: list[Block] = []
    for block in blocks:
        if isinstance(block, FigureRow):
            found.append(FigureRow(tuple(worded(figure) for figure in block.figures)))
        else:
            found.append(worded(block) if isinstance(block, Figure) else block)
    return tuple(found)


def _measure(measure: Measure, profile: Profile) -> Measure:
    """A measured path whose label begins with a quantity's id, in the language; a person's own words stay."""
    told = profile.language
    quantity, _, value = measure.label.partition(" ")
    if quantity not in quantities() or told.id == "en":
        return measure
    length = value.removeprefix("drawn by hand ")
    by_hand = f" ({told('drawn_by_hand')})" if length != value else ""
    limit = "; ".join(_beside(part, profile) for part in measure.limit.split("; ") if part)
    return replace(measure, label=f"{told.quantity(quantity)}{by_hand} {told.number(length)}", limit=limit)


def _beside(part: str, profile: Profile) -> str:
    """What stands beside a measured path: what is asked, and how a path drawn by hand compares."""
    told = profile.language
    for ending, name in (
        (" asked", "asked"),
        ("as long as the one drawn by hand", "as_long"),
        (" shorter than the one drawn by hand", "shorter"),
        (" longer than the one drawn by hand", "longer"),
    ):
        if part.endswith(ending):
            return told(name, value=told.number(part.removesuffix(ending)))
    return part


def shown(fact: Fact, profile: Profile) -> str:
    """A fact's value in the profile's unit and the language's manner."""
    unit = profile.units.get(fact.key.quantity)
    value = fact.preferred.value
    if unit and isinstance(value, Number):
        from partingline.readers.quantities import format_quantity

        u = fact.u if fact.u and fact.preferred.sense is not Sense.NOMINAL else None
        return profile.language.number(
            format_quantity(value.value, quantities()[fact.key.quantity].unit, u=u, shown=unit)
        )
    return profile.language.number(show_fact(fact))


def named(key: Key, profile: Profile) -> str:
    """Quantity and conditions of a fact in the language."""
    at = profile.language.conditions(key)
    return profile.language.quantity(key.quantity) + (f" ({at})" if at else "")


def _figure(figure: KeyFigure, profile: Profile) -> KeyFigure:
    amount, told = figure.amount, profile.language
    key = Key.parse(amount.ref) if amount.ref else None
    caption = named(key, profile) if key else figure.caption
    return KeyFigure(Amount(told.number(amount.value), told.number(amount.u), amount.unit, amount.suffix), caption)


def _subject(subject: str, opened: Opened, profile: Profile) -> str:
    return profile.language.subject(subject, {part.subject: part for part in opened.unit.parts})


def _claims(opened: Opened, ledger: Ledger, profile: Profile) -> Section:
    told = profile.language
    rows = []
    for fact in opened.book.facts():
        routes = [s.route for s in fact.statements if s.route is not Route.ASSUMED]
        claimed = any(route in CLAIMS for route in routes)
        if not claimed or isinstance(fact.preferred.value, Text) or len(set(routes)) < 2:
            continue
        rows.append(_claim(fact, opened, ledger, profile))
    columns = tuple(Column(told(name)) for name in ("quantity", "subject", "value", "known_by", "standing"))
    return Section("claims", told("claims"), (Table(columns, (TableGroup("", tuple(rows)),)),))


def _claim(fact: Fact, opened: Opened, ledger: Ledger, profile: Profile) -> TableRow:
    told = profile.language
    routes = list(dict.fromkeys(told(s.route.value) for s in fact.statements))
    standing = _standing(fact)
    for statement in fact.statements:
        for place in statement.evidence:
            if place.sha256:
                ledger.evidence_ref(place)
    return TableRow(
        (
            TableCell(plain(named(fact.key, profile))),
            TableCell(plain(_subject(fact.key.subject, opened, profile))),
            TableCell(plain(shown(fact, profile))),
            TableCell(plain(", ".join(routes))),
            TableCell(plain(f"{GLYPHS[shape_of(standing)]} {told(standing.value)}")),
        ),
        id=f"row-{fact.key.id}",
    )


def _standing(fact: Fact) -> Standing:
    """How the claims stand; what was only said wrongly is no matter of the unit."""
    claims = [s for one, s in zip(fact.statements, fact.standings, strict=True) if one.route is not Route.SPOKEN]
    return next((s for s in (Standing.CONTRADICTED, Standing.SUPPORTED) if s in claims), Standing.OPEN)


def _findings(findings: Sequence[Finding], opened: Opened, profile: Profile) -> Section:
    told = profile.language
    names = ("verdict", "quantity", "subject", "value", "limit", "source")
    rows = tuple(_finding(finding, opened, profile) for finding in findings)
    return Section(
        "findings", told("findings"), (Table(tuple(Column(told(n)) for n in names), (TableGroup("", rows),)),)
    )


def _finding(finding: Finding, opened: Opened, profile: Profile) -> TableRow:
    told = profile.language
    key = finding.key or (finding.used[0] if finding.used else None)
    fact = opened.book.fact(key) if key else None
    verdict = f"{GLYPHS[shape_of(finding.verdict)]} {told(finding.verdict.value.replace(' ', '_'))}"
    what: Spans = plain(named(key, profile)) if key else plain(finding.rule.partition(".")[2].replace("_", " "))
    limit = _limit(finding, key, profile) or (finding.text if told.id == "en" else "–")
    cells = (
        verdict,
        what,
        _subject(finding.subject, opened, profile),
        shown(fact, profile) if fact else "–",
        limit,
    )
    spans = [cell if isinstance(cell, tuple) else plain(cell) for cell in cells]
    return TableRow((*(TableCell(one) for one in spans), TableCell(plain(_cited(finding.citation, profile)))))


def _cited(citation: Citation, profile: Profile) -> str:
    """Title and clause as the document has them; what makes a limit indicative in the language."""
    caveat = {"M": "memory", "P": "common"}.get(citation.mark)
    own = profile.language.strings.get(f"document_{citation.document.replace('-', '_')}")
    named = ", ".join(filter(None, (own or citation.title, citation.where)))
    return f"{named} ({profile.language(caveat)})" if caveat else named


def _limit(finding: Finding, key: Key | None, profile: Profile) -> str:
    limit = finding.limit
    if limit is None or key is None:
        return ""
    bounds = [
        f"{sign} {show_value(v, key.quantity)}" for sign, v in (("≥", limit.low), ("≤", limit.high)) if v is not None
    ]
    return profile.language.number(", ".join(bounds))


def _cautions(unit: Unit, profile: Profile) -> Section:
    told = profile.language
    low = "caution_cells" if unit.kind.casefold() == "power bank" else "caution_low"
    text = plain(told("caution_text" if unit.fed_by_mains else low))
    return Section("caution", told("caution"), (Caution(told("caution"), (text,)),))


def _evidence(opened: Opened, ledger: Ledger, profile: Profile) -> Section:
    return Section("evidence", profile.language("evidence"), (ledger.evidence_list(),))
