"""Scope recordings in SigMF as logs: one column a channel, evenly spaced samples, scaled by the metadata."""

import hashlib
from dataclasses import replace
from pathlib import Path

import numpy as np

from partingline.model import Whole
from partingline.readers.logs.columns import recognise
from partingline.readers.logs.layout import Layout
from partingline.readers.logs.text import MAX_BYTES
from partingline.readers.logs.types import Column, Log, LogEntry, Notes

ENDINGS = (".sigmf-meta", ".sigmf-data")


def read_recording(path: Path, entry: LogEntry, name: str) -> Log:
    """A SigMF recording named by either of its two files; `Log.problems` tells what is wrong with it.

    Channels are recognised by name (`partingline:channels`) and unit, or pinned by name in logs.toml. Evidence points
    into the data file.
    """
    from partingline.readers.cc.inputs.recording import Options
    from partingline.readers.cc.inputs.sigmf import open_sigmf
    from partingline.readers.cc.problem import UnreadableError

    data = path.with_suffix(".sigmf-data")
    name = str(Path(name).with_suffix(".sigmf-data").as_posix())
    notes = Notes(name, "")
    try:
        recording = open_sigmf(path, Options())
        if data.stat().st_size > MAX_BYTES:
            found = f"a recording of {data.stat().st_size >> 20} MiB"
            notes.add(Whole(), found, f"at most {MAX_BYTES >> 20} MiB", "Record a shorter stretch.")
            return Log(name, "", entry, problems=tuple(notes.problems))
        notes.sha256 = hashlib.sha256(data.read_bytes()).hexdigest()
        raw = recording.raw(0, recording.length)
    except UnreadableError as error:
        for problem in error.problems:
            notes.add(Whole(), f"{problem.place}: {problem.found}", problem.expected, problem.next_step)
        return Log(name, "", entry, problems=tuple(notes.problems))
    except OSError as error:
        notes.add(Whole(), f"unreadable ({error.strerror})", "a recording", "Check the file's permissions.")
        return Log(name, "", entry, problems=tuple(notes.problems))
    names = tuple(channel.name for channel in recording.channels)
    layout = Layout("", ".", 0, 0, 0, names, tuple(channel.unit for channel in recording.channels))
    columns = []
    series = {}
    for column, channel in zip(recognise(layout, entry, notes), recording.channels, strict=True):
        step = abs(channel.scale) if raw.dtype.kind in "iu" else 0.0
        columns.append(_with_step(column, step))
        if column.quantity not in ("", "time"):
            values = raw[:, column.index].astype(np.float64) * channel.scale + channel.offset
            series[column.quantity, column.channel] = values * column.factor + column.offset
    if not series:
        step_ = 'Pin them in logs/logs.toml: columns = { port_voltage = "CHANNEL" }.'
        notes.add(Whole(), f"none of the channels was recognised ({', '.join(names)})", "voltages or currents", step_)
    length = len(raw)
    return Log(
        path=name, sha256=notes.sha256, entry=entry, columns=tuple(columns), rows=np.arange(length),
        time_s=np.arange(length) / recording.rate_hz, series=series, problems=tuple(notes.problems),
        encoding="SigMF", rate_hz=recording.rate_hz,
    )  # fmt: skip


def _with_step(column: Column, step: float) -> Column:
    return replace(column, step=step * column.factor)
