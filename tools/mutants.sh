#!/usr/bin/env bash
# Alters the code of the modules named, one small change at a time, and asks the tests whether they notice.
# Works on a copy in build/mutants, one a module, never in the tree; what it needs goes into an environment there.
# Use:  tools/mutants.sh physics/opening tests/unit/physics/test_opening.py tests/published/test_cases.py
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
if [ $# -lt 2 ]; then
  echo "name a module and the tests that guard it: tools/mutants.sh physics/opening tests/unit/physics" >&2
  exit 2
fi
module=$1
shift
[ -f "src/airledger/$module.py" ] || { echo "no such module: src/airledger/$module.py" >&2; exit 2; }

place=$PWD/build/mutants
copy=$place/${module//\//-}
python=$place/environment/bin/python
if [ ! -x "$place/environment/bin/mutmut" ] || ! cmp -s requirements-dev.txt "$place/pins.txt"; then
  mkdir -p "$place"
  .venv/bin/uv venv --quiet --clear "$place/environment" --python .venv/bin/python
  .venv/bin/uv pip install --quiet --python "$python" --require-hashes -r requirements-dev.txt
  .venv/bin/uv pip install --quiet --python "$python" --constraint requirements-dev.txt 'mutmut==3.8.1'
  cp requirements-dev.txt "$place/pins.txt"
fi

rm -rf "$copy"
mkdir -p "$copy"
git ls-files -z --cached --others --exclude-standard -- . ':!dist' | while IFS= read -r -d '' file; do
  [ -f "$file" ] && printf '%s\0' "$file"
done | xargs -0 cp --parents -t "$copy"
cd "$copy"
{
  printf '[mutmut]\nsource_paths = src/\nonly_mutate = src/airledger/%s.py\nalso_copy =\n' "$module"
  printf '    %s\n' README.md LICENSE docs changelog.d benchmarks
  printf 'pytest_add_cli_args_test_selection =\n'
  printf '    %s\n' "$@"
  printf 'pytest_add_cli_args =\n    -p\n    no:cacheprovider\n'
} >setup.cfg
nice -n 19 "$python" -m mutmut run --max-children 1 2>&1 | tr '\r' '\n' | tail -2
"$python" -m mutmut results | sed -n 's/^ *\([^ ]*\): \(.*\)$/\1 \2/p' | while read -r name fate; do
  echo "== $fate: $name"
  "$python" -m mutmut show "$name" | sed -n '/^[-+@]/{/^---/d;/^+++/d;p}'
done
