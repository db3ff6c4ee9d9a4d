"""WAV recordings (RIFF): 8, 16, 24, 32 bit PCM and 32, 64 bit float, as measuring programs write."""

from __future__ import annotations

import struct
from collections.abc import Callable
from pathlib import Path

import numpy as np
import numpy.typing as npt

from partingline.readers.cc.inputs.rawfile import raw_reader
from partingline.readers.cc.inputs.recording import Options, Recording, name_channels, rate_problem, scaled
from partingline.readers.cc.problem import Problem, UnreadableError

_PCM, _FLOAT, _EXTENSIBLE = 1, 3, 0xFFFE
_TYPES = {(_PCM, 8): "u1", (_PCM, 16): "<i2", (_PCM, 32): "<i4", (_FLOAT, 32): "<f4", (_FLOAT, 64): "<f8"}


def open_wav(path: Path, options: Options) -> Recording:
    """Open by the RIFF chunks. Raises UnreadableError."""
    coding, channels, header_rate, width, skip, size = _chunks(path)
    if channels < 1 or ((coding, width) not in _TYPES and (coding, width) != (_PCM, 24)):
        raise _unreadable(path, f"coding {coding} with {width} bits, {channels} channels")
    rate_hz = options.rate_hz or float(header_rate)
    if rate_hz <= 0:
        raise _unreadable(path, "sample rate 0")
    kind = np.dtype("u1") if width == 24 else np.dtype(_TYPES[coding, width])
    raw = _packed24(path, channels, skip) if width == 24 else raw_reader(path, kind, channels, skip)
    return Recording(
        path=path,
        kind="WAV",
        rate_hz=rate_hz,
        length=size // (channels * width // 8),
        channels=tuple(scaled(name, options, is_float=kind.kind == "f") for name in name_channels(channels, options)),
        raw=raw,
        problems=rate_problem(path.name, rate_hz),
    )


def _chunks(path: Path) -> tuple[int, int, int, int, int, int]:
    """coding, channels, rate, bits, data offset, data bytes (held to the file)."""
    size = path.stat().st_size
    found: tuple[int, int, int, int] | None = None
    with path.open("rb") as file:
        if file.read(4) != b"RIFF" or file.read(8)[4:] != b"WAVE":
            raise _unreadable(path, "no RIFF WAVE head")
        while len(head := file.read(8)) == 8:
            name, length = head[:4], struct.unpack("<I", head[4:])[0]
            body = file.read(min(length, 64)) if name == b"fmt " else b""
            if len(body) >= 16:
                coding, channels, rate, _, _, width = struct.unpack("<HHIIHH", body[:16])
                if coding == _EXTENSIBLE and len(body) >= 26:
                    coding = struct.unpack("<H", body[24:26])[0]
                found = (coding, channels, rate, width)
                file.seek(length - len(body) + length % 2, 1)
            elif name == b"data" and found:
                return (*found, file.tell(), min(length, size - file.tell()))
            else:
                file.seek(length + length % 2, 1)
    raise _unreadable(path, "no format and data chunks")


def _packed24(path: Path, channels: int, skip: int) -> Callable[[int, int], npt.NDArray[np.number]]:
    def read(start: int, stop: int) -> npt.NDArray[np.number]:
        offset = skip + start * channels * 3
        packed = np.fromfile(path, np.uint8, (stop - start) * channels * 3, offset=offset)
        packed = packed[: len(packed) // (3 * channels) * 3 * channels].reshape(-1, 3)
        wide = np.zeros((len(packed), 4), np.uint8)
        wide[:, 1:] = packed
        return (wide.view("<i4") >> 8).reshape(-1, channels).astype(np.int32, copy=False)

    return read


def _unreadable(path: Path, found: str) -> UnreadableError:
    expected = "a WAV file of 8, 16, 24, 32 bit PCM or 32, 64 bit float"
    return UnreadableError([Problem(path.name, found, expected, "Export the recording as 16 bit PCM.")])
