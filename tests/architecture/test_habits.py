"""The habits do what they say, also on a machine where something is missing."""

import re
import shutil
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


def machine_with(folder, *commands, **scripts):
    """A folder of commands to be the whole PATH: some of this machine's, and some small scripts in place of others."""
    folder.mkdir()
    for command in ("bash", "dirname", *commands):
        (folder / command).symlink_to(shutil.which(command))
    for name, script in scripts.items():
        (folder / name.replace("_", "-")).write_text(f"#!{shutil.which('bash')}\n{script}\n")
        (folder / name.replace("_", "-")).chmod(0o755)
    return str(folder)


def run(command, path, cwd=ROOT):
    return subprocess.run(command, env={"PATH": path}, cwd=cwd, capture_output=True, text=True, check=False, timeout=60)


def test_make_alone_lists_every_habit():
    listed = run(["make"], "/usr/bin:/bin").stdout
    targets = re.search(r"^\.PHONY: (.*)$", (ROOT / "Makefile").read_text(), re.MULTILINE).group(1).split()
    assert {"setup", "demo", "test", "soak", "lint", "bench", "docs", "wheel"} <= set(targets)
    assert [target for target in targets if f"  {target} " not in listed] == []


@pytest.mark.parametrize(
    "script", sorted((ROOT / "tools").glob("*.sh"), key=lambda path: path.name), ids=lambda path: path.name
)
def test_every_script_is_executable_and_stops_at_the_first_fault(script):
    assert script.stat().st_mode & 0o111
    assert re.search(r"^set -e?uo pipefail$", script.read_text(), re.MULTILINE)


def test_a_missing_package_that_cannot_be_installed_is_named(tmp_path):
    path = machine_with(tmp_path / "bin", id="echo 1000")
    done = run(["tools/debian-packages.sh", "poppler-utils"], f"{path}:{tmp_path}")
    assert done.returncode == 1
    assert "sudo apt-get install poppler-utils" in done.stderr


def test_a_missing_package_is_installed_where_it_may(tmp_path):
    path = machine_with(tmp_path / "bin", "env", id="echo 0", apt_get='echo "asked: $*" >&2')
    done = run(["tools/debian-packages.sh", "poppler-utils"], path)
    assert done.returncode == 0
    assert re.search(r"asked: update.*asked: install .*poppler-utils", done.stderr, re.DOTALL)


def setup_on(tmp_path, path):
    (tmp_path / "tools").mkdir()
    shutil.copy(ROOT / "tools" / "setup.sh", tmp_path / "tools")
    return run(["tools/setup.sh"], path, cwd=tmp_path)


def test_set_up_without_a_recent_python_says_what_to_install(tmp_path):
    done = setup_on(tmp_path, machine_with(tmp_path / "bin", python3="exit 1"))
    assert done.returncode == 1
    assert "needs Python 3.11 or later" in done.stderr
    assert not (tmp_path / ".venv").exists()


def test_set_up_without_the_venv_module_names_the_package(tmp_path):
    done = setup_on(tmp_path, machine_with(tmp_path / "bin", python3='case "$2" in *ensurepip*) exit 1 ;; esac'))
    assert done.returncode == 1
    assert "apt-get install python3-venv" in done.stderr
    assert not (tmp_path / ".venv").exists()


@pytest.mark.parametrize("name", ["requirements.txt", "requirements-dev.txt", "requirements-uv.txt"])
def test_every_requirement_is_pinned_with_a_hash_and_names_no_place(name):
    text = (ROOT / name).read_text()
    packages = re.findall(r"^[\w.\-\[\]]+==[^\s;]+", text, re.MULTILINE)
    blocks = re.split(r"\n(?=\S)", text.strip())
    assert len(packages) == len(blocks)
    assert [block for block in blocks if "--hash=sha256:" not in block] == []
    assert not re.search(r"://|index-url|find-links", text)
