"""Blower-door readings without a house: files read, then the study."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from airledger.io.readings_file import read_test
from airledger.io.safe_write import folder as make_folder
from airledger.io.safe_write import write_bytes
from airledger.rules.airtightness_methods import METHODS
from airledger.studies import airtightness
from airledger.studies.protocol import Result

__all__ = ["METHODS", "fan_test", "write"]


def fan_test(paths: Sequence[str | Path], method: str) -> tuple[Result, str, tuple[str, ...]]:
    """What readings say: the result, what to call the house, and what is odd in the files.

    Parameters
    ----------
    paths : sequence of str or Path
        one file of readings, or one of each direction [-]
    method : str
        one of `METHODS` [-]
    """
    loaded = [read_test(path) for path in paths]
    tests = [one.test for one in loaded]
    called = next((test.address for test in tests if test.address), Path(paths[0]).name)
    result = airtightness.of_tests((("", tests),), method)
    return result, called, tuple(caution for one in loaded for caution in one.cautions)


def write(folder: str | Path, files: dict[str, bytes]) -> list[Path]:
    """Files written to a folder, each whole or not at all.

    Parameters
    ----------
    folder : str or Path
        where to; made if it is not there [-]
    files : dict
        file name -> content [-]
    """
    make_folder(folder)
    return [write_bytes(Path(folder) / name, content) for name, content in files.items()]
