"""Interleaved samples in a file, read by offset: nothing is held in memory but the stretch asked for."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import numpy.typing as npt


def raw_reader(
    path: Path, dtype: np.dtype[np.number], channels: int, skip: int
) -> Callable[[int, int], npt.NDArray[np.number]]:
    """A reader of (samples, channels) arrays in native byte order from byte `skip` of the file on."""
    native = dtype.newbyteorder("=")

    def read(start: int, stop: int) -> npt.NDArray[np.number]:
        offset = skip + start * channels * dtype.itemsize
        flat = np.fromfile(path, dtype=dtype, count=(stop - start) * channels, offset=offset)
        whole = len(flat) // channels * channels
        return flat[:whole].reshape(-1, channels).astype(native, copy=False)

    return read


def sample_count(path: Path, dtype: np.dtype[np.number], channels: int, skip: int, behind: int = 0) -> int:
    """How many samples of each channel the file holds."""
    return max(0, path.stat().st_size - skip - behind) // (dtype.itemsize * channels)
