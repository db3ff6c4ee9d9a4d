"""`make prove`: the long proofs and the benchmarks, one by one; figures, machine and date go to docs/proof.md."""

import os
import platform
import subprocess
import sys
from datetime import date
from pathlib import Path

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "docs" / "proof.md"


def main() -> int:
    """Run everything, write the page, and fail where something failed."""
    jobs = [("long proofs", [sys.executable, "-m", "pytest", "-m", "prove", "--timeout", "3600", "-rA"])]
    jobs += [
        (path.stem, [sys.executable, str(path)])
        for path in sorted((ROOT / "benchmarks").glob("*.py"))
        if path.stem[0] != "_"
    ]
    sections, failed = [], 0
    for name, command in jobs:
        print(f"== {name}", flush=True)
        done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
        failed += done.returncode != 0
        told = (done.stdout + done.stderr).strip().splitlines()[-120:]
        sections.append(f"## {name}\n\nexit code {done.returncode}\n\n```\n" + "\n".join(told) + "\n```\n")
        print("\n".join(told[-3:]), flush=True)
    machine = f"{platform.system()} {platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}"
    head = f"# Proof\n\nWritten by `make prove` on {date.today():%-d %B %Y}. Machine: {machine}.\n\n"
    PAGE.write_text(head + "\n".join(sections), encoding="utf-8")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
