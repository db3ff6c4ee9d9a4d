"""How fast a CC recording is decoded, beside one plain counting pass over the same samples in the same run.

Usage: python benchmarks/cc.py [--samples N]

For int16 and float32, 1 % and 60 % busy, at several sample rates: seconds of `numpy.count_nonzero(x > level)` and of
the whole decode, and their ratio; peak memory of decoding a file; cold start of a 5 ms recording, read alone and with
`partingline cc`, rules and all.

The targets stand for 25 MS/s. A frame takes the same time on the wire at every rate, so that a slower rate holds more
frames in as many samples: at 60 % busy the work a sample grows in proportion, which the other rows show.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

import numpy as np
import numpy.typing as npt

ROOT = Path(__file__).resolve().parent.parent
sys.path[:0] = [str(ROOT), str(ROOT / "src")]

from tests.readers.cc.transmitter import Line, Sent, packet_bits, record  # noqa: E402
from tests.readers.cc.worked import WORKED  # noqa: E402

from partingline.readers.cc.line.decoder import Scale, decode_samples  # noqa: E402

COUNTS_PER_V = 8192
TARGET_RATE_HZ = 25e6
TARGETS = {0.01: 2.0, 0.60: 6.0}
START_UP_S = 1.5


def recording(rate_hz: float, busy: float, samples: int) -> npt.NDArray[np.float32]:
    """The worked messages one after the other with idle between, repeated to the length asked for."""
    line = Line(rate_hz=rate_hz, noise_pp_v=0.1)
    sent, now = [], 0.2e-3
    for row in WORKED:
        bits = packet_bits(row.packet[:-4], sop=row.sop)
        sent.append(Sent(now, bits, line))
        air = len(bits) / line.bit_rate_hz
        now += air + max(60e-6, air * (1 / busy - 1))
    return np.resize(record(sent, length_s=now, line=line), samples)


def best_of(*calls: Callable[[], object], times: int = 4) -> list[float]:
    """The shortest of a few runs of each, taken in turn, in seconds of processor time: other work on the machine does
    not count."""
    took: list[list[float]] = [[] for _ in calls]
    for _ in range(times):
        for one, call in zip(took, calls, strict=True):
            begin = time.process_time()
            call()
            one.append(time.process_time() - begin)
    return [min(one) for one in took]


def count_pass(samples: npt.NDArray[np.number], level: np.number) -> int:
    """The pass to compare with."""
    return int(np.count_nonzero(samples > level))


def compare(samples: int) -> None:
    """The table: pass, decode, ratio, target."""
    print(f"{samples:,} samples, one core, numpy {np.__version__}")
    print(
        f"{'type':8} {'MS/s':>6} {'busy':>5} {'pass ms':>8} {'decode ms':>10} {'ratio':>6} {'target':>7} {'frames':>7}"
    )
    for rate_hz in (25e6, 10e6, 2.5e6):
        for busy, target in TARGETS.items():
            volts = recording(rate_hz, busy, samples)
            for kind in ("int16", "float32"):
                raw = np.round(volts * COUNTS_PER_V).astype(np.int16) if kind == "int16" else volts
                scale = Scale(1 / COUNTS_PER_V) if kind == "int16" else Scale()
                level = raw.dtype.type(0.55 / scale.volts)
                decode = partial(decode_samples, raw, rate_hz=rate_hz, scale=scale)
                frames = decode()
                plain_s, decode_s = best_of(partial(count_pass, raw, level), decode)
                sound = sum(frame.valid for frame in frames)
                aim = f"{target:.1f}" if rate_hz == TARGET_RATE_HZ else ""
                print(
                    f"{kind:8} {rate_hz / 1e6:6.1f} {busy:5.0%} {plain_s * 1e3:8.1f} {decode_s * 1e3:10.1f} "
                    f"{decode_s / plain_s:6.2f} {aim:>7} {sound:7}"
                )


READ = """
import re, sys
from pathlib import Path
sys.path.insert(0, sys.argv[1])
from partingline.readers.cc import read_capture
capture = read_capture(sys.argv[2])
# Not getrusage: it passes the parent's peak on to this process.
peak = int(re.search(r"VmHWM:\\s+(\\d+)", Path("/proc/self/status").read_text())[1]) / 1024
print(sum(frame.valid for frame in capture.frames), round(peak))
"""


def files(samples: int) -> None:
    """Peak memory of reading files of two lengths, and the start-up of a short one, each in a fresh process."""
    with tempfile.TemporaryDirectory() as folder:
        volts = recording(25e6, 0.01, samples)
        for name, part in (("5 ms", volts[:125_000]), ("short", volts[: samples // 4]), ("long", volts)):
            path = Path(folder) / "x.sigmf-meta"
            head = {"core:datatype": "rf32_le", "core:sample_rate": 25e6, "core:version": "1.2.0"}
            path.write_text(json.dumps({"global": head, "captures": [], "annotations": []}))
            part.tofile(path.with_suffix(".sigmf-data"))
            begin = time.perf_counter()
            told = subprocess.run(
                [sys.executable, "-c", READ, str(ROOT / "src"), str(path)],
                check=True,
                capture_output=True,
                text=True,
            ).stdout.split()
            took = time.perf_counter() - begin
            print(f"file {name:6} {len(part):>12,} samples: {took:6.2f} s, {told[0]} messages, peak {told[1]} MB")


def command() -> None:
    """Start of `partingline cc` on a 5 ms recording, compiled files there: shortest of five, and its processor time."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "x.npy"
        np.save(path, recording(25e6, 0.6, 125_000))
        call = [
            sys.executable,
            "-c",
            "import sys; sys.path.insert(0, sys.argv.pop(1)); from partingline.cli.app import app; app()",
        ]
        words = [*call, str(ROOT / "src"), "cc", str(path), "--rate", "25e6"]
        took, used = [], []
        for _ in range(5):
            begin, before = time.perf_counter(), os.times()
            subprocess.run(words, check=False, capture_output=True)
            after = os.times()
            took.append(time.perf_counter() - begin)
            used.append(after.children_user + after.children_system - before.children_user - before.children_system)
        print(f"partingline cc, 5 ms: {min(took):.2f} s, of them {min(used):.2f} s processor; target {START_UP_S} s")


def main() -> None:
    """Run all of it."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--samples", type=int, default=100_000_000)
    samples = parser.parse_args().samples
    compare(samples)
    files(samples)
    command()


if __name__ == "__main__":
    main()
