"""A sample document: invented unit, invented makers, invented figures.

`python -m tests.publish.sample FOLDER` writes both in every format, to look at.
"""

import sys
from pathlib import Path

from partingline.model import Standing, Verdict
from partingline.publish.document import (
    Align,
    Amount,
    Bibliography,
    Caution,
    Column,
    Document,
    EvidenceFile,
    EvidenceList,
    EvidencePlace,
    FactEntry,
    FactList,
    FindingItem,
    FindingList,
    Items,
    KeyFigure,
    Kind,
    Paragraph,
    RouteCell,
    RouteRow,
    RouteTable,
    Section,
    Source,
    Span,
    Spans,
    Table,
    TableCell,
    TableGroup,
    TableRow,
    Timeline,
    TimelineEvent,
    amount_spans,
    plain,
)
from tests.publish.sample_figures import figure_sections


def sample() -> Document:
    """A realistic report of an invented charger."""
    return Document(
        title="Tern 65",
        subtitle="two-port wall charger",
        notice="Invented demonstration unit",
        meta=("examined 2 October 2026 · 214 facts, 61 findings",),
        lead=(
            Span("Delivers its 65 W and meets every efficiency limit that applies. "),
            Span("Four things fall short", "findings"),
            Span(": the barrier on the main board is 0.7 mm under the reinforced distance, the 15 V offer is below "),
            Span("what the rating requires, the listing’s combined 65 W is not kept, and its 94 % nowhere reached."),
        ),
        key_figures=(
            KeyFigure(Amount("65", "", "W", "", "fact:power"), "rated, kept"),
            KeyFigure(Amount("90.6", "0.3", "%", "", "fact:efficiency"), "average, 115 V, 20 V"),
            KeyFigure(Amount("148", "4", "mW", "", "fact:no-load"), "no load, 230 V"),
            KeyFigure(Amount("1.36", "", "W/cm³", "", "fact:density"), "without prongs"),
            KeyFigure(Amount("74", "2", "°C", "", "fact:hot"), "hottest face, at 25 °C"),
            KeyFigure(Amount("62", "", "mV p-p", "", "fact:ripple"), "ripple, 20 MHz"),
            KeyFigure(Amount("41", "", "min", "", "fact:steady"), "until steady"),
        ),
        sections=(_claims(), *figure_sections(), _findings(), _parts(), _history(), *_ends()),
    )


def _claims() -> Section:
    def cell(value: str, u: str = "", unit: str = "", suffix: str = "", odd: bool = False) -> tuple[RouteCell, ...]:
        return (RouteCell(Amount(value, u, unit, suffix, "fact:power"), odd),)

    none: tuple[RouteCell, ...] = ()
    supported, contradicted = Standing.SUPPORTED, Standing.CONTRADICTED
    rows = (
        RouteRow(
            "C1 · 20 V current",
            (
                cell("3.25", "", "A"),
                cell("3.25", "", "A"),
                cell("3.25", "", "A"),
                cell("3.61", "0.02", "A", "trips"),
                cell("3.4 … 3.9", "", "A"),
                cell("3.25", "", "A"),
            ),
            supported,
            "",
            "fact:power",
        ),
        RouteRow(
            "C1 · 15 V current",
            (
                cell("3", "", "A"),
                cell("3", "", "A"),
                cell("2.40", "", "A", "", True),
                cell("2.52", "0.02", "A", "trips"),
                none,
                cell("3", "", "A", "", True),
            ),
            contradicted,
            "",
            "fact:power",
        ),
        RouteRow(
            "C1 + A1 together",
            (
                cell("45 W + 18 W"),
                cell("65", "", "W", "", True),
                cell("45", "", "W"),
                cell("62.8", "0.4", "W"),
                none,
                none,
            ),
            contradicted,
        ),
        RouteRow(
            "average efficiency",
            (
                cell("VI"),
                cell("up to 94", "", "%", "", True),
                none,
                cell("90.6", "0.3", "%"),
                cell("90.1 … 91.4", "", "%"),
                none,
            ),
            contradicted,
            "20 V, 115 V",
            "fact:efficiency",
        ),
        RouteRow(
            "mass",
            (none, cell("118", "", "g"), none, cell("118.4", "0.1", "g"), none, cell("118", "", "g")),
            supported,
        ),
        RouteRow(
            "bulk capacitor C3",
            (
                cell("27 µF 400 V", suffix="marking"),
                none,
                none,
                cell("25.8", "0.3", "µF"),
                none,
                cell("27", "", "mF", "", True),
            ),
            contradicted,
        ),
        RouteRow("Y capacitor C11", (none,) * 6, Standing.OPEN, "capacitance"),
    )
    columns = ("label", "listing", "offered", "measured", "computed", "spoken")
    return Section(
        "claims",
        "Claims beside evidence",
        (RouteTable(columns, rows),),
        "one line, one fact; one column, one way of knowing it",
    )


