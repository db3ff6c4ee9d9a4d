"""The charts of a charger: efficiency, regulation, temperature, losses.

What comes in: curves in the units named. What goes out: SVG.
"""

from collections.abc import Sequence

import numpy as np

from partingline.publish.figures.chart import Curve, Level, Marker, line_chart

_LOADS = (0.0, 0.25, 0.5, 0.75, 1.0)
_MINUTE = 60.0
_LINES = 300


def efficiency_chart(
    curves: Sequence[Curve], *, limits: Sequence[Level] = (), rated_w: float | None = None, at: str = ""
) -> str:
    """Efficiency (0 to 1; shown in %) over output power in W, with the four loads of the rated power as ticks."""
    ticks = [rated_w * load for load in _LOADS] if rated_w else None
    return line_chart(
        [_scaled(curve, y=100.0) for curve in curves],
        limits=[Level(one.name, 100.0 * one.value, one.x_from, one.x_to) for one in limits],
        x_label=_with("W out", at),
        y_label="%",
        x_ticks=ticks,
    )


def regulation_chart(
    curves: Sequence[Curve], *, limits: Sequence[Level] = (), markers: Sequence[Marker] = (), at: str = ""
) -> str:
    """Output voltage in V over output current in A."""
    return line_chart(curves, limits=limits, markers=markers, x_label=_with("A out", at), y_label="V")


def thermal_chart(
    curves: Sequence[Curve], *, limits: Sequence[Level] = (), markers: Sequence[Marker] = (), at: str = ""
) -> str:
    """Temperature in °C over time in s, shown in minutes from five minutes on."""
    longest = max((float(np.nanmax(np.asarray(curve.x, float))) for curve in curves if len(curve.x)), default=0.0)
    minutes = longest >= 5 * _MINUTE
    unit = _MINUTE if minutes else 1.0
    return line_chart(
        [_scaled(curve, x=1 / unit) for curve in curves],
        limits=[_level_at(one, 1 / unit) for one in limits],
        markers=[Marker(one.name, one.x / unit) for one in markers],
        x_label=_with("min" if minutes else "s", at),
        y_label="°C",
    )


def loss_chart(
    curves: Sequence[Curve], *, limits: Sequence[Level] = (), rated_w: float | None = None, at: str = ""
) -> str:
    """Power lost in W over output power in W; computed shares are dashed."""
    ticks = [rated_w * load for load in _LOADS] if rated_w else None
    return line_chart(curves, limits=limits, x_label=_with("W out", at), y_label="W lost", x_ticks=ticks)


def spectrum_chart(curve: Curve, *, markers: Sequence[Marker] = (), at: str = "") -> str:
    """Amplitudes in V (shown in dBµV, the highest 80 dB) over frequency in Hz (shown in kHz).

    Of more lines than the eye can tell apart the highest of each stretch is drawn, where it stands.
    """
    x, y = np.asarray(curve.x, float), np.asarray(curve.y, float)
    stretches = [part for part in np.array_split(np.arange(y.size), min(y.size, _LINES)) if part.size]
    tops = np.array([part[np.argmax(y[part])] for part in stretches], dtype=np.intp)
    x, y = x[tops], y[tops]
    decibels = 20 * np.log10(np.maximum(y, 1e-12) / 1e-6)
    floor = float(np.max(decibels, initial=0.0)) - 80
    return line_chart(
        [Curve(curve.name, x / 1e3, np.maximum(decibels, floor))],
        markers=[Marker(one.name, one.x / 1e3) for one in markers],
        x_label=_with("kHz", at),
        y_label="dBµV",
    )


def frequency_chart(curves: Sequence[Curve], *, markers: Sequence[Marker] = (), at: str = "") -> str:
    """Frequencies in Hz (shown in kHz) over the load (0 to 1; shown in %)."""
    return line_chart(
        [_scaled(curve, x=100.0, y=1e-3) for curve in curves],
        markers=[Marker(one.name, one.x * 100) for one in markers],
        x_label=_with("% load", at),
        y_label="kHz",
    )


def _scaled(curve: Curve, *, x: float = 1.0, y: float = 1.0) -> Curve:
    band = np.asarray(curve.band, float) * y
    return Curve(curve.name, np.asarray(curve.x, float) * x, np.asarray(curve.y, float) * y, band, curve.computed)


def _level_at(level: Level, scale: float) -> Level:
    ends = [None if end is None else end * scale for end in (level.x_from, level.x_to)]
    return Level(level.name, level.value, ends[0], ends[1])


def _with(unit: str, at: str) -> str:
    return f"{unit}, {at}" if at else unit
