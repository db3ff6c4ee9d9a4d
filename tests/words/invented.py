"""Invented chargers for the words corpus: unit folders with drawn values, and the facts that a narration can speak of.

Makers, models, part numbers and every value are made up; the seed decides.
"""
# ruff: noqa: E501

import random
from dataclasses import dataclass, field
from pathlib import Path

_NAMES = (
    "Ostrava Pebble", "Quillon Brick", "Mardle Nub", "Tessaro Flint", "Ambry Dart", "Hollin Wedge", "Corvane Tile", "Nettle Puck",
    "Selwick Block", "Dunmore Chip", "Farrow Slab", "Isen Cube",
)  # fmt: skip
BULK_V, BULK_C = (400, 420, 450), (15, 22, 27, 33, 47, 68, 82, 100)
_LETTERS = "BCDFGHKLMNPRSTVWXZ"


@dataclass(frozen=True)
class Item:
    """One thing to say: the facts it may be bound to, its value in the shown unit, that unit, and what kind it is."""

    keys: tuple[str, ...]
    value: float | tuple[float, ...] | str
    unit: str
    kind: str = "value"


@dataclass
class InventedUnit:
    """A unit folder and the items of its narration by name; `words` are references and the unit's name."""

    folder: Path
    items: dict[str, Item] = field(default_factory=dict)
    words: dict[str, str] = field(default_factory=dict)


def invent(folder: Path, seed: int, ports: int, bulks: int) -> InventedUnit:
    """Write the unit folder of a seed and return what can be said of it."""
    unit = InventedUnit(folder)
    draw = random.Random(seed)
    name = draw.choice(_NAMES)
    unit.words["name"] = name
    parts = _parts(unit, draw, bulks)
    toml = _toml(unit, draw, name, ports)
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "unit.toml").write_text(toml, encoding="utf-8")
    (folder / "parts.csv").write_text(parts, encoding="utf-8")
    return unit


def _number(draw: random.Random) -> str:
    head = "".join(draw.choice(_LETTERS) for _ in range(2))
    return f"{head}{draw.choice((12, 20, 36, 41, 53, 64, 75, 87))}{draw.randint(1, 9)}{draw.choice(_LETTERS)}"


def _ref(letter: str, draw: random.Random, used: set[str]) -> str:
    while (ref := f"{letter}{draw.randint(3, 39)}") in used:
        pass
    used.add(ref)
    return ref


