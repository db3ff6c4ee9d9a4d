#!/bin/sh
# System packages that only tests use: a browser for the pages, a circuit simulator as referee, a PDF reader.
# Installs what is missing where apt and the right to use it are there; else says what will be skipped.
# With the argument 'venv': only what `python3 -m venv` needs.
set -eu

need=""
if [ "${1:-}" = venv ]; then
  python3 -c "import ensurepip, venv" 2>/dev/null || need="python3-venv"
else
  command -v chromium >/dev/null 2>&1 || need="$need chromium"
  command -v ngspice >/dev/null 2>&1 || need="$need ngspice"
  command -v pdftoppm >/dev/null 2>&1 || need="$need poppler-utils"
fi
[ -n "$need" ] || exit 0

run=""
if [ "$(id -u)" != 0 ]; then
  if command -v sudo >/dev/null 2>&1 && sudo -n true 2>/dev/null; then run="sudo"; else run="none"; fi
fi
if ! command -v apt-get >/dev/null 2>&1 || [ "$run" = none ]; then
  echo "not installed:$need; tests that use them are skipped (as root: apt-get install$need)" >&2
  exit 0
fi
export DEBIAN_FRONTEND=noninteractive
$run apt-get update -qq
# shellcheck disable=SC2086
$run apt-get install -y -qq --no-install-recommends $need >/dev/null
