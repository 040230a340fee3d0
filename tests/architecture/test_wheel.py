"""What is handed to others works without this folder."""

import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@pytest.mark.soak
def test_the_wheel_built_from_the_source_archive_runs_in_an_empty_environment():
    done = subprocess.run(["tools/wheel.sh"], cwd=ROOT, capture_output=True, text=True, check=False, timeout=600)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "the wheel runs in an empty environment" in done.stdout
