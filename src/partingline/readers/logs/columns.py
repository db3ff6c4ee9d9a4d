"""What each column of a log is: from its header, its unit, and the pins in `logs.toml`."""

import re
from dataclasses import replace
from difflib import get_close_matches

from partingline.model import Cell
from partingline.readers.logs import names as words
from partingline.readers.logs.layout import Layout, is_unit
from partingline.readers.logs.types import Column, LogEntry, Notes
from partingline.readers.quantities.units import find_unit
from partingline.sources.glossary import quantities

_BRACKETS = re.compile(r"[(\[<{]\s*([^)\]>}]*?)\s*[)\]>}]")
_SLASH = re.compile(r"^(.*\S)\s*(?:/|,|\bin\b)\s*(\S+)$")
_TAIL = re.compile(r"^(.*)[\s_.\-]+(\S+)$")
_CURRENT_KIND = re.compile(r"^(AC|DC)?\s*(.*?)\s*(AC|DC|RMS|TRMS)?$", re.IGNORECASE)
_COMPACT = re.compile(r"^([puvitf])[-_]?(in|out|ac|dc|bus|mains|line|load|rms|set|amb|case|o|l|pk|pp|max|min)?(\d*)$")
_GERMAN = re.compile(r"^(eingang|ausgang|netz|last)s?(leistung|spannung|strom)(\d*)$")
_PART = re.compile(r"^(?:q|d|u|l|bd|rt|ic)\d+$")
_PROBE = re.compile(r"^(?:ch|kanal|tc|t|k)?\d+$")
_PORT = re.compile(r"^[ac]\d$")


def recognise(layout: Layout, entry: LogEntry, notes: Notes) -> tuple[Column, ...]:
    """One `Column` for each column of the file, in its order. `unit alone` columns are settled later, by their
    values."""
    columns = [_column(n, name, layout.units[n]) for n, name in enumerate(layout.names)]
    pinned = _pins(columns, layout, entry, notes)
    found: dict[tuple[str, str], int] = {(c.quantity, c.channel): n for n, c in pinned.items()}
    for n, column in enumerate(columns):
        if n in pinned:
            columns[n] = pinned[n]
            continue
        quantity, channel = _meaning(column, entry)
        if quantity and quantity != "time":
            channel = _free(found, quantity, channel)
            if (quantity, channel) in found:
                first = columns[found[quantity, channel]].name
                told = f"{column.name!r} and {first!r} are both {_told(quantity, channel)}"
                step = f'Pin the right one: columns = {{ {quantity} = "{column.name}" }}.'
                notes.add(Cell(layout.header_row, column.name), told, "one column a quantity", step, loses=False)
                continue
            found[quantity, channel] = n
        how = "" if not quantity else "name and unit" if column.unit else "name"
        columns[n] = _si(replace(column, quantity=quantity, channel=channel, how=how), notes, layout)
    return tuple(columns)


def split_header(text: str) -> tuple[str, str]:
    """Name and unit of a header text: `Pin (W)`, `Vout [mV]`, `I_out/A`, `Vout_mV`, `t, s`; unit '' where none is
    told."""
    for match in _BRACKETS.finditer(text):
        inside = match.group(1)
        if is_unit(inside):
            kind = " ".join(k for k in (_kind(inside),) if k)
            return f"{text[: match.start()].strip()} {kind} {text[match.end() :].strip()}".strip(), _bare(inside)
    for pattern, known in ((_SLASH, is_unit), (_TAIL, _ends_a_header)):
        tail = pattern.match(text)
        if tail and known(tail.group(2)):
            return f"{tail.group(1)} {_kind(tail.group(2))}".strip(), _bare(tail.group(2))
    if _bare(text) in words.HEADER_UNITS and len(text) > 1:
        return f"{text} {_kind(text)}".strip(), _bare(text)
    return text, ""


def _ends_a_header(unit: str) -> bool:
    return _bare(unit) in words.HEADER_UNITS


def _kind(unit: str) -> str:
    match = _CURRENT_KIND.match(unit.strip())
    return ((match.group(1) or match.group(3) or "") if match else "").lower()


def _bare(unit: str) -> str:
    match = _CURRENT_KIND.match(unit.strip())
    return match.group(2) if match and match.group(2) else unit.strip()


def tokens(name: str) -> list[str]:
    """Words of a header in lower case, compact forms opened: `Iout1` -> ['i', 'out', '1']; `VbusC1` -> ['v', 'bus',
    'c1']."""
    spaced = re.sub(r"(?<=[a-zäöü])(?=[A-ZÄÖÜ])", " ", name)
    found: list[str] = []
    for word in re.findall(r"[\wµλ#°]+", spaced.replace("_", " ").lower()):
        if match := _COMPACT.match(word) or _GERMAN.match(word):
            found += [piece for piece in match.groups() if piece]
        else:
            found.append(word)
    return found


def _column(index: int, text: str, unit_below: str) -> Column:
    name, unit = split_header(text)
    unit = unit or _bare(unit_below)
    if unit_below and _kind(unit_below):
        name = f"{name} {_kind(unit_below)}"
    return Column(index, text, unit, how=name)


