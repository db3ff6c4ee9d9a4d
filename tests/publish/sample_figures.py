"""The figures of the sample document: invented readings."""

import io
import random

import numpy as np
from PIL import Image, ImageDraw

from partingline.model import Verdict
from partingline.publish.document import Callout, Drawing, Figure, FigureRow, Measure, Outline, Photo, Section, plain
from partingline.publish.figures import (
    Contract,
    Curve,
    Level,
    Margin,
    Marker,
    Message,
    Stage,
    StagePart,
    Trace,
    block_diagram,
    efficiency_chart,
    loss_chart,
    margin_bars,
    protocol_timeline,
    regulation_chart,
    thermal_chart,
)

LOADS = np.array([5.0, 6.5, 16.25, 32.5, 48.75, 65.0])
HIGH = np.array([0.81, 0.862, 0.914, 0.930, 0.931, 0.930])
LOW = np.array([0.84, 0.878, 0.915, 0.924, 0.923, 0.920])


def figure_sections() -> tuple[Section, ...]:
    """Every kind of figure, half and full width."""
    board = Figure(
        "fig:barrier",
        "Barrier on the main board",
        photo(),
        plain("Bottom face, rectified from four markers, 57 px/mm."),
        "Main board from below; the slot between primary and secondary pads is outlined.",
    )
    curves = (
        FigureRow((_figure("Efficiency", efficiency()), board)),
        FigureRow((_figure("Regulation", regulation()), _figure("Temperature", thermal()))),
        FigureRow((_figure("Losses", losses()),)),
    )
    drawings = (
        _figure("Protocol", timeline()),
        _figure("Converter", blocks()),
        _figure("Margins", margins()),
    )
    return (Section("figures", "Curves", curves), Section("drawings", "Drawings", drawings))


def photo() -> Photo:
    """An invented board, drawn."""
    chance = random.Random(65)
    picture = Image.new("RGB", (1400, 720), "#2a4a3b")
    draw = ImageDraw.Draw(picture)
    for _ in range(46):
        x, y, w, h = (
            chance.uniform(40, 1300),
            chance.uniform(30, 640),
            chance.uniform(24, 90),
            chance.uniform(16, 60),
        )
        draw.rounded_rectangle((x, y, x + w, y + h), 4, chance.choice(("#3d3f3d", "#84938a", "#a98a55", "#1e2120")))
    draw.rectangle((745, 0, 768, 500), "#fbfaf6")
    out = io.BytesIO()
    picture.save(out, "PNG")
    pins = ((140, 120), (360, 190), (600, 380), (940, 330), (1190, 150), (280, 540), (955, 335), (960, 350))
    names = (
        "controller",
        "switch",
        "primary pad",
        "secondary pad",
        "output switch",
        "bridge",
        "rectifier",
        "snubber",
    )
    callouts = tuple(
        Callout(str(n + 1), x, y, name, f"part:{n + 1}")
        for n, ((x, y), name) in enumerate(zip(pins, names, strict=True))
    )
    return Photo(
        out.getvalue(),
        "image/png",
        1400,
        720,
        callouts,
        (
            Outline(((520, 280), (690, 255), (705, 460), (545, 495))),
            Outline(((840, 220), (1020, 210), (1030, 440), (850, 460))),
        ),
        (
            Measure(
                ((705, 430), (745, 490), (768, 490), (850, 430)),
                "4.31 ± 0.06 mm along the surface",
                "5.0 mm for reinforced insulation",
            ),
        ),
    )


def efficiency() -> str:
    limits = [Level("Code of Conduct tier 2, 89.0 %", 0.89, 16.25), Level("Level VI average, 88.0 %", 0.88, 16.25)]
    band = np.full(6, 0.003)
    curves = [Curve("230 V mains", LOADS, HIGH, band), Curve("115 V mains", LOADS, LOW, band)]
    return efficiency_chart(curves, limits=limits, rated_w=65, at="20 V")


def regulation() -> str:
    amps = np.linspace(0, 3.6, 120)
    curve = Curve("20 V object", amps, 20.1 - 0.05 * amps + 0.004 * np.sin(40 * amps))
    return regulation_chart([curve], limits=[Level("+5 %", 21), Level("−5 %", 19)], markers=[Marker("rated", 3.25)])


