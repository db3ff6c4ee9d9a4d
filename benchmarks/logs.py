"""Bench logs at size: `python benchmarks/logs.py [ROWS]`.

Reads the demonstration unit's logs, then a made CSV of ROWS rows and 8 columns (default 10 million) and finds its
plateaus, beside a bare polars scan of the same file in a process of its own. Exits 1 above twice its time or 1.5 GB.
"""

import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

import numpy as np

from partingline.facts.statements.logs import log_statements
from partingline.readers.logs import LogEntry, read_catalogue, read_log
from partingline.readers.logs.plateaus import find_plateaus

DEMO = Path(__file__).parent.parent / "demo" / "tern-65" / "logs"
MOST_TIMES, MOST_MIB = 2.0, 1500.0
R = TypeVar("R")


def main() -> int:
    """Print one line a step; 1 where a bound is broken."""
    if len(sys.argv) == 3:
        return one_of(sys.argv[1], Path(sys.argv[2]))
    rows = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000_000
    entries, _ = read_catalogue((DEMO / "logs.toml").read_text(encoding="utf-8"), "logs/logs.toml", "")
    logs = timed(f"demo: read {len(entries)} logs", lambda: [read_log(DEMO / entry.file, entry) for entry in entries])
    timed("demo: statements", lambda: log_statements(logs, {}))
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "made.csv"
        write(path, rows)
        print(f"made: {rows} rows of 8 columns, {path.stat().st_size / 2**20:.0f} MiB")
        subprocess.run([sys.executable, __file__, "scan", str(path)], check=True, capture_output=True)
        scans = [measured("scan", path) for _ in range(3)]
        reads = [measured("read", path) for _ in range(3)]
    scan, read, memory = min(s for s, _ in scans), min(s for s, _ in reads), max(m for _, m in reads)
    print(f"{scan:8.3f} s  bare polars scan")
    print(f"{read:8.3f} s  read and segmented: {read / scan:.2f} times the scan, {memory:.0f} MiB at most")
    return int(read > MOST_TIMES * scan or memory > MOST_MIB)


def one_of(what: str, path: Path) -> int:
    """One measurement in this process: seconds without imports, and the peak of memory in MiB."""
    import polars as pl

    start = time.perf_counter()
    if what == "scan":
        pl.scan_csv(path).collect()
    else:
        find_plateaus(read_log(path, LogEntry(file=path.name)))
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(time.perf_counter() - start, peak)
    return 0


def measured(what: str, path: Path) -> tuple[float, float]:
    """Seconds and MiB of a process that does one of the two."""
    done = subprocess.run([sys.executable, __file__, what, str(path)], check=True, capture_output=True, text=True)
    seconds, peak = map(float, done.stdout.split())
    return seconds, peak


def timed(what: str, run: Callable[[], R]) -> R:
    """Run once, print the seconds."""
    start = time.perf_counter()
    result = run()
    print(f"{time.perf_counter() - start:8.3f} s  {what}")
    return result


def write(path: Path, rows: int) -> None:
    """A sweep of 50 steps in eight columns."""
    import polars as pl

    rng = np.random.default_rng(0)
    amps = np.repeat(np.linspace(3.25, 0.1, 50), -(-rows // 50))[:rows]
    volts = 20.1 - 0.03 * amps
    true = {
        "Vin (V)": np.full(rows, 115.0), "Iin (A)": volts * amps / 100, "Pin (W)": volts * amps / 0.92,
        "PF": np.full(rows, 0.6), "Vout (V)": volts, "Iout (A)": amps, "T_case (°C)": 40 + amps,
    }  # fmt: skip
    noisy = {name: values + 1e-4 * rng.standard_normal(rows) for name, values in true.items()}
    pl.DataFrame({"Time (s)": np.arange(rows) * 0.1, **noisy}).write_csv(path, float_precision=4)


if __name__ == "__main__":
    sys.exit(main())