def _parts(unit: InventedUnit, draw: random.Random, bulks: int) -> str:
    used: set[str] = set()
    rows = ["ref,stage,board,side,kind,role,marking,maker,part_number,value,ratings,quantity,package,note"]

    def part(
        alias: str,
        letter: str,
        stage: str,
        kind: str,
        role: str,
        main: tuple[str, float, str] | None,
        **ratings: tuple[float, str],
    ) -> str:
        ref = _ref(letter, draw, used)
        unit.words[f"{alias}.ref"] = ref
        number = _number(draw)
        unit.items[f"{alias}.pn"] = Item((f"part:{ref}/part_number",), number, "", "code")
        told = "; ".join(f"{name} {value:g} {shown}" for name, (value, shown) in ratings.items())
        value = f"{main[1]:g} {main[2]}" if main else ""
        rows.append(f"{ref},{stage},main,top,{kind},{role},,,{number},{value},{told},1,,")
        return ref

    def say(item: str, refs: list[str], quantity: str, value: float, shown: str) -> None:
        unit.items[item] = Item(tuple(f"part:{ref}/{quantity}" for ref in refs), value, shown)

    fuse, breaking = draw.choice((1.6, 2.0, 2.5, 3.15, 4.0)), draw.choice((35, 50, 100, 1500))
    ref = part(
        "F",
        "F",
        "input",
        "fuse",
        "fuse",
        ("", fuse, "A"),
        rated_current=(fuse, "A"),
        rated_ac_voltage=(250, "V"),
        breaking_capacity=(breaking, "A"),
    )
    say("F.i", [ref], "rated_current", fuse, "A")
    say("F.b", [ref], "breaking_capacity", breaking, "A")
    ntc = draw.choice((2.5, 5, 8, 10))
    say("N.r", [part("N", "RT", "input", "thermistor", "inrush_limiter", ("", ntc, "Ω"))], "cold_resistance", ntc, "Ω")
    xc, xv = draw.choice((0.1, 0.15, 0.22, 0.33, 0.47)), draw.choice((275, 305, 310))
    ref = part("X", "C", "input", "capacitor", "x_capacitor", ("", xc, "µF"), rated_ac_voltage=(xv, "V"))
    say("X.c", [ref], "capacitance", xc, "µF")
    say("X.v", [ref], "rated_ac_voltage", xv, "V")
    bleed = draw.choice((1.0, 1.5, 2.2))
    refs = [part(f"R{n}", "R", "input", "resistor", "x_discharge", ("", bleed, "MΩ")) for n in (1, 2)]
    say("R1.r", refs, "resistance", bleed, "MΩ")
    choke, amps = draw.choice((6.8, 8.2, 10, 15)), draw.choice((1.5, 2.0, 2.4))
    ref = part("L", "L", "input", "inductor", "common_mode_choke", ("", choke, "mH"), rated_current=(amps, "A"))
    say("L.l", [ref], "inductance", choke, "mH")
    say("L.i", [ref], "rated_current", amps, "A")
    bv, surge, drop = draw.choice((600, 800, 1000)), draw.choice((80, 110, 150)), draw.choice((0.92, 0.95, 1.05))
    ref = part(
        "G",
        "BR",
        "input",
        "bridge",
        "bridge",
        None,
        rated_voltage=(bv, "V"),
        surge_current=(surge, "A"),
        forward_voltage=(drop, "V"),
    )
    say("G.v", [ref], "rated_voltage", bv, "V")
    say("G.s", [ref], "surge_current", surge, "A")
    say("G.vf", [ref], "forward_voltage", drop, "V")
    volts = draw.choice(BULK_V)
    values = draw.sample(BULK_C, bulks)
    refs, life, ripple = [], draw.choice((2000, 5000, 8000)), draw.choice((0.62, 0.85, 1.35))
    for n, value in enumerate(values, 1):
        refs.append(part(f"B{n}", "C", "input", "capacitor", "bulk_capacitor", ("", value, "µF"), rated_voltage=(volts, "V"),
                         rated_temperature=(105, "°C"), rated_life=(life, "h"), rated_ripple_current=(ripple, "A")))  # fmt: skip
    for n, ref in enumerate(refs, 1):
        say(f"B{n}.c", [ref], "capacitance", values[n - 1], "µF")
        say(f"B{n}.v", refs, "rated_voltage", volts, "V")
        say(f"B{n}.t", refs, "rated_temperature", 105, "°C")
        say(f"B{n}.life", refs, "rated_life", life, "h")
        say(f"B{n}.ir", refs, "rated_ripple_current", ripple, "A")
    part("U", "U", "primary", "controller", "primary_controller", None)
    qv, qr = draw.choice((600, 650, 700)), draw.choice((120, 150, 190, 240))
    ref = part(
        "Q", "Q", "primary", "transistor", "primary_switch", None, rated_voltage=(qv, "V"), on_resistance=(qr, "mΩ")
    )
    say("Q.v", [ref], "rated_voltage", qv, "V")
    say("Q.r", [ref], "on_resistance", qr, "mΩ")
    sense = draw.choice((0.12, 0.15, 0.22, 0.27))
    say("S.r", [part("S", "R", "primary", "resistor", "primary_sense", ("", sense, "Ω"))], "resistance", sense, "Ω")
    ind, turns = draw.choice((245, 310, 385, 460)), draw.choice((5.3, 6.2, 7.4, 8.5))
    ref = part("T", "T", "barrier", "transformer", "transformer", None)
    unit.items["T.l"] = Item((f"part:{ref}/magnetising_inductance",), ind, "µH")
    unit.items["T.n"] = Item((f"part:{ref}/turns_ratio",), turns, "", "bare")
    iso = draw.choice((3.75, 5))
    say(
        "O.iso",
        [part("O", "U", "barrier", "optocoupler", "feedback_isolator", None, isolation_voltage=(iso, "kV"))],
        "isolation_voltage",
        iso,
        "kV",
    )
    yc, yv = draw.choice((1, 1.5, 2.2)), draw.choice((250, 400, 440))
    ref = part("Y", "C", "barrier", "capacitor", "y_capacitor", ("", yc, "nF"), rated_ac_voltage=(yv, "V"))
    say("Y.c", [ref], "capacitance", yc, "nF")
    say("Y.v", [ref], "rated_ac_voltage", yv, "V")
    dv, dr = draw.choice((100, 120, 150)), draw.choice((4.5, 6.8, 9.2))
    ref = part(
        "D", "Q", "secondary", "transistor", "rectifier", None, rated_voltage=(dv, "V"), on_resistance=(dr, "mΩ")
    )
    say("D.v", [ref], "rated_voltage", dv, "V")
    say("D.r", [ref], "on_resistance", dr, "mΩ")
    kc, kv, esr = draw.choice((390, 470, 560, 680)), draw.choice((25, 35)), draw.choice((8, 11, 14))
    refs = [part(f"K{n}", "C", "secondary", "capacitor", "output_capacitor", ("", kc, "µF"), rated_voltage=(kv, "V"),
                 equivalent_series_resistance=(esr, "mΩ")) for n in (1, 2)]  # fmt: skip
    say("K.c", refs, "capacitance", kc, "µF")
    say("K.v", refs, "rated_voltage", kv, "V")
    say("K.esr", refs, "equivalent_series_resistance", esr, "mΩ")
    shunt = draw.choice((5, 7, 12))
    say("H.r", [part("H", "R", "output", "resistor", "output_sense", ("", shunt, "mΩ"))], "resistance", shunt, "mΩ")
    part("P", "U", "output", "controller", "protocol_controller", None)
    wr = draw.choice((13, 16, 19))
    say(
        "W.r",
        [
            part(
                "W",
                "Q",
                "output",
                "transistor",
                "output_switch",
                None,
                rated_voltage=(30, "V"),
                on_resistance=(wr, "mΩ"),
            )
        ],
        "on_resistance",
        wr,
        "mΩ",
    )
    return "\n".join(rows) + "\n"


