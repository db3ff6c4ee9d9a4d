"""Figures as SVG text of our own making: no drawing library, the same bytes in each run.

What comes in: plain numbers and names. What goes out: one `<svg>` element whose colours are `var(--token)`.
"""

from partingline.publish.figures.blocks import Stage, StagePart, block_diagram
from partingline.publish.figures.chart import Curve, Level, Marker, line_chart
from partingline.publish.figures.curves import (
    efficiency_chart,
    frequency_chart,
    loss_chart,
    regulation_chart,
    spectrum_chart,
    thermal_chart,
)
from partingline.publish.figures.margins import Margin, margin_bars
from partingline.publish.figures.photo import annotated_photo
from partingline.publish.figures.timeline import Band, Contract, Message, Trace, protocol_timeline

__all__ = [
    "Band",
    "Contract",
    "Curve",
    "Level",
    "Margin",
    "Marker",
    "Message",
    "Stage",
    "StagePart",
    "Trace",
    "annotated_photo",
    "block_diagram",
    "efficiency_chart",
    "frequency_chart",
    "line_chart",
    "loss_chart",
    "margin_bars",
    "protocol_timeline",
    "regulation_chart",
    "spectrum_chart",
    "thermal_chart",
]
