"""Runs of the test houses, each done once."""

from functools import cache
from importlib import resources

from airledger import runs
from airledger.io.house_file import loads
from tests.unit.search.houses import house

TERN = resources.files("airledger").joinpath("examples/tern-street-14.yaml").read_text(encoding="utf-8")


@cache
def outcome(text):
    return runs.study(house(text), deepest=100)


@cache
def tern():
    return runs.study(loads(TERN, "tern.yaml"), deepest=100)


def table(found, study, name):
    return found.results[study].tables[name]


def findings(found, code):
    return [finding for finding in found.findings if finding.code == code]
