"""Write `unit.toml`, `logs/logs.toml` and the listing: what a person would type after the bench day."""

from collections.abc import Iterable

from model.bench import Log
from model.instruments import CA1, METERS, SC1
from model.readings import read, readings
from model.truth import A1_OFFERS, C1_OFFERS, C1_PPS, C1_SHARED_OFFERS, CASE

LABEL = """\
FENNMARK  Tern 65
Model FM-T65
INPUT: 100-240V~ 50/60Hz 1.8A
OUTPUT C1: 5V⎓3A 9V⎓3A 15V⎓3A 20V⎓3.25A
PPS: 3.3-21V⎓3.25A
C1: 65W Max
OUTPUT A1: 5V⎓3A 9V⎓2A 12V⎓1.5A
A1: 18W Max
C1+A1: 45W+18W
Class II  Efficiency level VI
CAUTION: indoor use only"""

LISTING = """\
# Fennmark Tern 65: the shop page

Invented, like the unit.

- 65 W on C1
- 20 V 3.25 A on C1
- 15 V 3 A on C1
- 18 W on A1
- C1 + A1 together 65 W
- up to 94 % efficiency
- 118 g
"""

OPENING = (
    ("Unplugged, ten minutes waited, the pins measured below 1 V", "meter for mains circuits", "", "photos/label.png"),
    ("The shell is warmed and the front pressed out", "vice with soft jaws", "shell",
     "photos/body.jpg#xywh=pixel:300,180,1340,820"),
    ("The boards are drawn out; bulk capacitors discharged over 2.2 kΩ and measured again", "resistor, meter", "",
     "photos/main-top.jpg"),
    ("The output board is unsoldered from its edge pads", "soldering iron", "output board", "photos/output-board.jpg"),
    ("The main board is cleaned and turned over", "brush, alcohol", "main board", "photos/main-bottom.jpg"),
)  # fmt: skip


def unit_toml() -> str:
    """The whole of `unit.toml`."""
    sections = [_identity(), _body(), _ports(), *_opening(), *readings(), *_instruments()]
    return "\n".join(sections)


def _opening() -> list[str]:
    tables = []
    for step in OPENING:
        named = zip(("does", "tool", "takes", "photo"), step, strict=True)
        tables.append("\n".join(["[[opening]]", *(f'{key} = "{value}"' for key, value in named if value), ""]))
    return tables


def listing_md() -> str:
    """`words/listing.md`."""
    return LISTING


def logs_toml(logs: Iterable[Log]) -> str:
    """`logs/logs.toml`."""
    return "\n".join(_log_table(log) for log in logs)


def _identity() -> str:
    return f'''# An invented example. Fennmark, the Tern 65 and every part in it do not exist.
[unit]
maker = "Fennmark"
model = "Tern 65"
kind = "wall charger"
invented = true
examined = 2026-10-02
title = "two-port wall charger"
notes = "Invented demonstration unit: every reading comes from simulated instruments."

[label]
text = """
{LABEL}
"""
photo = "photos/label.png"
'''


def _body() -> str:
    sizes = {
        name: 1e3 * read(CA1, name, truth, name)
        for name, truth in (("length", CASE.length), ("width", CASE.width), ("height", CASE.height))
    }
    lines = [f'{name} = "{value:.2f} ± 0.05 mm"' for name, value in sizes.items()]
    mass = 1e3 * read(SC1, "mass", CASE.mass, "mass")
    return "\n".join(
        [
            "[body]",
            *lines,
            f'mass = "{mass:.1f} ± 0.1 g"',
            'material = "plastic"',
            'pins = "folding, not in the dimensions"',
            "",
        ]
    )


def _offer_list(offers: Iterable[tuple[float, float]], pps: bool = False) -> str:
    texts = [f"{volts:g}V {amps:g}A" for volts, amps in offers]
    if pps:
        texts.append("PPS {:g}-{:g}V {:g}A".format(*C1_PPS))
    return "[" + ", ".join(f'"{text}"' for text in texts) + "]"


def _ports() -> str:
    alone = _offer_list(((offer.voltage, offer.current) for offer in C1_OFFERS), pps=True)
    return f"""[[port]]
id = "C1"
connector = "USB-C"
cable = "5 A"
offers = {alone}
offers_with = {{ A1 = {_offer_list(C1_SHARED_OFFERS)} }}
rated_power = "65 W"

[[port]]
id = "A1"
connector = "USB-A"
offers = {_offer_list(A1_OFFERS)}
rated_power = "18 W"
"""


def _instruments() -> list[str]:
    tables = []
    for meter in METERS:
        lines = [f'{quantity} = "{limits.statement}"' for quantity, limits in meter.accuracy.items()]
        tables.append("\n".join([f"[instrument.{meter.id}]", f'name = "{meter.name}"', *lines, ""]))
    return tables


def _table(values: dict[str, str]) -> str:
    pairs = ", ".join(f'"{key}" = "{value}"' if "/" in key else f'{key} = "{value}"' for key, value in values.items())
    return "{ " + pairs + " }"


def _log_table(log: Log) -> str:
    lines = [
        f'file = "{log.file}"',
        f'kind = "{log.kind}"',
        *(f'{key} = "{value}"' for key, value in log.about.items()),
    ]
    lines += [f"columns = {_table(log.columns)}", f"instruments = {_table(log.instruments)}", ""]
    return "\n".join(["[[log]]", *lines])