def _toml(unit: InventedUnit, draw: random.Random, name: str, ports: int) -> str:
    items = unit.items
    power = draw.choice((45, 60, 65))
    amps = {5: 3.0, 9: 3.0, 15: 2.4 if power == 45 else 3.0, 20: {45: 2.25, 60: 3.0, 65: 3.25}[power]}
    a_watts = draw.choice((12, 18))
    maker, model = name.split()
    lines = [
        "[unit]", f'maker = "{maker}"', f'model = "{model}"', 'kind = "wall charger"', "invented = true", "", "[label]",
        'text = """', "INPUT: 100-240V~ 50/60Hz " + f"{(iin := draw.choice((1.2, 1.5, 1.8))):g}A",
        "OUTPUT C1: " + " ".join(f"{v}V⎓{a:g}A" for v, a in amps.items()), f"C1: {power}W Max",
    ]  # fmt: skip
    if ports == 2:
        lines.append(f"OUTPUT A1: 5V⎓2.4A\nA1: {a_watts}W Max\nC1+A1: {power - 20}W+{a_watts}W")
    lines += ['"""', "", "[body]"]
    size = [draw.randint(380, 640) / 10 for _ in range(2)] + [draw.randint(270, 330) / 10]
    size[0] = max(size[0], size[1]) + 1.0
    mass = draw.randint(900, 1480) / 10
    lines += [f'{n} = "{v} ± 0.05 mm"' for n, v in zip(("length", "width", "height"), size, strict=True)]
    lines += [f'mass = "{mass} ± 0.1 g"', ""]
    offers = ", ".join(f'"{v}V {a:g}A"' for v, a in amps.items())
    lines += ["[[port]]", 'id = "C1"', 'connector = "USB-C"', f"offers = [{offers}]", f'rated_power = "{power} W"', ""]
    if ports == 2:
        lines += [
            "[[port]]",
            'id = "A1"',
            'connector = "USB-A"',
            'offers = ["5V 2.4A"]',
            f'rated_power = "{a_watts} W"',
            "",
        ]
    items["mass"] = Item(("unit/mass",), round(mass), "g")
    for n, v in zip(("length", "width", "height"), size, strict=True):
        items[n] = Item((f"unit/{n}",), v, "mm")
    items["dims"] = Item(("unit/length", "unit/width", "unit/height"), tuple(size), "mm", "dims")
    items["vin"] = Item(("unit/rated_input_voltage",), (100, 240), "V", "range")
    items["fin"] = Item(("unit/rated_input_frequency",), (50, 60), "Hz", "set")
    items["iin"] = Item(("unit/rated_input_current",), iin, "A")
    whole = ("port:C1/output_power", "unit/output_power")
    items["power"] = items["power1"] = Item(whole, power, "W")
    items["powera"] = Item(("port:A1/output_power",), a_watts, "W")
    items["powerc"] = Item(("ports:A1+C1/output_power",), power - 20 + a_watts, "W")
    for v, a in amps.items():
        items[f"c{v}"] = Item((f"port:C1/available_current@offer={v}",), a, "A")
    readings = _readings(items, draw, unit)
    return "\n".join([*lines, *readings]) + "\n"


