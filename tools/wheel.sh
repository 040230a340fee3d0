#!/usr/bin/env bash
# Builds the source archive, and the wheel from that archive; installs the wheel in an empty environment and runs it there.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
export UV_PYTHON_DOWNLOADS=never
here=$PWD
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT

rm -rf dist
.venv/bin/python -m hatchling build --target sdist --directory dist >/dev/null
tar --extract --gzip --file dist/airledger-*.tar.gz --directory "$place"
(cd "$place"/airledger-* && "$here/.venv/bin/python" -m hatchling build --target wheel --directory "$here/dist" >/dev/null)
ls dist

.venv/bin/python -m venv --without-pip "$place/empty"
.venv/bin/uv pip install --quiet --python "$place/empty/bin/python" --require-hashes --requirement requirements.txt
.venv/bin/uv pip install --quiet --python "$place/empty/bin/python" --no-deps --offline dist/airledger-*.whl
cd "$place" # nothing of the source folder may be in reach
env --unset=PYTHONPATH empty/bin/airledger --help >/dev/null
env --unset=PYTHONPATH empty/bin/airledger demo papers
[ -n "$(ls papers)" ]
env --unset=PYTHONPATH empty/bin/airledger airtightness papers/readings/tern-14.csv >/dev/null
status=0
env --unset=PYTHONPATH empty/bin/airledger study papers/tern-street-14.yaml --out papers --sheet inspector >/dev/null || status=$?
[ "$status" -le 1 ] # 1: the example passes a limit
[ -s papers/inspector.pdf ]
echo "the wheel runs in an empty environment"
