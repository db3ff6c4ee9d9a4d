"""What stands on each page of a unit: sections of the report, fields to edit, files to drop, and what is missing."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from partingline.facts.show import key_text
from partingline.findings.next_steps import NextStep, next_steps
from partingline.model import Fact, Finding, Route, Verdict
from partingline.publish.compose.cautions import cautions
from partingline.publish.compose.claims import claims
from partingline.publish.compose.converter import converter
from partingline.publish.compose.ends import assumptions
from partingline.publish.compose.energy import energy
from partingline.publish.compose.findings import met_findings, open_findings
from partingline.publish.compose.ledger import Ledger
from partingline.publish.compose.opening import opening
from partingline.publish.compose.protocol import protocol
from partingline.publish.document import FactEntry, FactList, Section, amount_spans
from partingline.workbench.editing import RefusedError
from partingline.workbench.editing.toml_form import TomlForm
from partingline.workbench.live import LiveUnit, Shown
from partingline.workbench.pages.fields import Field, text_field, toml_field
from partingline.workbench.pages.render import sections_of

PAGES = (
    "outside", "ports", "measurements", "opening", "boards", "parts", "converter", "spacing", "findings", "words",
    "publish",
)  # fmt: skip
GROUPS = {
    "claims": "outside", "protocol": "ports", "energy": "measurements", "thermal": "measurements", "parts": "parts",
    "stage": "converter", "spacing": "spacing", "words": "words",
}  # fmt: skip
"""The page on which the findings of a group are settled."""


@dataclass(frozen=True)
class Contents:
    """A page: groups of fields with a title, and sections of the report after them.

    `drops` are folders for files; `top` are sections before everything: the route table heads a unit.
    """

    fields: tuple[tuple[str, tuple[Field, ...]], ...] = ()
    sections: tuple[Section, ...] = ()
    drops: tuple[str, ...] = ()
    top: tuple[Section, ...] = ()
    unreadable: tuple[RefusedError, ...] = field(default=())


def contents(page: str, unit: LiveUnit, shown: Shown, ledger: Ledger) -> Contents:
    """The contents of a page; KeyError for one that there is not."""
    try:
        return _MAKERS[page](unit, shown, ledger)
    except RefusedError as error:
        return Contents(unreadable=(error,))


def page_of(finding: Finding) -> str:
    """Where a finding is settled."""
    return GROUPS.get(finding.group, "findings")


def steps_of(page: str, shown: Shown) -> tuple[NextStep, ...]:
    """What is missing for the findings of a page, the most useful first; all of them on the page of findings."""
    chosen = [f for f in shown.findings if page in ("findings", "publish") or page_of(f) == page]
    return next_steps(chosen, shown.opened.book)


def open_count(page: str, findings: Sequence[Finding]) -> int:
    """How many findings of a page fall short or stay open."""
    return sum(page_of(f) == page and f.verdict is not Verdict.MEETS for f in findings)


def _outside(unit: LiveUnit, shown: Shown, ledger: Ledger) -> Contents:
    identity = tuple(toml_field(unit, ("unit", name), name) for name in ("maker", "model", "title", "specimen"))
    kinds = ("wall charger", "dock", "power bank", "cable", "desktop charger")
    identity += (
        toml_field(unit, ("unit", "kind"), "kind", choices=kinds),
        toml_field(unit, ("unit", "examined"), "examined", hint="as 2026-10-02"),
    )
    label = (
        toml_field(unit, ("label", "text"), "text of the label, as printed", lines=12),
        toml_field(unit, ("label", "photo"), "photo of it", hint="as photos/label.png"),
    )
    sizes = ("length", "width", "height", "mass", "material", "pins", "instrument")
    body = tuple(toml_field(unit, ("body", name), name, hint=_BODY.get(name, "")) for name in sizes)
    listing = (text_field(unit, "words/listing.md", "claims of the listing, one a line", lines=8),)
    return Contents(
        (("Who it is", identity), ("Label", label), ("Body", body), ("Listing and packaging", listing)),
        drops=("photos",),
        top=(claims(shown.opened.unit, shown.opened.book.facts(), ledger),),
    )


_BODY = {"length": "as 42.0 ± 0.1 mm", "mass": "as 118.4 ± 0.1 g", "instrument": "an instrument's id"}


STEP = {"does": "what was done", "tool": "tool", "takes": "what came off", "photo": "photo, as photos/shell.jpg"}
"""The fields of a step of opening."""


def _ports(unit: LiveUnit, shown: Shown, ledger: Ledger) -> Contents:
    groups = []
    for path, _, _ in TomlForm("unit.toml").rows(unit.writer.read("unit.toml")):
        if path[0] != "port":
            continue
        own = toml_field(unit, (*path, "id"), "name on the case")
        offers = "one a line: 5V 3A, PPS 5-21V 3.25A, or raw words"
        rest = (
            toml_field(unit, (*path, "connector"), "connector"),
            toml_field(unit, (*path, "cable"), "cable used", hint="3 A, 5 A or captive"),
            toml_field(unit, (*path, "rated_power"), "rated power"),
            toml_field(unit, (*path, "offers"), "offers", lines=7, hint=offers, listed=True),
        )
        groups.append((f"Port {own.value}", (own, *rest)))
    return Contents(tuple(groups), sections_of(protocol(shown.opened, ledger)), ("captures",))


def _measurements(unit: LiveUnit, shown: Shown, ledger: Ledger) -> Contents:
    return Contents(sections=sections_of(energy(shown.opened, shown.findings, ledger)))


def _opening(unit: LiveUnit, shown: Shown, ledger: Ledger) -> Contents:
    notes = (toml_field(unit, ("unit", "notes"), "notes of the opening: order, tools, what broke", lines=8),)
    groups: list[tuple[str, tuple[Field, ...]]] = []
    for path, _, _ in TomlForm("unit.toml").rows(unit.writer.read("unit.toml")):
        if path[0] == "opening":
            fields = tuple(toml_field(unit, (*path, key), label) for key, label in STEP.items())
            groups.append((f"Step {len(groups) + 1}", fields))
    caution = cautions(shown.opened.unit, shown.opened.book, ledger)
    drawn = sections_of(caution, opening(shown.opened))
    return Contents((*groups, ("Notes", notes)), drawn, ("photos",))


def _boards(unit: LiveUnit, shown: Shown, ledger: Ledger) -> Contents:
    return Contents(drops=("photos",))


def _parts(unit: LiveUnit, shown: Shown, ledger: Ledger) -> Contents:
    return Contents()


def _converter(unit: LiveUnit, shown: Shown, ledger: Ledger) -> Contents:
    told = [fact for fact in shown.opened.book.facts() if fact.key.subject.startswith(("stage:", "model:"))]
    known = [fact for fact in told if fact.preferred.route is not Route.ASSUMED]
    assumed = [fact for fact in told if fact.preferred.route is Route.ASSUMED]
    drawn = converter(shown.opened.unit, shown.findings, shown.opened.book, ledger)
    numbers = _facts("The stages in numbers", known, ledger)
    return Contents(sections=sections_of(drawn, numbers, assumptions(assumed, ledger)))


def _spacing(unit: LiveUnit, shown: Shown, ledger: Ledger) -> Contents:
    own = [finding for finding in shown.findings if finding.group == "spacing"]
    shown_findings = (open_findings(own, ledger), met_findings(own, ledger)) if own else (None, None)
    return Contents(sections=sections_of(*shown_findings))


def _findings(unit: LiveUnit, shown: Shown, ledger: Ledger) -> Contents:
    return Contents()


def _words(unit: LiveUnit, shown: Shown, ledger: Ledger) -> Contents:
    texts = (
        text_field(unit, "words/narration.md", "narration", lines=14),
        text_field(unit, "words/captions.vtt", "captions (WebVTT)", lines=14),
    )
    own = [finding for finding in shown.findings if finding.group == "words"]
    sections = sections_of(open_findings(own, ledger) if own else None)
    return Contents((("Texts", texts),), sections, ("words",))


def _publish(unit: LiveUnit, shown: Shown, ledger: Ledger) -> Contents:
    return Contents(sections=sections_of(claims(shown.opened.unit, shown.opened.book.facts(), ledger)))


def _facts(title: str, facts: Sequence[Fact], ledger: Ledger) -> Section | None:
    """Facts in a table, each with all that is said of it."""
    entries = []
    for fact in facts:
        how = ", ".join(dict.fromkeys(statement.route.value for statement in fact.statements))
        basis = ledger.evidence_spans(fact.key)
        ledger.ref(fact.key)
        entries.append(
            FactEntry(f"fact-{fact.key.id}", key_text(fact.key), amount_spans(ledger.amount(fact)), how, basis)
        )
    return Section(f"facts-{title}", title, (FactList(tuple(entries)),), f"{len(entries)} facts") if entries else None


_MAKERS: dict[str, Callable[[LiveUnit, Shown, Ledger], Contents]] = {
    "outside": _outside,
    "ports": _ports,
    "measurements": _measurements,
    "opening": _opening,
    "boards": _boards,
    "parts": _parts,
    "converter": _converter,
    "spacing": _spacing,
    "findings": _findings,
    "words": _words,
    "publish": _publish,
}
