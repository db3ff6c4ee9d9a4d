"""Where the time of the main job goes, on the demonstration unit: whole processes, and the steps inside one.

Wall seconds, the middle of five. The ratios to a bare `python -c 'import numpy'`, measured in the same run, are what
can be compared between machines.
"""

import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median

ROOT = Path(__file__).parents[1]
UNIT = ROOT / "demo" / "tern-65"
RUNS = 5


def main() -> int:
    """Print both tables."""
    with tempfile.TemporaryDirectory() as place:
        commands = {
            "python, import numpy": [sys.executable, "-c", "import numpy"],
            "partingline check": [sys.executable, "-m", "partingline", "check", str(UNIT)],
            "partingline report": [sys.executable, "-m", "partingline", "report", str(UNIT), "-o", place],
        }
        base = 0.0
        for name, command in commands.items():
            seconds = _middle(lambda command=command: subprocess.run(command, capture_output=True, check=False))  # type: ignore[misc]
            base = base or seconds
            print(f"{name:24} {seconds:6.2f} s   {seconds / base:5.1f} x")
    print()
    for name, seconds in _steps():
        print(f"  {name:22} {seconds * 1e3:7.0f} ms")
    return 0


def _middle(job: Callable[[], object]) -> float:
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        job()
        times.append(time.perf_counter() - start)
    return median(times)


def _steps() -> list[tuple[str, float]]:
    """One warm run, step by step."""
    from partingline.facts.opened import open_unit
    from partingline.findings import Case, run
    from partingline.publish.compose import compose
    from partingline.publish.html import render_html
    from partingline.publish.markdown import render_markdown
    from partingline.publish.pdf import render_pdf

    laps: list[tuple[str, float]] = []

    def lap(name: str, job: Callable[[], object]) -> object:
        start = time.perf_counter()
        made = job()
        laps.append((name, time.perf_counter() - start))
        return made

    open_unit(UNIT)
    opened = lap("open the unit", lambda: open_unit(UNIT))
    lap("bring facts together", lambda: opened.book.facts())  # type: ignore[attr-defined]
    case = Case(opened.unit, opened.book, captures=opened.captures)  # type: ignore[attr-defined]
    findings = lap("judge", lambda: run(case))
    document = lap("compose", lambda: compose(opened, findings))  # type: ignore[arg-type]
    lap("render HTML", lambda: render_html(document))  # type: ignore[arg-type]
    lap("render PDF", lambda: render_pdf(document))  # type: ignore[arg-type]
    lap("render Markdown", lambda: render_markdown(document))  # type: ignore[arg-type]
    return laps


if __name__ == "__main__":
    sys.exit(main())
