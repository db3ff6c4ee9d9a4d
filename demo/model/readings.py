"""The `[[reading]]` tables of `unit.toml`: single readings by the bench instruments and from photos."""

import zlib

import numpy as np

from model.bench import EU, US
from model.instruments import DM2, LC1, PH1, SO1, TL1, Meter
from model.physics import Mains, operate, rectifier_peak, ripple, switch_peak
from model.truth import BARRIER, CASE, CONVERTER, INPUT_STAGE

HIGHEST = Mains(264.0, 50.0)
FULL = '{ mains = "115 V", offer = "20 V", load = 1.0 }'

# Kelvin over ambient at 65 W, 115 V, of the parts' own cases, as shares of the hottest face's rise.
PART_RISES = {
    "C3": 1.13,
    "C4": 1.21,
    "Q1": 1.46,
    "T1": 1.58,
    "Q4": 1.52,
    "C15": 1.24,
    "U4": 1.02,
    "BR1": 1.49,
}


def readings() -> list[str]:
    """The text of each table."""
    return [*_spacing(), *_components(), *_scope(), *_temperatures()]


def _rng(name: str) -> np.random.Generator:
    return np.random.default_rng(zlib.crc32(name.encode()))


def read(meter: Meter, quantity: str, truth: float, name: str) -> float:
    """One reading, its noise fixed by `name`."""
    return float(meter.read(quantity, truth, _rng(f"{meter.id} {quantity} {name}")))


def _reading(subject: str, quantity: str, value: str, **more: str) -> str:
    """One table; values of `more` are TOML already where they start with a brace."""
    lines = [f'subject = "{subject}"', f'quantity = "{quantity}"', f'value = "{value}"']
    lines += [f"{key} = {text}" if text.startswith("{") else f'{key} = "{text}"' for key, text in more.items()]
    return "\n".join(["[[reading]]", *lines, ""])


def _spacing() -> list[str]:
    photo = {"route": "photographed", "photo": "photos/main-bottom.jpg", "instrument": "PH1"}
    along, through = (
        1e3 * read(PH1, name, value * 1e-3, name)
        for name, value in (("creepage", BARRIER.creepage), ("clearance", BARRIER.clearance))
    )
    working = read(SO1, "working_voltage", 238.2, "barrier")
    return [
        _reading(
            "barrier:main",
            "creepage",
            f"{along:.2f} ± 0.06 mm",
            **photo,
            note="along the surface, round the end of the slot; scale from the ruler in the picture",
        ),
        _reading("barrier:main", "clearance", f"{through:.2f} ± 0.06 mm", **photo, note="through the slot"),
        _reading(
            "barrier:main",
            "working_voltage",
            f"{working:.0f} ± 3 V",
            at='{ mains = "230 V", offer = "20 V", load = 1.0 }',
            instrument="SO1",
            note="RMS across the barrier, isolated probe",
        ),
        _reading("barrier:main", "pollution_degree", "2", route="assumed", note="indoor use"),
        _reading("barrier:main", "material_group", "IIIa", route="assumed", note="FR-4 as usual, not tested"),
    ]


def _components() -> list[str]:
    bulk3, bulk4 = (1e6 * read(LC1, "capacitance", value, str(value)) for value in INPUT_STAGE.bulk)
    x_film = 1e6 * read(LC1, "capacitance", INPUT_STAGE.x_capacitance, "C1")
    y_disc = 1e9 * read(LC1, "capacitance", INPUT_STAGE.y_capacitance, "C11")
    bleed = 1e-6 * read(DM2, "resistance", INPUT_STAGE.x_discharge, "R1 R2")
    inductance = 1e6 * read(LC1, "magnetising_inductance", CONVERTER.magnetising_inductance, "T1")
    turns = read(LC1, "turns_ratio", CONVERTER.primary_turns / CONVERTER.secondary_turns, "T1")
    lc1 = {"instrument": "LC1"}
    return [
        _reading(
            "part:C3",
            "capacitance",
            f"{bulk3:.1f} ± 0.3 µF",
            **lc1,
            note="120 Hz, discharged, out of circuit",
        ),
        _reading(
            "part:C4",
            "capacitance",
            f"{bulk4:.1f} ± 0.6 µF",
            **lc1,
            note="120 Hz, discharged, out of circuit",
        ),
        _reading("part:C1", "capacitance", f"{x_film:.3f} ± 0.003 µF", **lc1, note="1 kHz"),
        _reading("part:C11", "capacitance", f"{y_disc:.3f} ± 0.008 nF", **lc1, note="1 kHz"),
        _reading(
            "stage:input",
            "discharge_resistance",
            f"{bleed:.2f} ± 0.02 MΩ",
            instrument="DM2",
            note="across the plug pins, settled: R1 and R2 in series",
        ),
        _reading(
            "part:T1",
            "magnetising_inductance",
            f"{inductance:.0f} ± 2 µH",
            **lc1,
            note="100 kHz, secondary open",
        ),
        _reading("part:T1", "turns_ratio", f"{turns:.2f} ± 0.04", **lc1, note="ratio of two voltages at 100 kHz"),
    ]


def _scope() -> list[str]:
    at_highest = '{ mains = "264 V", offer = "20 V", load = 1.0 }'
    drain = read(SO1, "switch_voltage", switch_peak(HIGHEST, 20.0), "drain")
    rectifier = read(SO1, "rectifier_voltage", rectifier_peak(HIGHEST, 20.0), "rectifier")
    us, eu = operate(US, 20.0, 3.25), operate(EU, 20.0, 3.25)
    wave = 1e3 * read(SO1, "ripple_voltage", ripple(us), "ripple")
    so1 = {"instrument": "SO1"}
    tables = [
        _reading(
            "part:Q1",
            "switch_voltage",
            f"{drain:.0f} ± 6 V",
            at=at_highest,
            **so1,
            note="peak, drain to source",
        ),
        _reading("part:Q4", "rectifier_voltage", f"{rectifier:.1f} ± 1.2 V", at=at_highest, **so1, note="peak"),
        _reading(
            "port:C1",
            "ripple_voltage",
            f"{wave:.0f} ± 2 mV",
            at=FULL,
            **so1,
            note="20 MHz, 0.1 µF + 10 µF at the probe",
        ),
    ]
    for mains, point in (("115 V", us), ("230 V", eu)):
        value = 1e-3 * read(SO1, "switching_frequency", point.frequency, mains)
        at = f'{{ mains = "{mains}", offer = "20 V", load = 1.0 }}'
        tables.append(_reading("stage:primary", "switching_frequency", f"{value:.1f} ± 0.4 kHz", at=at, **so1))
    return tables


def _temperatures() -> list[str]:
    point = operate(US, 20.0, 3.25)
    final = CASE.resistance * (point.input_power - point.output_power)
    note = {"note": "after 80 min in the closed case, ambient 23.5 °C"}
    return [
        _reading(
            f"part:{ref}",
            "part_temperature",
            f"{read(TL1, 'part_temperature', CASE.ambient + share * final, ref):.1f} ± 1.5 °C",
            at=FULL,
            instrument="TL1",
            **note,
        )
        for ref, share in PART_RISES.items()
    ]
