"""`partingline cc`: a recording of the CC line as a readable conversation, with contracts and findings."""

from collections.abc import Sequence
from pathlib import Path

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from partingline.cli.screen import console, print_json, sentence, verdict_text
from partingline.facts import Book
from partingline.facts.statements.captures import capture_statements, captured_ports
from partingline.facts.statements.offers import offer_from_object, offer_statements
from partingline.findings import Case, rules
from partingline.findings import run as run_rules
from partingline.model import Finding, OfferList, Port, Unit
from partingline.readers.cc import Capture, Options, read_capture, read_hex
from partingline.readers.cc.conversation.exchange import Event
from partingline.readers.cc.objects import Identity, StructuredVdm
from partingline.readers.folder import Folder

PORT = "C1"
MOST_EVENTS = 400


def run(file: Path | None, hex_text: str, *, options: Options, as_json: bool) -> int:
    """Print the conversation; 0, 1 where something falls short or nothing was decoded, 2 where there is no file."""
    if hex_text:
        capture, folder = read_hex(hex_text), Folder(Path.cwd())
    elif file is not None and file.is_file():
        capture, folder = read_capture(file, options), Folder(file.parent)
    else:
        found = f"{file}: no such file" if file is not None else "nothing to read"
        console(error=True).print(f"{found}; expected a recording of the CC line, or --hex with messages")
        return 2
    findings = judge(capture, folder)
    if as_json:
        from partingline.publish.records import capture_record

        print_json(capture_record(capture, findings))
    else:
        _print(console(), capture, findings)
    short = any(finding.verdict.value == "falls short" for finding in findings)
    return 1 if short or not (capture.frames or capture.pasted_offers) else 0


def judge(capture: Capture, folder: Folder) -> tuple[Finding, ...]:
    """The protocol rules on what one recording says, without a label or a unit beside it."""
    captures = {capture.path.name: capture}
    ports = captured_ports((Port(PORT, "USB-C", _pasted(capture, folder)),), captures, {}, folder)
    unit = Unit(capture.path.name, "", "", "", "recording", False, None, "", ports)
    statements = list(capture_statements(captures, folder, ports))
    for port in ports:
        for seen in port.offer_lists:
            statements += offer_statements(port.id, seen)
    chosen = [rule for rule in rules() if rule.group == "protocol"]
    return run_rules(Case(unit, Book(statements), captures=captures), chosen)


def _pasted(capture: Capture, folder: Folder) -> tuple[OfferList, ...]:
    """Object words that stood alone, as the list of a port."""
    offers = tuple(offer_from_object(position, pdo) for position, pdo in enumerate(capture.pasted_offers, 1))
    return (OfferList(offers, True, None, folder.evidence(capture.path.name)),) if offers else ()


def _print(out: Console, capture: Capture, findings: Sequence[Finding]) -> None:
    rate = f", {capture.rate_hz / 1e6:g} MS/s" if capture.rate_hz else ""
    length = f", {capture.duration_s:.3g} s" if capture.duration_s else ""
    damaged = sum(not frame.valid for frame in capture.frames)
    out.print(Text(capture.path.name, style="bold") + Text(f"  {capture.kind}{rate}{length}, channels: ") + Text(
        ", ".join(capture.channels) or "none"
    ))  # fmt: skip
    out.print(f"{len(capture.frames)} frames, {damaged} damaged")
    for problem in capture.problems:
        out.print(Padding(problem.text, (0, 0, 0, 2)), style="yellow")
    if capture.timed:
        _senders(out, capture)
    _conversation(out, capture)
    _contracts(out, capture)
    _findings(out, findings)


def _table() -> Table:
    return Table(show_header=False, box=None, padding=(0, 2, 0, 0), pad_edge=False)


def _senders(out: Console, capture: Capture) -> None:
    table, unit = _table(), "V" if capture.in_volts else "counts"
    for sender in capture.conversation.senders:
        levels = (
            f"swing {sender.swing_v:.2f} {unit}, low at {sender.low_v:+.2f} {unit}"
            if sender.swing_v and sender.low_v is not None
            else ""
        )
        table.add_row(f"  {sender.name}", f"{sender.bit_rate_hz / 1e3:.1f} kbit/s", levels, f"{sender.frames} frames")
    out.print(table)


def _conversation(out: Console, capture: Capture) -> None:
    events = capture.conversation.events
    if capture.pasted_offers:
        out.print(Text("\nObjects", style="bold"))
        for position, pdo in enumerate(capture.pasted_offers, 1):
            out.print(f"  {position}  {pdo.text}")
    if not capture.frames:
        return
    out.print(Text("\nConversation", style="bold"))
    table = _table()
    table.add_column(justify="right", no_wrap=True, style="bright_black")
    table.add_column(no_wrap=True)
    table.add_column(ratio=1)
    for event in events[:MOST_EVENTS]:
        marks = [f"{event.retries} repeated"] if event.retries else []
        silent = capture.timed and event.ack is None and event.message is not None
        marks += ["not acknowledged"] if silent else []
        said = (
            Text(event.content.text if event.content else event.sop)
            + Text(_identity(event))
            + Text(f"  {', '.join(marks)}", style="yellow")
        )
        table.add_row(f"{event.start_s * 1e3:.3f} ms" if capture.timed else "", event.sender, said)
    out.print(table)
    if len(events) > MOST_EVENTS:
        out.print(f"  and {len(events) - MOST_EVENTS} more; --json has all", style="bright_black")
    for frame in capture.frames:
        if not frame.valid:
            out.print(f"  {frame.start_s * 1e3:.3f} ms  damaged: {frame.reason}", style="yellow")


def _identity(event: Event) -> str:
    """What an answer to Discover Identity says of the one who gives it."""
    body = event.content.body if event.content else None
    told = body.content if isinstance(body, StructuredVdm) else None
    if not isinstance(told, Identity):
        return ""
    head = told.id_header
    what = told.cable.text if told.cable else head.product_type
    product = f", product {told.pid:04X}" if told.pid is not None else ""
    return f": {what}, vendor {head.vid:04X}{product}"


def _contracts(out: Console, capture: Capture) -> None:
    contracts = capture.conversation.contracts
    if not contracts:
        return
    out.print(Text("\nContracts", style="bold"))
    table = _table()
    for contract in contracts:
        start = f"{contract.ready_s * 1e3:.1f} ms" if contract.ready_s is not None else "-"
        end = f"{contract.end_s * 1e3:.1f} ms" if contract.end_s is not None else "end"
        vbus = contract.vbus
        level = f"VBUS {vbus.at_ready_v:.2f} V at power ready, slew {vbus.slew_v_per_s / 1e3:.1f} V/ms" if vbus else ""
        table.add_row(f"  {start} to {end}", contract.text, level)
    out.print(table)


def _findings(out: Console, findings: Sequence[Finding]) -> None:
    if not findings:
        return
    out.print(Text("\nFindings", style="bold"))
    table = _table()
    table.add_column(no_wrap=True)
    table.add_column(ratio=1)
    for finding in findings:
        source = Text(f"\n{finding.citation}", style="bright_black")
        table.add_row(Text("  ") + verdict_text(finding.verdict), sentence(finding) + source)
    out.print(table)