def _findings() -> Section:
    short, undecided, missing = Verdict.FALLS_SHORT, Verdict.UNDECIDED, Verdict.NOT_ENOUGH_DATA
    creepage = (
        Span("Creepage across the main barrier is "),
        *amount_spans(Amount("4.31", "0.06", "mm", "", "fact:creepage")),
        Span("; reinforced insulation at 250 V, pollution degree 2, group IIIa asks 5.0 mm."),
    )
    idle = (
        Span("No-load power "),
        *amount_spans(Amount("148", "4", "mW", "", "fact:no-load")),
        Span(" at 230 V lies too near the 150 mW limit of the voluntary code to call."),
    )
    items = (
        FindingItem(
            "finding:creepage",
            short,
            creepage,
            (Span("IEC 60664-1:2020, table F.5, twice the basic value", "source:60664"),),
            (Span("photo 14", "ev:photo"), Span(", outlines 3 and 7")),
            "probability of meeting < 0.1 %",
        ),
        FindingItem(
            "finding:no-load",
            undecided,
            idle,
            (Span("EU Code of Conduct v5, tier 2 (indicative: read in a secondary copy)", "source:coc"),),
            (Span("log 9, rows 1 to 1,860", "ev:log"),),
            "probability of meeting 69 %",
            "a meter good to ± 1 mW would decide it",
        ),
        FindingItem(
            "finding:touch",
            missing,
            plain("Touch current: the value of the Y capacitor has not been read or measured."),
            plain("IEC 62368-1 (indicative: from memory)"),
            (),
            "",
            "read the marking of C11",
        ),
        FindingItem(
            "finding:average",
            Verdict.MEETS,
            plain("Average efficiency 90.6 % reaches the 88.0 % that Level VI asks."),
            plain("10 CFR 430.32(w)"),
            (Span("log 3", "ev:log"),),
            "margin 2.6 %; probability of meeting > 99.9 %",
        ),
    )
    return Section(
        "findings", "Findings that fall short or stay open", (FindingList(items),), "57 more meet their limit"
    )


def _parts() -> Section:
    def row(ref: str, role: str, marking: str, value: str, margin: str, status: Verdict) -> TableRow:
        number = str({"F1": 1, "C3": 2, "Q1": 3, "T1": 4, "Q4": 5, "C15": 6, "U2": 7, "C11": 8}[ref])
        cells = (
            TableCell((Span(ref, None, Kind.STRONG),)),
            TableCell(plain(role)),
            TableCell(plain(marking)),
            TableCell((Span(value, "fact:power"),)),
            TableCell(plain(margin)),
            TableCell((), status),
        )
        return TableRow(cells, f"part:{number}")

    columns = (
        Column("ref"),
        Column("role"),
        Column("marking"),
        Column("value"),
        Column("margin", Align.RIGHT),
        Column("verdict"),
    )
    groups = (
        TableGroup(
            "Input",
            (
                row("F1", "fuse", "T2,5AL250V", "2.5 A 250 V", "31 %", Verdict.MEETS),
                row("C3", "bulk capacitor", "27µF 400V", "27 µF 400 V", "6.7 %", Verdict.FALLS_SHORT),
            ),
        ),
        TableGroup(
            "Primary",
            (
                row("Q1", "primary switch", "QN650R15", "650 V 150 mΩ", "14 %", Verdict.MEETS),
                row("T1", "transformer", "TQ25", "n 6.2 ± 0.1", "", Verdict.MEETS),
            ),
        ),
        TableGroup(
            "Secondary",
            (
                row("Q4", "rectifier", "NR100-6", "100 V 6 mΩ", "22 %", Verdict.UNDECIDED),
                row("C15", "output capacitor", "560 25", "560 µF 25 V", "20 %", Verdict.MEETS),
            ),
        ),
        TableGroup(
            "Barrier",
            (
                row("U2", "feedback isolator", "IS40", "5 kV", "", Verdict.MEETS),
                row("C11", "Y capacitor", "", "", "", Verdict.NOT_ENOUGH_DATA),
            ),
        ),
    )
    caution = Caution(
        "Before opening",
        (
            (
                Span("Mains and charged capacitors can kill. C3 holds "),
                *amount_spans(Amount("1.88", "0.03", "J", "", "fact:power")),
                Span(" at 373 V and needs "),
                *amount_spans(Amount("52", "4", "s", "", "fact:power")),
                Span(" to fall below 60 V."),
            ),
            plain("Measure before touching. Local codes and licensed practice go before anything printed here."),
        ),
    )
    return Section(
        "parts", "Parts by stage", (caution, Table(columns, groups)), "margin to the rating at the worst case"
    )


