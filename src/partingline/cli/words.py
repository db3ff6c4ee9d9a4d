"""`partingline words`: what was said, figure by figure, beside the facts."""

import json
import sys
from pathlib import Path

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from partingline.cli.screen import console
from partingline.facts.opened import Opened, open_unit
from partingline.facts.show import key_text, show_fact, show_statement
from partingline.facts.spoken import Checked, Class, Spoken, check_words, routes_of
from partingline.readers.folder import TEXT_LIMIT
from partingline.readers.words import read_script

SHAPES = {
    Class.AGREES: ("●", "green"),
    Class.DIFFERS: ("▼", "red"),
    Class.WRONG_UNIT: ("▼", "red"),
    Class.UNSUPPORTED: ("○", "bright_black"),
    Class.UNCLEAR: ("◐", "yellow"),
    Class.CONDITION: ("·", "bright_black"),
}
MOST_NEVER = 12


def run(folder: Path, file: Path, *, as_json: bool, verbose: bool, out: Path | None) -> int:
    """Print the check; 0 where nothing differs, 1 where something does, 2 where a file cannot be read."""
    try:
        opened = open_unit(folder)
        text = _text(file)
    except (NotADirectoryError, FileNotFoundError, ValueError) as error:
        console(error=True).print(str(error))
        return 2
    checked = check_words(opened.unit, opened.book.facts(), read_script(text, file.name))
    if out is not None:
        _write(checked, out, file)
    if as_json:
        from partingline.publish.words import words_record

        json.dump(words_record(checked, opened.unit.name, file.name), sys.stdout, ensure_ascii=False, indent=1)
        sys.stdout.write("\n")
    else:
        _print(console(), opened, checked, verbose)
        if out is not None:
            console().print(f"\nwrote {out}")
    return 1 if checked.slips else 0


def _text(file: Path) -> str:
    if not file.is_file():
        raise FileNotFoundError(f"{file}: no such file; expected captions (VTT, SRT) or text (plain, Markdown)")
    if file.stat().st_size > TEXT_LIMIT:
        raise ValueError(f"{file}: {file.stat().st_size >> 20} MiB; expected a text of at most {TEXT_LIMIT >> 20} MiB")
    data = file.read_bytes()
    for encoding in ("utf-8-sig", "utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "cp1252"):
        try:
            return data.decode(encoding)
        except UnicodeDecodeError:
            continue
    raise ValueError(f"{file}: binary data; expected a text in UTF-8. Export the captions again.")


def _write(checked: Checked, out: Path, source: Path) -> None:
    from partingline.publish.words import captions_text, corrected_script

    if out.resolve() == source.resolve():
        raise SystemExit(f"{out} is the file that was read; captions are never changed. Choose another name.")
    script = corrected_script(checked)
    form = "srt" if out.suffix.lower() == ".srt" else "vtt"
    text = captions_text(script, form=form) if script.timed else script.text + "\n"
    out.write_text(text, encoding="utf-8")


def _print(out: Console, opened: Opened, checked: Checked, verbose: bool) -> None:
    out.print(Text(opened.unit.name, style="bold") + Text(f"  {len(checked.spoken)} figures said", style="italic"))
    shown = [one for one in checked.spoken if verbose or one.class_ not in (Class.AGREES, Class.CONDITION)]
    for class_ in (Class.WRONG_UNIT, Class.DIFFERS, Class.UNCLEAR, Class.UNSUPPORTED, Class.AGREES, Class.CONDITION):
        chosen = [one for one in checked.spoken if one.class_ is class_]
        if not chosen:
            continue
        shape, colour = SHAPES[class_]
        out.print()
        out.print(Text(f"{shape} {class_.value}", style=colour) + Text(f"  {len(chosen)}", style="bold"))
        if chosen[0] in shown:
            _table(out, chosen)
        else:
            out.print(Padding("--all lists them.", (0, 0, 0, 2)), style="bright_black")
    _never(out, checked)


def _table(out: Console, chosen: list[Spoken]) -> None:
    table = Table(show_header=False, box=None, padding=(0, 2, 0, 0), pad_edge=False)
    table.add_column(no_wrap=True, style="bright_black")
    table.add_column(ratio=1)
    for one in chosen:
        table.add_row(f"  {_when(one)}", _line(one))
    out.print(table)


def _when(one: Spoken) -> str:
    if one.time_s is None:
        return f"line {one.line}"
    minutes, seconds = divmod(one.time_s, 60)
    return f"{int(minutes):d}:{seconds:04.1f}"


def _line(one: Spoken) -> Text:
    line = Text(f"“{one.figure.words}”", style="bold")
    if one.fact is None:
        return line + Text(f"  in: {one.sentence}", style="bright_black")
    line.append(f"  {key_text(one.fact.key)}: {show_fact(one.fact)}")
    if one.off is not None and one.class_.is_slip:
        line.append(f", off by {one.off * 100:.3g} %" if one.off < 10 else f", {one.off + 1:,.0f} times as much")
    told = [
        f"{route.value} {next(show_statement(s) for s in one.fact.statements if s.route is route)}"
        for route in routes_of(one)
    ]
    line.append("\n" + "; ".join(told), style="bright_black")
    if one.others:
        line.append("\nor " + "; ".join(key_text(key) for key in one.others[:3]), style="bright_black")
    if one.instead:
        line.append(f"\nsay: “{one.instead}”", style="green")
    return line


def _never(out: Console, checked: Checked) -> None:
    if not checked.never_said:
        return
    out.print()
    out.print(Text("Never said", style="bold"))
    for fact in checked.never_said[:MOST_NEVER]:
        out.print(Padding(f"{key_text(fact.key)}: {show_fact(fact)}", (0, 0, 0, 2)))
