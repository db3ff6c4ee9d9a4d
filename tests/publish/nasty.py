"""A document whose texts try to become markup, in every place that holds text."""

from partingline.model import Standing, Verdict
from partingline.publish.document import (
    Align,
    Amount,
    Bibliography,
    Caution,
    Column,
    Document,
    Drawing,
    EvidenceFile,
    EvidenceList,
    EvidencePlace,
    FactEntry,
    FactList,
    Figure,
    FindingItem,
    FindingList,
    Items,
    KeyFigure,
    KeyFigures,
    Kind,
    Paragraph,
    Photo,
    RouteCell,
    RouteRow,
    RouteTable,
    Section,
    Source,
    Span,
    Table,
    TableCell,
    TableGroup,
    TableRow,
    Timeline,
    TimelineEvent,
    plain,
)
from partingline.publish.figures import (
    Contract,
    Curve,
    Level,
    Margin,
    Message,
    Stage,
    StagePart,
    block_diagram,
    line_chart,
    margin_bars,
    protocol_timeline,
)
from tests.publish.sample_figures import photo

NASTY = (
    "<script>alert(1)</script>",
    "#set page(width: 1pt) $x$ #panic()",
    "a | b \\| c",
    "`code` ``two`` *bold* _it_ [link](javascript:x) ![i](y)",
    "שלום עולם 65 W مرحبا",
    "🔌⚡ 充電器 ﷽",
    "W" * 180,
    "</style><!-- --> {{ 7 * 7 }} {% raw %} &amp; \"quotes' \\",
    "tab\there, bell\a, nul\0, lone \ud800 end",
    "line\nbreak\r\n- item\n# head\n1. one",
    "@label <label> // comment /* c */ ~ -- --- ...",
)


def nasty() -> Document:
    """Texts that try to become markup, in every place that holds text."""
    texts = NASTY
    cell = RouteCell(Amount(texts[2], texts[0], texts[1], texts[3], "x"), odd=True)
    rows = tuple(RouteRow(t, ((cell, cell), ()), Standing.CONTRADICTED, t, f"id {n}") for n, t in enumerate(texts))
    everywhere = tuple(Span(t, f"id {n}", kind) for kind in Kind for n, t in enumerate(texts))
    facts = tuple(FactEntry(f"id {n}", t, plain(t), t, everywhere[:3]) for n, t in enumerate(texts))
    blocks = (
        Paragraph(everywhere),
        Items(tuple(plain(t) for t in texts), ordered=True),
        Caution(texts[0], tuple(plain(t) for t in texts)),
        RouteTable((texts[0], texts[2]), rows, texts[1]),
        Table(
            (Column(texts[0]), Column(texts[2], Align.RIGHT)),
            tuple(
                TableGroup(t, (TableRow((TableCell(plain(t)), TableCell(plain(t), Verdict.MEETS)), f"row {t}"),))
                for t in texts
            ),
            texts[3],
        ),
        FindingList(
            tuple(
                FindingItem(f"f{n}", v, plain(t), plain(t), plain(t), t, t)
                for n, t in enumerate(texts)
                for v in [Verdict.UNDECIDED]
            )
        ),
        Figure("pic", texts[0], photo(), plain(texts[1]), texts[8]),
        Figure("broken", texts[3], Photo(b"no picture", "image/png", 100, 0), plain(texts[4]), texts[7]),
        Timeline(tuple(TimelineEvent(t, plain(t), plain(t)) for t in texts)),
        KeyFigures(tuple(KeyFigure(Amount(t, t, t, t), t) for t in texts[:3])),
        FactList(facts),
        EvidenceList(tuple(EvidenceFile(t, t, (EvidencePlace(f"e{n}", t),)) for n, t in enumerate(texts))),
        Bibliography(
            (
                Source("s1", texts[0], texts[1], "javascript:alert(1)"),
                Source("s2", texts[3], "", "https://example.org/a?b=<c>"),
            )
        ),
    )
    drawings = (
        line_chart(
            [Curve(t, (0, 1), (n, 1)) for n, t in enumerate(texts)],
            limits=[Level(t, 0.5) for t in texts],
            x_label=texts[0],
            y_label=texts[8],
        ),
        protocol_timeline([Message(n, t, t) for n, t in enumerate(texts)], contracts=[Contract(0, 9, texts[0])]),
        block_diagram([Stage(t, "primary", (StagePart(t, t, t, True),)) for t in texts]),
        margin_bars([Margin(t, 0.5, t, Verdict.MEETS) for t in texts]),
    )
    blocks += tuple(Figure(f"drawing {n}", "", Drawing(svg), (), texts[0]) for n, svg in enumerate(drawings))
    return Document(
        texts[0],
        texts[1],
        plain(texts[3]),
        (Section("sec <1>", texts[2], blocks, texts[5]),),
        (),
        texts[4],
        texts,
    )
