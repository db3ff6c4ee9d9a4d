"""The unit folders: texts from the files beside, recordings and logs from a model with known answers."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterable
from pathlib import Path

import numpy as np

from tests.readers.cc.dialogue import Dialogue, message, payload
from tests.readers.cc.transmitter import Line, record

HERE = Path(__file__).parent
KINDS = ("dock", "power_bank", "cable", "desktop_charger")
LINE = Line(rate_hz=2.5e6, idle_v=1.68, noise_pp_v=0.05)
CABLE_WORDS = (0xFF00A841, 0x1C001234, 0x00000000, 0x00010001, 0x000A4640)
"""An answer to Discover Identity: passive, Type-C, 5 A, 50 V, EPR, USB 2.0, below 20 ns (tables 6-34 and 6-42)."""


def write(kind: str, folder: Path) -> Path:
    """The folder of an invented unit of a kind."""
    source = HERE / kind
    for name in ("captures", "logs", "words"):
        (folder / name).mkdir(parents=True)
    for name in ("unit.toml", "parts.csv"):
        shutil.copy(source / name, folder / name)
    shutil.copy(source / "listing.md", folder / "words/listing.md")
    if (source / "logs.toml").exists():
        shutil.copy(source / "logs.toml", folder / "logs/logs.toml")
    _MAKERS[kind](folder)
    return folder


def _dock(folder: Path) -> None:
    """A contract of 20 V 5 A, then DisplayPort on two HBR3 lanes beside USB 3 (pins D); a sweep of the host port."""
    talk = Dialogue(LINE)
    talk.say(message(1, 1, source=True, words=(0x0801912C, 0x0002D12C, 0x0004B12C, 0x000641F4)))
    talk.say(message(2, 1, source=False, words=(0x4307D1F4,)))
    talk.say(message(3, 2, source=True))
    talk.say(message(6, 3, source=True), after_s=30e-3)
    talk.say(payload("V20"))
    talk.say(message(15, 4, source=True, words=(0xFF01A904,)))
    talk.say(message(15, 2, source=False, words=(0xFF01A944,)))
    talk.say(message(15, 5, source=True, words=(0xFF01A911, 0x0806)))
    _wire(folder / "captures/host.csv", talk)
    rng = np.random.default_rng(1)
    rows = []
    for step, amps in enumerate((5.0, 3.75, 2.5, 1.25, 0.5)):
        volts = 20.05 - 0.030 * amps
        for second in range(400):
            noise = rng.normal(0, 1e-3)
            watts = volts * amps
            taken = watts * 1.018 + 3.1
            rows.append((step * 400 + second, 20.02, taken + noise, volts + noise / 5, amps))
    _table(folder / "logs/host-20V.csv", "Time (s),Vin (V),Pin (W),Vout (V),Iout (A)", rows)
    heat = ((60.0 * i, 23.0 + 21.0 * (1 - np.exp(-i / 25)) + rng.normal(0, 0.03), 23.0) for i in range(120))
    _table(folder / "logs/heat.csv", "Time (s),T1 (°C),Tamb (°C)", heat)


def _power_bank(folder: Path) -> None:
    """62.0 Wh from C1 at 20 V, 58.0 Wh from A1 at 5 V, 84.6 Wh to recharge."""
    for name, volts, amps, energy in (("C1-20V", 20.0, 2.0, 62.0), ("A1-5V", 5.0, 2.5, 58.0)):
        end = energy * 3600 / (volts * amps)
        times = np.linspace(0, end, 800)
        rows = [(float(t), volts, amps) for t in times] + [(end + 5 + i, 0.02, 0.0) for i in range(5)]
        _table(folder / f"logs/discharge-{name}.csv", "Time (s),Vout (V),Iout (A)", rows)
    times = np.linspace(0, 9000, 900)
    drawn = np.minimum(2.2, 2.2 * np.exp(-(times - 5400) / 1500))
    scale = 84.6 * 3600 / float(np.trapezoid(20.0 * drawn, times))
    taken = [(float(t), 20.0, float(a), 20.0 * float(a)) for t, a in zip(times, drawn * scale, strict=True)]
    _table(folder / "logs/recharge.csv", "Time (s),Vin (V),Iin (A),Pin (W)", taken)


def _cable(folder: Path) -> None:
    """The plug is asked who it is and answers."""
    talk = Dialogue(LINE)
    talk.say(payload("V8"), sop="SOP'")
    answer = bytes.fromhex("8f51") + b"".join(word.to_bytes(4, "little") for word in CABLE_WORDS)
    talk.say(answer, sop="SOP'")
    _wire(folder / "captures/p1.csv", talk)


def _desktop_charger(folder: Path) -> None:
    """Four ports at once, at 1, 3/4, 1/2, 1/4 and 1/10 of what they give together."""
    rated = ((20.0, 3.25), (20.0, 3.25), (20.0, 1.5), (9.0, 2.0))
    rng = np.random.default_rng(2)
    rows = []
    for step, share in enumerate((1.0, 0.75, 0.5, 0.25, 0.1)):
        ports = [(volts - 0.02 * amps * share, amps * share) for volts, amps in rated]
        watts = sum(volts * amps for volts, amps in ports)
        for second in range(400):
            taken = watts * 1.055 + 2.4 + 1e-4 * watts**2 + rng.normal(0, 0.01)
            flat = [value for port in ports for value in port]
            rows.append((step * 400 + second, 115.0 + rng.normal(0, 0.02), taken, *flat))
    head = "Time (s),Vin (V),Pin (W),V1 (V),I1 (A),V2 (V),I2 (A),V3 (V),I3 (A),V4 (V),I4 (A)"
    _table(folder / "logs/sharing.csv", head, rows)


_MAKERS: dict[str, Callable[[Path], None]] = {
    "dock": _dock,
    "power_bank": _power_bank,
    "cable": _cable,
    "desktop_charger": _desktop_charger,
}


def _wire(path: Path, talk: Dialogue) -> None:
    volts = record(talk.sent, length_s=talk.now_s + 2e-3, line=talk.line)
    rows = ((f"{i / talk.line.rate_hz:.7f}", f"{v:.3f}") for i, v in enumerate(volts))
    path.write_text("time (s),CC1 (V)\n" + "\n".join(map(",".join, rows)) + "\n")


def _table(path: Path, head: str, rows: Iterable[Iterable[float]]) -> None:
    lines = (",".join(f"{value:.4f}" for value in row) for row in rows)
    path.write_text(head + "\n" + "\n".join(lines) + "\n", encoding="utf-8")