def _meaning(column: Column, entry: LogEntry) -> tuple[str, str]:
    """Glossary id and channel of a column, ('', '') where its header does not tell."""
    name = column.how
    said = tokens(name)
    unit = find_unit(column.unit)
    si = "" if unit is None else "degC" if unit.si == "K" else unit.si
    plain = " ".join(said)
    if _is_time(said, si, column.unit):
        return "time", ""
    for id_ in words.LOGGABLE:
        glossary = quantities()[id_]
        if plain.replace(" ", "_") == id_ or plain in (glossary.name, *(n.lower() for n in glossary.names)):
            return (id_, "") if si in ("", glossary.unit) else ("", "")
    if set(said) & words.NOT_MEASURED:
        return "", ""
    dimension = si or next((d for d, known in words.DIMENSION_WORDS.items() if set(said) & known), "")
    if dimension == "degC":
        return _temperature(said)
    if dimension in ("1", "") and (set(said) & words.DIMENSION_WORDS["1"] or plain == "power factor"):
        return "power_factor", ""
    if dimension == "Hz":
        return ("mains_frequency", "") if set(said) & (words.INPUT_WORDS | {"f", "freq", "frequency"}) else ("", "")
    return _electrical(dimension, said, entry)


def _is_time(said: list[str], si: str, unit: str) -> bool:
    if si == "s" or unit.lower() in ("hh:mm:ss", "yyyy-mm-dd"):
        return True
    return (not si and bool(set(said) & words.TIME_WORDS)) or (said == ["t"] and not si)


def _temperature(said: list[str]) -> tuple[str, str]:
    if set(said) & words.AMBIENT_WORDS:
        return "ambient_temperature", ""
    left = [word for word in said if word not in words.DIMENSION_WORDS["degC"] | words.FACE_WORDS | {"°c", "c"}]
    left = [word for word in left if not _PROBE.match(word)] or left
    if len(left) == 1 and _PART.match(left[0]):
        return "part_temperature", left[0].upper()
    return "surface_temperature", "-".join(left)


def _electrical(dimension: str, said: list[str], entry: LogEntry) -> tuple[str, str]:
    incoming, outgoing = bool(set(said) & words.INPUT_WORDS), bool(set(said) & words.OUTPUT_WORDS)
    port = next((word.upper() for word in said if word.upper() in entry.ports or _PORT.match(word)), "")
    number = next((int(word) for word in said if word.isdigit()), 0)
    if number and not port and 0 < number <= len(entry.ports) and outgoing:
        port = entry.ports[number - 1]
    if port:
        incoming, outgoing = False, True
    if incoming == outgoing:
        return "", ""
    quantity = {
        ("W", True): "input_power", ("V", True): "input_voltage", ("A", True): "input_current",
        ("W", False): "output_power", ("V", False): "port_voltage", ("A", False): "output_current",
    }.get((dimension, incoming), "")  # fmt: skip
    under_test = entry.ports[:1] or (port,)
    return (quantity, "" if incoming or port in under_test else port) if quantity else ("", "")


def _pins(columns: list[Column], layout: Layout, entry: LogEntry, notes: Notes) -> dict[int, Column]:
    """Columns by the pins of `logs.toml`; a header that the file does not have is a problem in both files' words."""
    by_name = {column.name: column for column in columns}
    pinned: dict[int, Column] = {}
    for key, text in entry.columns.items():
        column = by_name.get(text) or next((c for c in columns if c.name.strip().lower() == text.strip().lower()), None)
        if column is None:
            near = get_close_matches(text, list(by_name), n=1, cutoff=0.5)
            step = f"Did you mean {near[0]!r}?" if near else f"The file has {', '.join(map(repr, by_name))}."
            found = f"no column {text!r}, to which logs.toml pins {key}"
            notes.add(Cell(max(layout.header_row, 1), text), found, "a header text of the file", step)
            continue
        channel, _, quantity = key.rpartition("/")
        under_test = bool(entry.ports) and channel == entry.ports[0]
        kept = replace(column, quantity=quantity, channel="" if under_test else channel, how="pinned")
        pinned[column.index] = _si(kept, notes, layout)
    return pinned


def _free(found: dict[tuple[str, str], int], quantity: str, channel: str) -> str:
    """Temperature channels without a name of their own are numbered; other quantities may stand only once."""
    if quantity != "surface_temperature" or (quantity, channel) not in found:
        return channel
    return next(
        f"{channel}-{n}".strip("-") for n in range(2, 100) if (quantity, f"{channel}-{n}".strip("-")) not in found
    )


def _si(column: Column, notes: Notes, layout: Layout) -> Column:
    """The column with its way to SI units; a unit of another dimension than the quantity's is a problem."""
    unit = find_unit(column.unit) if column.unit else None
    if column.quantity in ("", "time"):
        return replace(column, si=unit.si, factor=unit.factor, offset=unit.offset) if unit else column
    wanted = quantities()[column.quantity].unit if column.quantity in quantities() else ""
    if unit is None:
        if column.unit:
            said = f"{column.name!r}: unknown unit {column.unit!r}"
            notes.add(
                Cell(layout.header_row, column.name),
                said,
                wanted or "a unit",
                f"Taken as {wanted}; correct the header.",
                loses=False,
            )
        return replace(column, si=wanted)
    if wanted and unit.si != wanted and not {unit.si, wanted} <= {"degC", "K"}:
        said = f"{column.name!r} is in {unit.si}, but {_told(column.quantity, column.channel)} is in {wanted}"
        step = "Pin another column, or correct its unit."
        notes.add(Cell(layout.header_row, column.name), said, f"a column in {wanted}", step)
        return replace(column, quantity="", channel="", how="")
    offset = -273.15 if (unit.si, wanted) == ("K", "degC") else unit.offset
    return replace(column, si=wanted, factor=unit.factor, offset=offset)


def _told(quantity: str, channel: str) -> str:
    return quantities()[quantity].name + (f" of {channel}" if channel else "")
