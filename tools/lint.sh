#!/usr/bin/env bash
# Every check runs, even when one before it complains; the exit code is that of the worst.
set -uo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."

failed=()
check() {
  echo "== $*"
  ".venv/bin/$1" "${@:2}" || failed+=("$1")
}
check ruff check .
check ruff format --check .
check mypy
check lint-imports
check deptry src
if [ ${#failed[@]} -gt 0 ]; then
  echo "complaints from: ${failed[*]}" >&2
  exit 1
fi
