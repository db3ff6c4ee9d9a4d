"""SigMF recordings: JSON beside raw samples (SigMF specification v1.2), real types, any byte order, channels.

Own extension fields in the global object, all optional:
  partingline:channels   list of names: cc1, cc2, vbus, current
  partingline:scale_v    volts (amperes for current) per count, one number or one for each channel
  partingline:offset_v   volts (amperes) at count 0, one number or one for each channel
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import numpy as np

from partingline.readers.cc.inputs.rawfile import raw_reader, sample_count
from partingline.readers.cc.inputs.recording import (
    Channel,
    Options,
    Recording,
    name_channels,
    rate_problem,
    unit_of,
)
from partingline.readers.cc.problem import Problem, UnreadableError

_TYPE = re.compile(r"(r)(f32|f64|i8|u8|i16|u16|i32|u32)(?:_(le|be))?")
_NEXT = "Mend the .sigmf-meta file beside the data."


def open_sigmf(path: Path, options: Options) -> Recording:
    """Open by either of the two files. Raises UnreadableError with every fault of the metadata."""
    meta_path, data_path = path.with_suffix(".sigmf-meta"), path.with_suffix(".sigmf-data")
    top = _load(meta_path, data_path)
    reader = _Meta(meta_path, top)
    dtype = reader.dtype()
    channels = reader.whole("core:num_channels", 1)
    rate_hz = options.rate_hz or reader.rate()
    skip, behind = reader.capture_bytes("core:header_bytes"), reader.whole("core:trailing_bytes", 0)
    named = reader.channels(channels, options, dtype is not None and dtype.kind == "f")
    if reader.problems or dtype is None or rate_hz is None:
        raise UnreadableError(reader.problems)
    return Recording(
        path=data_path,
        kind="SigMF",
        rate_hz=rate_hz,
        length=sample_count(data_path, dtype, channels, skip, behind),
        channels=named,
        raw=raw_reader(data_path, dtype, channels, skip),
        problems=rate_problem(meta_path.name, rate_hz),
    )


def _load(meta_path: Path, data_path: Path) -> dict[str, Any]:
    missing = [
        Problem(p.name, "no such file", "metadata and data side by side", "Put it beside the other file.")
        for p in (meta_path, data_path)
        if not p.is_file()
    ]
    if missing:
        raise UnreadableError(missing)
    try:
        top = json.loads(meta_path.read_text("utf-8"))
    except (ValueError, RecursionError) as fault:
        raise UnreadableError([Problem(meta_path.name, str(fault), "JSON in UTF-8", _NEXT)]) from None
    if not isinstance(top, dict) or not isinstance(top.get("global"), dict):
        raise UnreadableError([Problem(meta_path.name, "no global object", "a SigMF metadata object", _NEXT)])
    return top


class _Meta:
    """Fields of the metadata, each checked; faults are collected."""

    def __init__(self, path: Path, top: dict[str, Any]) -> None:
        self._place = path.name
        self._global: dict[str, Any] = top["global"]
        captures = top.get("captures")
        first = captures[0] if isinstance(captures, list) and captures else {}
        self._capture: dict[str, Any] = first if isinstance(first, dict) else {}
        self.problems: list[Problem] = []

    def _fault(self, field: str, found: object, expected: str) -> None:
        self.problems.append(Problem(f"{self._place}, {field}", f"found {found!r}", expected, _NEXT))

    def dtype(self) -> np.dtype[np.number] | None:
        """The sample type, real only."""
        text = self._global.get("core:datatype")
        match = _TYPE.fullmatch(text) if isinstance(text, str) else None
        if match is None or (match[3] is None and not match[2].endswith("8")):
            self._fault("core:datatype", text, "a real type such as rf32_le, ri16_le, ri16_be, ri8 or ru8")
            return None
        bits = int(match[2][1:])
        return np.dtype(f"{'>' if match[3] == 'be' else '<'}{match[2][0]}{bits // 8}")

    def rate(self) -> float | None:
        """The sample rate."""
        value = self._global.get("core:sample_rate")
        if isinstance(value, bool) or not isinstance(value, int | float) or not 0 < value < 1e12:
            self._fault("core:sample_rate", value, "samples a second, such as 2500000")
            return None
        return float(value)

    def whole(self, field: str, default: int) -> int:
        """A whole number of at least `default`."""
        return self._whole(self._global, field, default)

    def capture_bytes(self, field: str) -> int:
        """A byte count of the first capture segment."""
        return self._whole(self._capture, field, 0)

    def _whole(self, where: dict[str, Any], field: str, default: int) -> int:
        value = where.get(field, default)
        if isinstance(value, bool) or not isinstance(value, int) or not default <= value < 1 << 40:
            self._fault(field, value, f"a whole number of at least {default}")
            return default
        return value

    def channels(self, count: int, options: Options, is_float: bool) -> tuple[Channel, ...]:
        """Names and scales."""
        count = min(count, 256)
        names = self._global.get("partingline:channels", [])
        if not isinstance(names, list) or not all(isinstance(name, str) for name in names):
            self._fault("partingline:channels", names, 'a list of names, such as ["cc1", "vbus"]')
            names = []
        scales = self._each("partingline:scale_v", options.scale, count)
        offsets = self._each("partingline:offset_v", options.offset, count)
        return tuple(
            Channel(
                name,
                1.0 if scales[i] is None else scales[i],
                offsets[i] or 0.0,
                scales[i] is not None or is_float,
                unit_of(name),
            )
            for i, name in enumerate(name_channels(count, options, tuple(names)))
        )

    def _each(self, field: str, given: float | None, count: int) -> list[Any]:
        value = given if given is not None else self._global.get(field)
        values = value if isinstance(value, list) else [value] * count
        sound = all(v is None or _is_number(v) for v in values) and len(values) >= count
        if not sound or (field.endswith("scale_v") and 0 in values):
            self._fault(field, value, f"a number other than 0, or {count} of them")
            return [None] * count
        return [None if v is None else float(v) for v in values]


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < 1e300