def thermal() -> str:
    t = np.linspace(0, 3600, 20_000)
    face = Curve("top face", t, 74 - 49 * np.exp(-t / 700) + 0.2 * np.sin(t))
    core = Curve("transformer", t, 95 - 70 * np.exp(-t / 600))
    return thermal_chart([face, core], limits=[Level("touch limit, 77 °C", 77)], at="65 W, 230 V")


def losses() -> str:
    measured = Curve("measured", LOADS, LOADS * (1 / HIGH - 1), np.full(6, 0.2))
    parts = [
        Curve(n, LOADS, a + b * LOADS, computed=True) for n, a, b in (("switch", 0.3, 0.01), ("bridge", 0.1, 0.016))
    ]
    return loss_chart([measured, *parts], rated_w=65, at="20 V, 230 V")


def timeline() -> str:
    said = [
        (0.0, "source", "Source capabilities"),
        (0.0031, "sink", "Request, object 4"),
        (0.004, "source", "Accept"),
        (0.182, "source", "Power ready"),
        (2.4, "sink", "Get source capabilities"),
        (2.402, "source", "Source capabilities"),
        (2.406, "sink", "Request, object 3"),
        (2.408, "source", "Accept"),
        (2.6, "source", "Power ready"),
        (3.1, "cable", "Discover identity, answered"),
        (61.0, "sink", "Soft reset"),
        (61.002, "source", "Accept"),
    ]
    t = np.linspace(-0.02, 62, 60_000)
    volts = 5.1 + 15 * np.clip((t - 0.03) / 0.13, 0, 1) - 5 * np.clip((t - 2.42) / 0.1, 0, 1)
    contracts = [Contract(0.004, 2.408, "20 V 3.25 A"), Contract(2.408, 61.0, "15 V 2.4 A")]
    trace = Trace("VBUS", t, volts)
    return protocol_timeline(
        [Message(*m) for m in said], contracts=contracts, vbus=trace, levels=[Level("20 V +5 %", 21)]
    )


def blocks() -> str:
    stages = [
        Stage(
            "Input",
            "primary",
            (
                StagePart("F1", "fuse", "2.5 A 250 V"),
                StagePart("C1", "X capacitor", "0.47 µF X2"),
                StagePart("", "inrush limiter", missing=True),
            ),
        ),
        Stage(
            "Rectifier",
            "primary",
            (StagePart("BR1", "bridge", "3 A 600 V"), StagePart("C3", "bulk capacitor", "27 µF 400 V")),
        ),
        Stage(
            "Primary switch",
            "primary",
            (StagePart("Q1", "switch", "650 V 150 mΩ"), StagePart("U1", "controller", "TQ1")),
        ),
        Stage("Transformer", "barrier", (StagePart("T1", "transformer", "n 6.2 ± 0.1"),)),
        Stage("Feedback", "barrier", (StagePart("U2", "feedback isolator", "5 kV"),)),
        Stage("Y capacitor", "barrier", (StagePart("", "Y capacitor", missing=True),)),
        Stage("Rectifier", "secondary", (StagePart("Q4", "synchronous rectifier", "100 V 6 mΩ"),)),
        Stage(
            "Output",
            "secondary",
            (StagePart("C15", "output capacitor", "560 µF 25 V"), StagePart("Q6", "output switch", "30 V 9 mΩ")),
        ),
        Stage("Protocol", "secondary", (StagePart("U5", "protocol controller", "PQ65"),)),
    ]
    return block_diagram(stages)


def margins() -> str:
    rows = [
        Margin("C3 bulk capacitor, voltage", 373 / 400, "373 V of 400 V", Verdict.MEETS, 0.01),
        Margin("Q1 primary switch, voltage", 0.86, "559 V of 650 V", Verdict.MEETS, 0.02),
        Margin("Q4 rectifier, voltage", 0.99, "99 V of 100 V", Verdict.UNDECIDED, 0.03),
        Margin("T1 barrier, creepage", 1.16, "4.31 mm, 5.0 mm asked", Verdict.FALLS_SHORT, 0.02),
    ]
    return margin_bars(rows)


def _figure(title: str, svg: str) -> Figure:
    return Figure(f"fig:{title.lower()}", title, Drawing(svg), plain("Bands: k = 2."), f"{title} of the sample unit.")
