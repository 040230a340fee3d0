#!/usr/bin/env bash
# Makes .venv: a plain virtual environment, the installer pinned by hash inside it, every package pinned by hash, the project itself.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
export UV_PYTHON_DOWNLOADS=never PIP_DISABLE_PIP_VERSION_CHECK=1

recent() { "$1" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; }
# the engine that the tests compare with is built for these
tested() { "$1" -c 'import sys; sys.exit(not (3, 11) <= sys.version_info < (3, 13))' 2>/dev/null; }

find_python() {
  local name fits names=(python3 python3.11 python3.12 python3.13 python3.14)
  [ -z "${PYTHON:-}" ] || names=("$PYTHON")
  for fits in tested recent; do
    for name in "${names[@]}"; do
      if command -v "$name" >/dev/null && "$fits" "$name"; then
        command -v "$name"
        return
      fi
    done
  done
  echo "airledger needs Python 3.11 or later, and found none: install it (Debian, Ubuntu: apt-get install python3 python3-venv)," >&2
  echo "or name it: make setup PYTHON=/where/it/is/python3" >&2
  return 1
}

if ! { [ -x .venv/bin/python ] && recent .venv/bin/python; }; then
  python=$(find_python)
  if ! "$python" -c 'import venv, ensurepip' 2>/dev/null; then
    echo "$python cannot make a virtual environment (module venv or ensurepip is missing)." >&2
    echo "Debian, Ubuntu: apt-get install python3-venv" >&2
    exit 1
  fi
  rm -rf .venv
  "$python" -m venv .venv
fi
[ -x .venv/bin/pip ] || .venv/bin/python -m ensurepip --upgrade >/dev/null

.venv/bin/python -m pip install --quiet --require-hashes --requirement requirements-uv.txt
# the installer would remove itself: it is not among the project's packages
cat requirements-uv.txt requirements-dev.txt >.venv/everything.txt
# compiled here and once: else the first run pays for it, and every run where Python may write no bytecode
.venv/bin/uv pip sync --quiet --compile-bytecode --python .venv/bin/python --require-hashes .venv/everything.txt
.venv/bin/uv pip install --quiet --python .venv/bin/python --no-deps --no-build-isolation --editable .
.venv/bin/python -m compileall -q src/airledger
echo "ready: .venv ($(.venv/bin/python --version))"
tested .venv/bin/python || echo "the tests need Python 3.11 or 3.12; everything else works with this one" >&2
