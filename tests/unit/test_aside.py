"""A task done in a child process gives what it gives here; one that fails there is done here, with its own error."""

import os

import pytest

from airledger import runs
from airledger.errors import InputError
from airledger.report.json_text import json_object
from airledger.runs.aside import begun
from tests.unit.search.houses import TWO_ROOMS, house


def test_the_result_comes_back_from_another_process():
    here = os.getpid()
    elsewhere = begun(os.getpid)()
    assert elsewhere != here or not hasattr(os, "fork") or os.cpu_count() == 1


def test_a_task_that_fails_there_tells_its_error_here():
    def fails():
        raise InputError("no such duct")

    with pytest.raises(InputError, match="no such duct"):
        begun(fails)()


def test_what_cannot_be_handed_over_is_done_here():
    assert begun(lambda: lambda: 7)()() == 7


def test_a_run_with_a_child_gives_the_same_to_the_last_bit():
    two = house(TWO_ROOMS)
    assert json_object(runs.study(two, aside=True)) == json_object(runs.study(two))