def _readings(items: dict[str, Item], draw: random.Random, unit: InventedUnit) -> list[str]:
    full = 'mains = "230 V", offer = "20 V", load = "1"'
    e115 = draw.randint(880, 915) / 10
    told = [
        ("barrier:main", "creepage", "creep", draw.randint(520, 780) / 100, "mm", "0.05", ""),
        ("barrier:main", "clearance", "clear", draw.randint(410, 500) / 100, "mm", "0.05", ""),
        ("port:C1", "average_efficiency", "eff115", e115, "%", "0.1", 'mains = "115 V", offer = "20 V"'),
        ("port:C1", "average_efficiency", "eff230", round(e115 + draw.randint(8, 22) / 10, 1), "%", "0.1", 'mains = "230 V", offer = "20 V"'),
        ("unit", "no_load_power", "idle115", idle := draw.randint(45, 90), "mW", "1", 'mains = "115 V"'),
        ("unit", "no_load_power", "idle230", idle + draw.randint(20, 60), "mW", "1", 'mains = "230 V"'),
        ("port:C1", "ripple_voltage", "ripple", draw.randint(38, 140), "mV", "2", full),
        ("unit", "surface_temperature", "hot", draw.randint(610, 790) / 10, "°C", "0.5", full),
        ("stage:primary", "switching_frequency", "fsw", draw.choice((68, 95, 124, 140)), "kHz", "0.5", full),
    ]  # fmt: skip
    transformer = unit.words["T.ref"]
    lines: list[str] = []
    for subject, quantity, item, value, shown, u, at in told:
        lines += _reading(subject, quantity, f"{value} ± {u} {shown}", at)
        key = f"{subject}/{quantity}"
        items[item] = Item((key,), float(value), shown)
    for item, quantity in (("T.l", "magnetising_inductance"), ("T.n", "turns_ratio")):
        value = items[item].value
        lines += _reading(
            f"part:{transformer}", quantity, f"{value} ± {2 if item == 'T.l' else 0.04} {items[item].unit}".strip(), ""
        )
    return lines


def _reading(subject: str, quantity: str, value: str, at: str) -> list[str]:
    return [
        "[[reading]]",
        f'subject = "{subject}"',
        f'quantity = "{quantity}"',
        f'value = "{value}"',
        f"at = {{ {at} }}",
        "",
    ]