def _history() -> Section:
    events = (
        TimelineEvent("0.0 ms", plain("Source capabilities"), plain("5 V 3 A · 9 V 3 A · 15 V 2.4 A · 20 V 3.25 A")),
        TimelineEvent("3.1 ms", plain("Request"), plain("object 4, 3.25 A")),
        TimelineEvent("4.0 ms", plain("Accept")),
        TimelineEvent("182 ms", plain("Power ready"), plain("VBUS 20.06 V")),
    )
    todo = Items(
        (
            plain("Read the marking of C11: settles 3 findings."),
            plain("Measure no load with a better meter: settles 1."),
        ),
        ordered=True,
    )
    return Section(
        "protocol",
        "What was said on the CC line",
        (Timeline(events), Paragraph(plain("What to measure next:")), todo),
    )


def _ends() -> tuple[Section, ...]:
    names = ("power", "efficiency", "no-load", "density", "hot", "ripple", "steady", "creepage")
    basis: Spans = (Span("log 3", "ev:log"), Span(", "), Span("IEC 60664-1", "source:60664"))
    facts = tuple(
        FactEntry(
            f"fact:{name}",
            name.replace("-", " "),
            amount_spans(Amount("90.6", "0.3", "%")),
            "measured",
            basis,
        )
        for name in names
    )
    evidence = (
        EvidenceFile(
            "logs/efficiency-230.csv",
            "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08",
            (EvidencePlace("ev:log", "rows 2 to 1861, p_in"),),
        ),
        EvidenceFile(
            "photos/main-bottom.png",
            "60303ae22b998861bce3b28f33eec1be758a213c86c93c076dbe9f558c11c752",
            (EvidencePlace("ev:photo", "region 520,255 185×240 px"),),
        ),
    )
    sources = (
        Source("source:60664", "IEC 60664-1:2020, Insulation coordination", "table F.5; secondary copy"),
        Source(
            "source:coc",
            "EU Code of Conduct on external power supplies, version 5",
            "",
            "https://example.org/coc",
        ),
    )
    return (
        Section("facts", "Facts", (FactList(facts),), "every number above leads here"),
        Section("evidence", "Evidence", (EvidenceList(evidence),), "places in the files of the unit folder"),
        Section("sources", "Sources", (Bibliography(sources),)),
    )


def write(folder: Path) -> None:
    """The sample and the nasty document in every format."""
    from partingline.publish.html import render_html
    from partingline.publish.markdown import render_markdown
    from partingline.publish.pdf import render_pdf
    from tests.publish.nasty import nasty

    folder.mkdir(parents=True, exist_ok=True)
    for name, document in (("sample", sample()), ("nasty", nasty())):
        (folder / f"{name}.html").write_text(render_html(document), encoding="utf-8")
        (folder / f"{name}.pdf").write_bytes(render_pdf(document))
        for path, data in render_markdown(document, name).items():
            (folder / path).parent.mkdir(parents=True, exist_ok=True)
            (folder / path).write_bytes(data)


if __name__ == "__main__":
    write(Path(sys.argv[1]))
