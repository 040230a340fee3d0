#!/usr/bin/env bash
# Pins every dependency by hash, for every Python that the project supports, and names no registry.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
export UV_PYTHON_DOWNLOADS=never

pin() {
  .venv/bin/uv pip compile --quiet --universal --python-version 3.11 --generate-hashes --no-header --no-annotate "$@"
}
pin requirements-uv.in --output-file requirements-uv.txt
pin pyproject.toml --output-file requirements.txt
pin pyproject.toml --all-extras --constraint requirements.txt --output-file requirements-dev.txt
if grep -nE '://|index-url|find-links' requirements*.txt; then
  echo "a requirements file names where packages came from: take it out" >&2
  exit 1
fi
