"""NumPy array files: (samples,) or (samples, channels), row by row."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from partingline.readers.cc.inputs.rawfile import raw_reader, sample_count
from partingline.readers.cc.inputs.recording import Options, Recording, name_channels, rate_problem, scaled
from partingline.readers.cc.problem import Problem, UnreadableError


def open_npy(path: Path, options: Options) -> Recording:
    """Open by the array header only. Raises UnreadableError with every fault found."""
    try:
        with path.open("rb") as file:
            version = np.lib.format.read_magic(file)
            head = np.lib.format.read_array_header_1_0 if version == (1, 0) else (np.lib.format.read_array_header_2_0)
            shape, by_column, dtype = head(file)
            skip = file.tell()
    except (ValueError, OSError, SyntaxError, TypeError, EOFError, RecursionError, MemoryError) as fault:
        told = str(fault).splitlines()[0] if str(fault) else type(fault).__name__
        raise UnreadableError(
            [Problem(path.name, told, "an array file written by numpy.save", "Save the array again.")]
        ) from None
    problems = _faults(path, shape, by_column, dtype, options)
    if problems or options.rate_hz is None:
        raise UnreadableError(problems)
    channels = shape[1] if len(shape) == 2 else 1
    names = name_channels(channels, options)
    return Recording(
        path=path,
        kind="NPY",
        rate_hz=options.rate_hz,
        length=min(shape[0], sample_count(path, dtype, channels, skip)),
        channels=tuple(scaled(name, options, is_float=dtype.kind == "f") for name in names),
        raw=raw_reader(path, dtype, channels, skip),
        problems=rate_problem(path.name, options.rate_hz),
    )


def _faults(
    path: Path, shape: tuple[int, ...], by_column: bool, dtype: np.dtype[np.generic], options: Options
) -> list[Problem]:
    found = []
    save = "Save it again as numpy.ascontiguousarray(x)."
    if len(shape) not in (1, 2) or (len(shape) == 2 and not 1 <= shape[1] <= 256):
        found.append(Problem(path.name, f"shape {shape}", "(samples,) or (samples, channels)", save))
    if by_column and len(shape) == 2 and shape[1] > 1:
        found.append(Problem(path.name, "column order", "row order", save))
    if dtype.kind not in "fiu" or dtype.itemsize > 8:
        found.append(Problem(path.name, f"type {dtype}", "whole or floating-point numbers", save))
    if options.rate_hz is None:
        found.append(Problem(path.name, "no sample rate", "samples a second", "Give the rate as an option (--rate)."))
    return found
