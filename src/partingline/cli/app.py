"""The commands and where each of them lives. A command's module is imported when it is called."""

import io
import sys
from pathlib import Path
from typing import Annotated

import typer

app = typer.Typer(
    name="partingline",
    help="Bench book for chargers: what was seen, read and measured, as checked findings and a report.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)

UnitFolder = Annotated[Path, typer.Argument(help="The unit's folder.", show_default=False)]
Rules = Annotated[
    Path | None, typer.Option("--rules", help="A folder of your own rule files; their code is run.", show_default=False)
]
AsJson = Annotated[bool, typer.Option("--json", help="Print the documented JSON record instead of text.")]


@app.command()
def init(folder: Annotated[Path, typer.Argument(help="The folder to make.", show_default=False)]) -> None:
    """Write a commented skeleton of a unit folder. Nothing that is there is touched."""
    from partingline.cli.init import run

    raise typer.Exit(run(folder))


@app.command()
def check(
    folder: UnitFolder,
    as_json: AsJson = False,
    verbose: Annotated[bool, typer.Option("--all", "-a", help="Show the findings that meet their limit too.")] = False,
    risk: Annotated[float, typer.Option(min=0.0001, max=0.4, help="Risk of a wrong verdict that is accepted.")] = 0.05,
    rules: Rules = None,
) -> None:
    """Findings of a unit. Exit code 0: nothing falls short; 1: something does; 2: the folder could not be read."""
    from partingline.cli.check import run

    raise typer.Exit(run(folder, as_json=as_json, verbose=verbose, risk=risk, rules=rules))


@app.command()
def report(
    folder: UnitFolder,
    out: Annotated[Path | None, typer.Option("--out", "-o", help="Where to write; default: UNIT/report.")] = None,
    formats: Annotated[str, typer.Option("--formats", "-f", help="Any of html, pdf, md, with commas.")] = "html,pdf,md",
    rules: Rules = None,
) -> None:
    """Write the report: a single HTML file, a PDF, and Markdown with its figures."""
    from partingline.cli.report import run

    raise typer.Exit(run(folder, out, formats, rules))


@app.command()
def marking(
    text: Annotated[list[str], typer.Argument(help="The marking as printed.", show_default=False)],
    kind: Annotated[str, typer.Option("--kind", "-k", help="The kind of part, as 'capacitor'.")] = "",
    as_json: AsJson = False,
) -> None:
    """Decode what is printed on a part: every plausible reading with its scheme."""
    from partingline.cli.marking import run

    raise typer.Exit(run(" ".join(text), kind or None, as_json=as_json))


@app.command()
def read(
    folder: UnitFolder,
    subjects: Annotated[list[str] | None, typer.Argument(help="Refs of parts, or 'label'. Default: all.")] = None,
    every: Annotated[bool, typer.Option("--every", help="Also what is typed already.")] = False,
    as_json: AsJson = False,
) -> None:
    """Propose what is printed on the pinned parts and the label; you accept or correct each line."""
    from partingline.cli.read import run

    raise typer.Exit(run(folder, subjects or [], every=every, as_json=as_json))


@app.command()
def cc(
    file: Annotated[Path | None, typer.Argument(help="A recording: SigMF, NPY, CSV, WAV, VCD, or a hex file.")] = None,
    hex_text: Annotated[
        str, typer.Option("--hex", help="Message bytes or object words, as other instruments print.")
    ] = "",
    rate: Annotated[float | None, typer.Option(help="Samples per second, where the file does not say.")] = None,
    channels: Annotated[str, typer.Option(help="Names in order: cc1,cc2,vbus,current.")] = "",
    scale: Annotated[float | None, typer.Option(help="Volts for one count.")] = None,
    offset: Annotated[float | None, typer.Option(help="Volts at count 0.")] = None,
    as_json: AsJson = False,
) -> None:
    """Read a recording of the CC line: the conversation, the contracts, and the protocol rules on them."""
    from partingline.cli.cc import run
    from partingline.readers.cc import Options

    names = tuple(name.strip() for name in channels.split(",") if name.strip())
    options = Options(rate_hz=rate, channels=names, scale=scale, offset=offset)
    raise typer.Exit(run(file, hex_text, options=options, as_json=as_json))


@app.command()
def log(
    file: Annotated[Path, typer.Argument(help="A bench log: CSV, XLSX or SigMF.", show_default=False)],
    kind: Annotated[str, typer.Option(help="What it is, as 'load sweep'; in a unit's logs/ logs.toml says it.")] = "",
    port: Annotated[str, typer.Option(help="The port under test, as C1; several as C1+A1.")] = "",
    offer: Annotated[str, typer.Option(help="The contract's voltage, as '20 V'.")] = "",
    mains: Annotated[str, typer.Option(help="The mains voltage, as '230 V'.")] = "",
    load: Annotated[str, typer.Option(help="The load as a share, as '100 %'.")] = "",
    frequency: Annotated[str, typer.Option(help="The mains frequency, as '50 Hz'.")] = "",
    sheet: Annotated[str, typer.Option(help="The sheet of a spreadsheet.")] = "",
    beside: Annotated[
        Path | None, typer.Option(help="Another log of the same test: joined by the clocks' offset.")
    ] = None,
    budgets: Annotated[bool, typer.Option("--budgets", "-b", help="Show every uncertainty budget.")] = False,
    as_json: AsJson = False,
) -> None:
    """Read one bench log: its columns, segments, facts, and what their uncertainty comes from."""
    from partingline.cli.log import run

    told = {"kind": kind, "port": port, "offer": offer, "mains": mains, "load": load, "frequency": frequency}
    told["sheet"] = sheet
    raise typer.Exit(run(file, told, beside=beside, budgets=budgets, as_json=as_json))


@app.command()
def calc(
    name: Annotated[str, typer.Argument(help="A calculation, or part of its name. Without one: all are listed.")] = "",
    inputs: Annotated[list[str] | None, typer.Argument(help="Inputs as NAME=QUANTITY, as capacitance='82 µF'.")] = None,
    as_json: AsJson = False,
) -> None:
    """The handbook: list, show and run the declared calculations with their sources."""
    from partingline.cli.calc import run

    raise typer.Exit(run(name, inputs or [], as_json=as_json))


@app.command()
def words(
    folder: UnitFolder,
    file: Annotated[Path, typer.Argument(help="Captions (VTT, SRT) or text (plain, Markdown).", show_default=False)],
    as_json: AsJson = False,
    verbose: Annotated[bool, typer.Option("--all", "-a", help="Show the figures that agree too.")] = False,
    out: Annotated[Path | None, typer.Option("--out", "-o", help="Write the corrected text as a new file.")] = None,
) -> None:
    """Hold every figure that was said against the facts. Exit code 1: something should be corrected."""
    from partingline.cli.words import run

    raise typer.Exit(run(folder, file, as_json=as_json, verbose=verbose, out=out))


@app.command()
def card(
    out: Annotated[Path, typer.Option("--out", "-o", help="The PDF to write.")] = Path("scale-card.pdf"),
    paper: Annotated[str, typer.Option(help="a4 or letter.")] = "a4",
    flatten: Annotated[Path | None, typer.Option(help="A photo with the card in it: write it laid flat.")] = None,
    per_mm: Annotated[float, typer.Option(min=1, max=200, help="Pixels a millimetre of the flat picture.")] = 20.0,
) -> None:
    """Write the scale card: lay a board in its middle, and a photo of it has millimetres."""
    from partingline.cli.card import flat, run

    raise typer.Exit(run(out, paper) if flatten is None else flat(flatten, out.with_suffix(".png"), per_mm))


@app.command()
def script(
    folder: UnitFolder,
    out: Annotated[Path | None, typer.Option("--out", "-o", help="Where to write; default: print it.")] = None,
    pace: Annotated[float, typer.Option(min=40, max=400, help="Words a minute.")] = 150.0,
    target: Annotated[float | None, typer.Option(min=0.1, help="Wanted length in minutes.")] = None,
    templates: Annotated[Path | None, typer.Option(help="A folder of own template files.")] = None,
    language: Annotated[str, typer.Option("--language", "-l", help="en, de or zh-Hans.")] = "en",
) -> None:
    """Shot list and narration draft, each figure bound to its fact."""
    from partingline.cli.script import run

    raise typer.Exit(run(folder, out=out, pace=pace, target_min=target, templates=templates, language=language))


Profile = Annotated[Path | None, typer.Option(help="A profile folder: profile.toml, style.css, a logo.")]
Tongue = Annotated[str | None, typer.Option("--language", "-l", help="en, de or zh-Hans; default: the profile's.")]


@app.command()
def publish(
    folder: UnitFolder,
    out: Annotated[Path | None, typer.Option("--out", "-o", help="Where to write; default: UNIT/publication.")] = None,
    profile: Profile = None,
    language: Tongue = None,
    day: Annotated[str | None, typer.Option(help="The date that it carries, as 2026-11-25; default: today.")] = None,
) -> None:
    """Article, captions, chapters, description, card, pictures and record."""
    from partingline.cli.publish import run

    raise typer.Exit(run(folder, out=out, profile=profile, language=language, day=day))


@app.command()
def bag(
    folder: Annotated[Path, typer.Argument(help="The unit's folder; with --verify: a bag.", show_default=False)],
    out: Annotated[Path | None, typer.Argument(help="The bag to write; default: beside the unit.")] = None,
    verify: Annotated[bool, typer.Option("--verify", help="Look whether a bag is complete and unchanged.")] = False,
    profile: Profile = None,
    language: Tongue = None,
) -> None:
    """Freeze a publication with all its evidence (BagIt, RFC 8493), or verify one."""
    from partingline.cli.bag import run

    raise typer.Exit(run(folder, out, profile=profile, language=language, verify=verify))


@app.command()
def diff(
    published: Annotated[Path, typer.Argument(help="A bag or a publication's folder.", show_default=False)],
    folder: UnitFolder,
    note: Annotated[Path | None, typer.Option(help="Write the dated correction note.")] = None,
    reason: Annotated[str, typer.Option(help="Why, for the note.")] = "",
    language: Annotated[str, typer.Option("--language", "-l", help="en, de or zh-Hans.")] = "en",
    as_json: AsJson = False,
) -> None:
    """What of a publication no longer holds. Exit code 0: all holds; 1: something changed."""
    from partingline.cli.diff import run

    raise typer.Exit(run(published, folder, note=note, reason=reason, language=language, as_json=as_json))


@app.command()
def demo(
    folder: Annotated[Path, typer.Argument(help="Where to put it.")] = Path("demo-bench"),
    open_report: Annotated[bool, typer.Option("--report/--no-report", help="Write the report as well.")] = True,
) -> None:
    """Copy the invented demonstration unit, check it, and write its report."""
    from partingline.cli.demo import run

    raise typer.Exit(run(folder, report=open_report))


@app.command("schema")
def schema(name: Annotated[str, typer.Argument(help="check, marking or calc.")] = "check") -> None:
    """Print the JSON schema of a command's `--json` record."""
    from partingline.cli.schema import run

    raise typer.Exit(run(name))


@app.command()
def serve(
    bench: Annotated[Path, typer.Argument(help="The bench: a folder of units.", show_default=False)],
    host: Annotated[str, typer.Option("--host", help="Another address than loopback: a token is then needed.")] = (
        "127.0.0.1"
    ),
    port: Annotated[int, typer.Option("--port", min=0, max=65535, help="0 takes a free one.")] = 8765,
) -> None:
    """Open the workbench: the whole job in the browser, on this machine only."""
    from partingline.cli.serve import run

    raise typer.Exit(run(bench, host, port))


def main() -> None:
    """Entry point of the `partingline` command. A sign that the terminal cannot show is spelt out."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")
    app()
