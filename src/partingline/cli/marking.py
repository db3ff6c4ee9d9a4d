"""`partingline marking`: every plausible reading of what is printed on a part."""

from rich.padding import Padding
from rich.text import Text

from partingline.cli.screen import console, print_json
from partingline.readers.markings import decode_marking, tried_schemes


def run(text: str, kind: str | None, *, as_json: bool) -> int:
    """Print the readings; 1 where there is none."""
    readings = decode_marking(text, kind)
    if as_json:
        from partingline.publish.records import marking_record

        print_json(marking_record(text, kind, readings))
        return 0 if readings else 1
    out = console()
    if not readings:
        out.print(tried_schemes(text))
        return 1
    out.print(Text(text, style="bold"))
    for reading in readings:
        style = "bold" if reading.fits else "bright_black"
        out.print(Padding(Text(reading.says, style=style), (0, 0, 0, 2)))
        notes = "; ".join(filter(None, (f"{reading.source} ({reading.evidence})", *reading.notes)))
        out.print(Padding(notes, (0, 0, 0, 6)), style="bright_black")
        if reading.unread:
            out.print(Padding(f"left over: {reading.unread}", (0, 0, 0, 6)), style="bright_black")
    if len(readings) > 1:
        out.print(
            "\nSeveral readings are possible; the likeliest comes first. --kind narrows them.",
            style="bright_black",
        )
    return 0
