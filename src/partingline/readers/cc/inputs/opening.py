"""Any recording by its file name."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from partingline.readers.cc.inputs.csvfile import open_csv
from partingline.readers.cc.inputs.npy import open_npy
from partingline.readers.cc.inputs.recording import Options, Recording
from partingline.readers.cc.inputs.sigmf import open_sigmf
from partingline.readers.cc.inputs.wav import open_wav
from partingline.readers.cc.problem import Problem, UnreadableError

_OPENERS: dict[str, Callable[[Path, Options], Recording]] = {
    ".sigmf-meta": open_sigmf,
    ".sigmf-data": open_sigmf,
    ".npy": open_npy,
    ".csv": open_csv,
    ".tsv": open_csv,
    ".wav": open_wav,
}
LOGIC_SUFFIX = ".vcd"
HEX_SUFFIXES = (".hex", ".txt")


def open_recording(path: Path, options: Options) -> Recording:
    """Open a recording of samples. Raises UnreadableError."""
    opener = _OPENERS.get(path.suffix.lower())
    if opener is None:
        kinds = ", ".join([*_OPENERS, LOGIC_SUFFIX, *HEX_SUFFIXES])
        raise UnreadableError(
            [Problem(path.name, f"file type '{path.suffix}'", f"one of {kinds}", "Export it as one of these.")]
        )
    try:
        return opener(path, options)
    except OSError as fault:
        told = fault.strerror or str(fault)
        raise UnreadableError([Problem(path.name, told, "a readable file", "Check the path.")]) from None
