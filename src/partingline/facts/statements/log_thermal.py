"""Thermal records: steady temperature of each face and part, ambient, time constant, time until steady."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

import numpy as np

from partingline.facts.statements.log_fit import WarmUp, fit_warm_up
from partingline.facts.statements.log_source import LogSource
from partingline.model import Component, Key, Number, Route, Sense, Statement
from partingline.readers.logs.plateaus import level
from partingline.readers.logs.types import Floats

WITHIN_K = 1.0
"""Steady means within 1 K of the end of the fitted curve (common practice, no source)."""
DOUBTFUL_K = 5.0


def thermal(source: LogSource) -> Iterator[Statement]:
    """Statements of a warm-up record.

    The surface temperature without a face, or else that of the hottest face, is said of `unit`.
    """
    log, entry = source.log, source.log.entry
    at: dict[str, float | str] = {**source.mains(), **source.company()}
    at |= {} if entry.offer_v is None else {"offer": entry.offer_v}
    at |= {} if entry.load is None else {"load": entry.load}
    channels = [(q, c) for q, c in log.series if q in ("surface_temperature", "part_temperature")]
    if not channels:
        source.problem(
            "no column of temperature", "a column in °C", 'Pin it: columns = { surface_temperature = "..." }.'
        )
        return
    fits = {pair: fitted for pair in channels if (fitted := _fit(source, *pair)) is not None}
    faces = {c: fit for (q, c), (fit, _, _) in fits.items() if q == "surface_temperature"}
    hottest = "" if "" in faces else max(faces, key=lambda c: faces[c].steady, default="")
    for (quantity, channel), (fit, first, last) in fits.items():
        if quantity == "part_temperature":
            yield _steady(source, Key.of(f"part:{channel}", quantity, **at), fit, first, last, channel)
            continue
        if channel:
            yield _steady(source, Key.of(f"face:{channel}", quantity, **at), fit, first, last, channel)
        if channel == hottest:
            yield _steady(source, Key.of("unit", quantity, **at), fit, first, last, channel)
            yield from _times(source, at, fit, first, last, channel)
    yield from _ambient(source, at)


def _fit(source: LogSource, quantity: str, channel: str) -> tuple[WarmUp, int, int] | None:
    """The fitted curve of a column from the start of heating on, and the first and last sample used."""
    log = source.log
    values = log.series[quantity, channel]
    good = np.flatnonzero(np.isfinite(values))
    name = log.column(quantity, channel).name
    fit = None
    if len(good):
        good = good[_onset(values[good]) :]
        fit = fit_warm_up(log.time_s[good] - log.time_s[good[0]], values[good])
    if fit is None:
        rows = source.rows(0, len(values) - 1, name) if len(values) else None
        source.problem(
            "no warm-up curve", "a temperature that rises to its end", "Record from cold, 12 samples or more.", rows
        )
        return None
    first, last = int(good[0]), int(good[-1])
    if fit.u_steady > DOUBTFUL_K:
        found = f"the steady temperature is known to ± {2 * fit.u_steady:.2g} K only"
        source.problem(
            found, "a record near its end", "Record for longer.", source.rows(first, last, name), loses=False
        )
    return fit, first, last


def _onset(values: Floats) -> int:
    """The sample at which the rise begins: the last before 4 % of the rise is passed that is not above the start."""
    start = float(np.median(values[:3]))
    rise = float(np.median(values[-5:])) - start
    passed = np.flatnonzero((values - start) * np.sign(rise) > 0.04 * abs(rise))
    if not len(passed):
        return 0
    before = values[: passed[0] + 1]
    flat = np.flatnonzero((before - start) * np.sign(rise) <= 0.005 * abs(rise))
    return int(flat[-1]) if len(flat) else 0


def _steady(source: LogSource, key: Key, fit: WarmUp, first: int, last: int, channel: str) -> Statement:
    step = source.log.column(key.quantity, channel).step
    parts = [*source.accuracy(fit.steady, key.quantity, channel, step)]
    cause = source.cause(Key(f"face:{channel}" if channel else "unit", key.quantity, key.at), "fit")
    parts += [Component(cause, fit.u_steady)] if fit.u_steady else []
    values = source.log.series[key.quantity, channel]
    reached = float(np.nanmax(values[first : last + 1]))
    taus = " and ".join(f"{tau / 60:.1f} min" for tau in fit.time_constants)
    many = "time constants" if len(fit.time_constants) > 1 else "time constant"
    note = f"end of the fitted curve, {many} {taus}; highest reading {reached:.1f} °C"
    evidence = source.evidence(first, last, key.quantity, channel)
    return Statement(key, Number(fit.steady, tuple(parts)), Route.MEASURED, Sense.EQUALS, (evidence,), note=note)


def _times(
    source: LogSource, at: dict[str, float | str], fit: WarmUp, first: int, last: int, channel: str
) -> Iterator[Statement]:
    evidence = source.evidence(first, last, "surface_temperature", channel)
    reached, u_reached = fit.reaches(WITHIN_K)
    told = {
        "time_constant": (
            fit.slow,
            fit.u_slow,
            "the slow one" if len(fit.time_constants) > 1 else "of one exponential",
        ),
        "time_to_steady": (
            reached,
            u_reached,
            f"within {WITHIN_K:g} K of the steady temperature, from the fitted curve",
        ),
    }
    for quantity, (value, u, note) in told.items():
        key = Key.of("unit", quantity, **at)
        parts = (Component(source.cause(key, "fit"), u),) if u else ()
        yield Statement(key, Number(value, parts), Route.MEASURED, Sense.EQUALS, (evidence,), note=note)
    length = float(source.log.time_s[last] - source.log.time_s[first])
    key = Key.of("unit", "record_length", **at)
    yield Statement(key, Number(length), Route.MEASURED, Sense.EQUALS, (evidence,), note="from the start of heating")


def _ambient(source: LogSource, at: dict[str, float | str]) -> Iterator[Statement]:
    """Ambient over the second half of the record, with half its swing; else as logs.toml says."""
    log, entry = source.log, source.log.entry
    key = Key.of("unit", "ambient_temperature", **at)
    said = None
    if log.values("ambient_temperature") is not None:
        first, last = len(log.time_s) // 2, len(log.time_s) - 1
        found = level(log, "ambient_temperature", "", first, last)
        if found is not None:
            swing = log.series["ambient_temperature", ""][first:]
            half = float(np.nanquantile(swing, 0.975) - np.nanquantile(swing, 0.025)) / 2
            said = source.statement(
                key, replace(found, drift=half), first, last, "ambient_temperature", note="second half of the record"
            )
    elif entry.ambient_c is not None and entry.evidence is not None:
        parts = (Component(source.cause(key, "reading"), entry.ambient_u),) if entry.ambient_u else ()
        said = Statement(
            key,
            Number(entry.ambient_c, parts),
            Route.MEASURED,
            evidence=(entry.evidence,),
            note="as written in logs.toml",
        )
    if said is None:
        source.problem(
            "no ambient temperature",
            'a column, or ambient = "23.4 °C"',
            "Add it: surface temperatures are referred to it.",
        )
        return
    yield said


def ambient_of_the_hottest(soaks: Iterable[Sequence[Statement]]) -> Statement | None:
    """The ambient of the record with the hottest surface, said of `unit` without conditions: the one that the touch
    limit is held against. None where that record has none, or tells no conditions and so says it already."""
    told = [[s for s in soak if s.key.subject == "unit" and isinstance(s.value, Number)] for soak in soaks]
    by_quantity = [{s.key.quantity: s for s in soak} for soak in told]
    hot = [found for found in by_quantity if "surface_temperature" in found and "ambient_temperature" in found]
    if not hot:
        return None
    ambient = max(hot, key=lambda found: _value(found["surface_temperature"]))["ambient_temperature"]
    if not ambient.key.at:
        return None
    note = ambient.note if len(hot) == 1 else f"{ambient.note}, of the hottest of {len(hot)} records"
    return replace(ambient, key=Key.of("unit", "ambient_temperature"), note=note)


def _value(said: Statement) -> float:
    return said.value.value if isinstance(said.value, Number) else 0.0
