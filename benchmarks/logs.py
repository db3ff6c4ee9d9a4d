"""Where the time goes in reading bench logs: `python benchmarks/logs.py [ROWS]`.

Reads the demonstration unit's logs, then a made CSV of ROWS rows and 8 columns (default 200 000) beside `numpy.loadtxt`
on the same numbers, and prints seconds and the peak of memory.
"""

import resource
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
R = TypeVar("R")


def main() -> None:
    """Print one line a step."""
    rows = int(sys.argv[1]) if len(sys.argv) > 1 else 200_000
    entries, _ = read_catalogue((DEMO / "logs.toml").read_text(encoding="utf-8"), "logs/logs.toml", "")
    logs = timed(f"demo: read {len(entries)} logs", lambda: [read_log(DEMO / entry.file, entry) for entry in entries])
    timed("demo: statements", lambda: log_statements(logs, {}))
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "made.csv"
        write(path, rows)
        print(f"made: {rows} rows, {path.stat().st_size / 2**20:.0f} MiB")
        timed("made: numpy.loadtxt", lambda: np.loadtxt(path, delimiter=",", skiprows=1))
        log = timed("made: read_log", lambda: read_log(path, LogEntry(file="made.csv")))
        found = timed("made: find_plateaus", lambda: find_plateaus(log))
        print(f"made: {len(found)} plateaus")
    print(f"peak memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MiB")


def timed(what: str, run: Callable[[], R]) -> R:
    """Run once, print the seconds."""
    start = time.perf_counter()
    result = run()
    print(f"{time.perf_counter() - start:8.3f} s  {what}")
    return result


def write(path: Path, rows: int) -> None:
    """A sweep of 50 steps in eight columns."""
    rng = np.random.default_rng(0)
    amps = np.repeat(np.linspace(3.25, 0.1, 50), -(-rows // 50))[:rows]
    volts = 20.1 - 0.03 * amps
    columns = [np.arange(rows) * 0.1, np.full(rows, 115.0), volts * amps / 100, volts * amps / 0.92, np.full(rows, 0.6)]
    columns += [volts, amps, 40 + amps]
    table = np.column_stack(columns) + 1e-4 * rng.standard_normal((rows, 8)) * np.array([0, 1, 1, 1, 1, 1, 1, 1])
    head = "Time (s),Vin (V),Iin (A),Pin (W),PF,Vout (V),Iout (A),T_case (°C)"
    np.savetxt(path, table, "%.4f", ",", header=head, comments="", encoding="utf-8")


if __name__ == "__main__":
    main()
