"""Every study can be called by name, and says what it does."""

import subprocess
import sys
from pathlib import Path

import click

import airledger
from airledger.cli.main import main
from tests.architecture.rules import studies_without_command, study_names

ROOT = Path(__file__).parents[2]


def test_every_study_has_a_command_with_a_help_text():
    context = click.Context(main)
    commands = {name: main.get_command(context, name) for name in main.list_commands(context)}
    complaints = list(studies_without_command(ROOT, {name: command.help or "" for name, command in commands.items()}))
    assert study_names(ROOT), "no study was found: the rule would pass on an empty folder"
    assert not complaints, "\n".join(complaints)


def test_the_package_runs_as_a_module():
    shown = subprocess.run(
        [sys.executable, "-m", "airledger", "--help"], capture_output=True, text=True, check=True, timeout=60
    )
    assert "demo" in shown.stdout


def test_every_public_name_is_there():
    assert [name for name in airledger.__all__ if not hasattr(airledger, name)] == []
