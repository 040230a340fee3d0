"""The contracts on imports, as pyproject.toml has them, are each seen to break on a bad package."""

import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
CONTRACTS = tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]["importlinter"]["contracts"]
# contract -> where a bad import stands, and the import
BAD = {
    "layers": ("physics/leak.py", "import airledger.studies.door_force"),
    "calculating packages touch no file, clock, net or screen": ("physics/leak.py", "import time"),
    "studies are independent of each other": ("studies/door_force.py", "import airledger.studies.air_balance"),
    "the pages compute nothing": ("web/pages.py", "import numpy"),
    "entry points import runs, never physics or assembly": ("cli/main.py", "import airledger.physics.leak"),
}


def contracts_on(tmp_path, place="errors.py", line=""):
    """What the contracts say of a small package with every layer, one line added."""
    package = tmp_path / "airledger"
    layers = "cli web runs report house_book studies io search inference house rules physics parts"
    for folder in layers.split():
        (package / folder).mkdir(parents=True)
        (package / folder / "__init__.py").touch()
    for module in ("findings", "quantities", "uncertain", "sources", "units", "errors", "__init__"):
        (package / f"{module}.py").touch()
    for module in ("cli/main", "studies/door_force", "studies/air_balance", "house/assemble", "physics/leak"):
        (package / f"{module}.py").touch()
    (package / "studies" / "protocol.py").touch()
    (package / place).write_text(line + "\n")
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    command = [Path(sys.executable).parent / "lint-imports", "--no-cache"]
    done = subprocess.run(
        command,
        cwd=tmp_path,
        env={"PYTHONPATH": str(tmp_path)},
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )
    return dict(re.findall(r"^(.+) (KEPT|BROKEN)", done.stdout, re.MULTILINE))


def test_every_contract_has_a_bad_import():
    assert sorted(BAD) == sorted(contract["name"] for contract in CONTRACTS)


def test_a_good_package_keeps_them_all(tmp_path):
    assert contracts_on(tmp_path) == dict.fromkeys(BAD, "KEPT")


@pytest.mark.parametrize("name", BAD)
def test_the_contract_breaks(name, tmp_path):
    assert contracts_on(tmp_path, *BAD[name])[name] == "BROKEN"


def test_a_package_that_no_layer_names_is_refused(tmp_path):
    (tmp_path / "airledger" / "utils").mkdir(parents=True)
    (tmp_path / "airledger" / "utils" / "__init__.py").touch()
    assert contracts_on(tmp_path)["layers"] == "BROKEN"
