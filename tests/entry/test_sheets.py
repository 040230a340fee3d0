"""A sheet for each reader, as it reaches them: it fits its pages, tells its own subject, and can be had alone."""

import subprocess
from importlib import resources

import pytest

from airledger.report import sheets
from airledger.report.folder import files
from tests.unit.report.sample import outcome


def printed(paper: bytes, folder) -> list[str]:
    """The text of each page."""
    file = folder / "sheet.pdf"
    file.write_bytes(paper)
    ran = subprocess.run(["pdftotext", "-layout", str(file), "-"], capture_output=True, check=True)
    return [page.replace("\u00a0", " ") for page in ran.stdout.decode("utf-8").split("\f")[:-1]]


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("reader", sheets.READERS)
def test_a_sheet_fits_its_pages(reader, paper, tmp_path):
    made = sheets.sheet_for(reader, outcome(), "ip")
    pages = printed(sheets.sheet_pdf(made, outcome(), None, paper), tmp_path)
    assert 1 <= len(pages) <= made.most_pages
    assert made.sentence.split()[0] in pages[0]
    assert outcome().house.name in pages[0]
    assert "undated" in pages[0]


@pytest.mark.parametrize("reader", sheets.READERS)
def test_a_sheet_can_be_had_alone(reader):
    made = files(outcome(), "si", sheets=[reader])
    assert [name for name in made if name.endswith(".pdf")] == [sheets.READERS[reader]]


@pytest.mark.parametrize("reader", sheets.READERS)
def test_a_sheet_is_archived_and_tagged(reader):
    made = sheets.sheet_pdf(sheets.sheet_for(reader, outcome(), "ip"), outcome())
    assert b"pdfaid" in made
    assert b"/StructTreeRoot" in made


def test_every_sheet_has_a_module():
    there = {entry.name.removesuffix(".py") for entry in resources.files("airledger.report.sheets").iterdir()}
    assert set(sheets.READERS) <= there
