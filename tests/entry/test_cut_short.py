"""Commands that are cut short from outside: by Ctrl-C, a reader that leaves, a disk that is full; in real processes."""

import signal
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from tests.unit.search.houses import TWO_ROOMS

INTERRUPTED = """
import os, signal, sys
from airledger import {module}
from airledger.cli.main import main

def stopped(*_, **__):
    os.kill(os.getpid(), signal.SIGINT)
    signal.pause()

{module}.{function} = stopped
main(sys.argv[1:])
"""


@pytest.fixture
def house(tmp_path):
    path = tmp_path / "house.yaml"
    path.write_text(TWO_ROOMS)
    return str(path)


@pytest.mark.parametrize(("module", "function"), [("runs", "study"), ("report", "write")])
def test_ctrl_c_is_one_word_and_leaves_nothing(module, function, house, tmp_path):
    code = INTERRUPTED.format(module=module, function=function)
    command = [sys.executable, "-c", code, "study", house, "--out", str(tmp_path / "papers")]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=60)
    assert (done.returncode, done.stdout, done.stderr.strip()) == (2, "", "stopped")
    assert [path.name for path in tmp_path.iterdir()] == ["house.yaml"]


STOPPED_EARLY = """
import sys
from airledger.__main__ import main

class Stop:
    def find_spec(self, name, path=None, target=None):
        if name == "airledger.cli.main":
            raise KeyboardInterrupt

sys.meta_path.insert(0, Stop())
main()
"""


def test_ctrl_c_while_the_program_is_still_being_read_ends_it_without_a_word():
    """130 = 128 + SIGINT: common practice of shells, no source."""
    done = subprocess.run(
        [sys.executable, "-c", STOPPED_EARLY], capture_output=True, text=True, check=False, timeout=60
    )
    assert (done.returncode, done.stdout, done.stderr) == (130, "", "")


def test_the_command_starts_where_an_early_stop_is_met():
    scripts = tomllib.loads((Path(__file__).parents[2] / "pyproject.toml").read_text(encoding="utf-8"))["project"][
        "scripts"
    ]
    assert scripts == {"airledger": "airledger.__main__:main"}


@pytest.mark.parametrize("more", [[], ["--json"]])
def test_a_reader_that_leaves_is_no_fault(more, house):
    command = [sys.executable, "-m", "airledger", "study", house, *more]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as running:
        running.stdout.close()
        told = running.stderr.read()
    assert running.returncode in (0, 1)
    assert told == b""


def test_output_that_finds_no_space_is_said(house):
    with open("/dev/full", "w", encoding="utf-8") as full:
        done = subprocess.run(
            [sys.executable, "-m", "airledger", "study", house],
            stdout=full, stderr=subprocess.PIPE, text=True, check=False, timeout=60,
        )  # fmt: skip
    assert done.returncode == 2
    assert done.stderr == "what was to be printed: No space left on device\n"


def test_a_study_that_is_killed_leaves_whole_files_only(house, tmp_path):
    code = (
        "import os, signal, sys\nfrom airledger.cli.main import main\nput, seen = os.replace, []\n"
        "def replace(*paths):\n"
        "    seen.append(paths)\n"
        "    os.kill(os.getpid(), signal.SIGKILL) if len(seen) == 3 else put(*paths)\n"
        "os.replace = replace\nmain(sys.argv[1:])\n"
    )
    command = [sys.executable, "-c", code, "study", house, "--out", str(tmp_path / "papers")]
    done = subprocess.run(command, capture_output=True, check=False, timeout=60)
    assert done.returncode == -signal.SIGKILL
    left = [path for path in (tmp_path / "papers").iterdir() if path.suffix != ".part"]
    again = subprocess.run(
        [sys.executable, "-m", "airledger", "study", house, "--out", str(tmp_path / "whole")],
        capture_output=True, check=False, timeout=60,
    )  # fmt: skip
    assert again.returncode == 1
    assert len(left) == 2
    assert all(path.read_bytes() == (tmp_path / "whole" / path.name).read_bytes() for path in left)
