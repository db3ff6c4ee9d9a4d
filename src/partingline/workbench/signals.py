"""Recordings and logs as a screen needs them: lowest, highest and mean value of each stretch, however long it is.

Blocks of a recording are reduced once and kept; a long stretch is answered from them, a short one from the samples.
"""

import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from partingline.readers.logs import Log
from partingline.sources import quantities

BLOCK = 256
"""Samples that are reduced to one: what lies between the samples themselves and a screen of the whole."""
_FROM_SAMPLES = 1 << 19
"""Samples up to which a stretch is read as it is: some milliseconds."""
_PIECE = 1 << 22
_lock = threading.Lock()
Floats = NDArray[np.float64]


def levels(
    capture: Any, channel: str, start_s: float, stop_s: float, points: int, cache: Path
) -> dict[str, Any] | None:
    """Envelope of a stretch in at most `points` bins; None where the channel was not recorded."""
    recording = capture.recording
    found = recording.channel(channel) if recording else None
    if recording is None or found is None:
        return None
    rate = recording.rate_hz
    start = min(max(0, int(start_s * rate)), recording.length)
    stop = min(max(start, int(stop_s * rate) + 1), recording.length)
    if stop - start <= max(_FROM_SAMPLES, BLOCK * points):
        raw = recording.read(found, start, stop).astype(np.float64)
        step = max(1, -(-len(raw) // points))
        low, high, mean = _binned(raw, raw, raw, step)
        at = start + np.arange(len(mean)) * step
    else:
        reduced = blocks(recording, found, cache)
        first, last = start // BLOCK, -(-stop // BLOCK)
        step = max(1, -(-(last - first) // points))
        low, high, mean = _binned(reduced[0, first:last], reduced[1, first:last], reduced[2, first:last], step)
        at = (first + np.arange(len(mean)) * step) * BLOCK
    scaled = np.sort(np.stack([low, high]) * found.scale + found.offset, axis=0)
    return {
        "channel": channel,
        "unit": found.unit,
        "t_s": (at / rate).tolist(),
        "low": scaled[0].tolist(),
        "high": scaled[1].tolist(),
        "mean": (mean * found.scale + found.offset).tolist(),
    }


def log_series(log: Log, points: int) -> dict[str, Any]:
    """The recognised columns of a log in shown units, every n-th row; no number where the instrument gave none."""
    step = max(1, -(-len(log.time_s) // points))
    entry = log.entry
    told = {"port": entry.port, "offer": entry.offer_v, "mains": entry.mains_v, "ambient": entry.ambient_c}
    series = []
    for (name, channel), values in log.series.items():
        known = quantities().get(name)
        shown = np.asarray(values[::step], dtype=np.float64) * (known.scale if known else 1.0)
        series.append(
            {
                "quantity": name,
                "name": " ".join(filter(None, (channel, known.name if known else name))),
                "unit": {"1": "", "degC": "°C"}.get(known.shown, known.shown) if known else "",
                "values": _plain(shown),
            }
        )
    return {"kind": entry.kind, "conditions": told, "t_s": _plain(log.time_s[::step]), "series": series}


def _plain(values: Floats) -> list[float | None]:
    return [float(value) if np.isfinite(value) else None for value in values]


def _binned(low: Floats, high: Floats, mean: Floats, step: int) -> tuple[Floats, Floats, Floats]:
    if not len(mean):
        return low, high, mean
    edges = np.arange(0, len(mean), step)
    counts = np.diff(np.append(edges, len(mean)))
    return (
        np.minimum.reduceat(low, edges),
        np.maximum.reduceat(high, edges),
        np.add.reduceat(mean, edges) / counts,
    )


def blocks(recording: Any, channel: Any, cache: Path, watch: Callable[[float], None] = lambda share: None) -> Floats:
    """Lowest, highest and mean raw value of every block, (3, blocks); made once and kept.

    `watch` is told the share that is done, between the pieces; what it raises ends the work, and nothing is kept.
    """
    import hashlib

    told = recording.path.stat()
    mark = f"{BLOCK}|{recording.path.name}|{channel.name}|{told.st_mtime_ns}|{told.st_size}|{recording.length}"
    name = hashlib.sha256(mark.encode("utf-8", "surrogatepass")).hexdigest()[:24]
    kept = cache / "levels" / f"{name}.npy"
    with _lock:
        if kept.is_file():
            stored: Floats = np.load(kept, allow_pickle=False, mmap_mode="r")
            return stored
        rows = []
        for at in range(0, recording.length, _PIECE):
            watch(at / recording.length)
            rows.append(_reduced(recording, channel, at))
        blocks: Floats = np.concatenate(rows, axis=1)
        kept.parent.mkdir(parents=True, exist_ok=True)
        beside = kept.with_suffix(".part.npy")
        np.save(beside, blocks)
        beside.replace(kept)
        return blocks


def _reduced(recording: Any, channel: Any, at: int) -> Floats:
    raw = recording.read(channel, at, min(at + _PIECE, recording.length)).astype(np.float64)
    return np.stack(_binned(raw, raw, raw, BLOCK))
