"""`partingline check`: the findings on the terminal, the worst first."""

from collections.abc import Sequence
from pathlib import Path

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from partingline.cli.own_rules import all_rules
from partingline.cli.screen import console, print_json, sentence, verdict_text
from partingline.facts.opened import Opened, open_unit
from partingline.facts.show import subject_text
from partingline.findings import Case, Guard
from partingline.findings import run as run_rules
from partingline.findings.next_steps import next_steps
from partingline.model import Finding, Verdict

MOST_STEPS = 6


def run(folder: Path, *, as_json: bool, verbose: bool, risk: float, rules: Path | None = None) -> int:
    """Print the findings; 0, 1 where something falls short, 2 where there is no folder."""
    try:
        chosen = all_rules(rules)
        opened = open_unit(folder)
    except (NotADirectoryError, ValueError) as error:
        console(error=True).print(str(error))
        return 2
    case = Case(opened.unit, opened.book, Guard(risk), opened.captures)
    findings = run_rules(case, chosen)
    if as_json:
        from partingline.publish.records import check_record

        print_json(check_record(opened, findings))
    else:
        _print(console(), opened, findings, verbose)
    return 1 if any(finding.verdict is Verdict.FALLS_SHORT for finding in findings) else 0


def _print(out: Console, opened: Opened, findings: Sequence[Finding], verbose: bool) -> None:
    unit = opened.unit
    out.print(Text(unit.name, style="bold") + Text(f"  {unit.title or unit.kind}", style="italic"))
    if unit.invented:
        out.print("An invented example: maker, model, markings and readings are made up.", style="yellow")
    _problems(out, opened)
    for verdict in Verdict:
        chosen = [finding for finding in findings if finding.verdict is verdict]
        if not chosen:
            continue
        out.print()
        out.print(verdict_text(verdict) + Text(f"  {len(chosen)}", style="bold"))
        if verdict is not Verdict.MEETS or verbose:
            _findings(out, chosen)
        else:
            out.print(Padding("--all lists them.", (0, 0, 0, 2)), style="bright_black")
    _next(out, opened, findings)
    if not findings:
        out.print("\nNothing that a rule speaks of is known yet: fill in unit.toml, the label first.")


def _problems(out: Console, opened: Opened) -> None:
    if not opened.problems:
        return
    out.print()
    many = "1 thing" if len(opened.problems) == 1 else f"{len(opened.problems)} things"
    out.print(f"{many} in the files could not be read as written:", style="bold")
    for problem in opened.problems:
        out.print(Padding(f"{problem}", (0, 0, 0, 2)))


def _findings(out: Console, findings: Sequence[Finding]) -> None:
    table = Table(show_header=False, box=None, padding=(0, 2, 0, 0), pad_edge=False)
    table.add_column(no_wrap=True, style="bright_black")
    table.add_column(no_wrap=True, style="bold")
    table.add_column(ratio=1)
    group = ""
    for finding in sorted(findings, key=lambda f: f.group):
        shown = "" if finding.group == group else finding.group
        group = finding.group
        table.add_row(f"  {shown}", subject_text(finding.subject), sentence(finding) + _small(finding))
    out.print(table)


def _small(finding: Finding) -> Text:
    parts = [str(finding.citation)]
    if finding.probability is not None and finding.verdict is Verdict.UNDECIDED:
        beyond = finding.indicative and finding.probability < 0.05
        chance = f"probability of conformity {finding.probability * 100:.0f} %"
        parts.append("beyond a limit that is only indicative" if beyond else chance)
    if finding.next_step:
        parts.append(f"next: {finding.next_step}")
    return Text("\n" + "; ".join(parts), style="bright_black")


def _next(out: Console, opened: Opened, findings: Sequence[Finding]) -> None:
    steps = next_steps(findings, opened.book)
    if not steps:
        return
    out.print()
    out.print(Text("What to measure next", style="bold"))
    for number, step in enumerate(steps[:MOST_STEPS], 1):
        many = "1 finding" if len(step.settles) == 1 else f"{len(step.settles)} findings"
        out.print(Padding(f"{number}. {step.what} ({many})", (0, 0, 0, 2)))
    if len(steps) > MOST_STEPS:
        out.print(Padding(f"and {len(steps) - MOST_STEPS} more", (0, 0, 0, 2)), style="bright_black")
