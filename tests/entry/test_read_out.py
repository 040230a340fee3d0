"""What the papers claim: archived, tagged for reading out loud, legible where they are printed in grey.

The tags are read by `pdfinfo -struct` (poppler). No checker of the whole of PDF/A was run: none is among the tools that
the tests use.
"""

from __future__ import annotations

import re
import subprocess

import pytest

from airledger.report import in_units, sheets
from airledger.report.paper import drawn
from tests.entry.printed import STARTED, cells, example

READERS = [*sheets.READERS, "builder", "annex", "all"]
LEAST_CONTRAST = 4.5  # WCAG 2.1, success criterion 1.4.3 (published): text against its ground


@pytest.fixture(params=READERS)
def paper(request, tmp_path):
    made = in_units(example(STARTED), "ip")
    file = tmp_path / "paper.pdf"
    if request.param in sheets.READERS:
        file.write_bytes(sheets.sheet_pdf(sheets.sheet_for(request.param, made, "ip"), made))
    else:
        file.write_bytes(drawn(made, "ip").pdf(None, request.param))
    return file


def tool(name, *arguments):
    return subprocess.run([name, *map(str, arguments)], capture_output=True, check=True).stdout.decode(
        "utf-8", "replace"
    )


def test_a_paper_is_tagged_with_one_first_heading_rows_and_heads_of_its_tables(paper):
    tags = re.findall(r"^ *(\w+)", tool("pdfinfo", "-struct", paper), re.MULTILINE)
    assert tags[0] == "Document"
    assert "H1" in tags
    if paper.read_bytes().count(b"/S/Table") or "Table" in tags:
        assert tags.count("THead") == tags.count("Table") == tags.count("TBody")
        assert tags.count("TH") > 0


def test_a_sheet_has_one_title_and_its_subjects_stand_below_it(tmp_path):
    made = in_units(example(STARTED), "ip")
    for reader in sheets.READERS:
        file = tmp_path / "sheet.pdf"
        file.write_bytes(sheets.sheet_pdf(sheets.sheet_for(reader, made, "ip"), made))
        tags = re.findall(r"^ *(H\d)\b", tool("pdfinfo", "-struct", file), re.MULTILINE)
        assert tags.count("H1") == 1, reader
        assert tags.count("H2") >= 1, reader


def test_every_picture_has_words_in_its_place(paper):
    raw = paper.read_bytes()
    assert raw.count(b"/S/Figure") == raw.count(b"/Alt")


def test_a_paper_says_which_standard_it_keeps_and_in_which_language_it_is(paper):
    raw = paper.read_bytes()
    for claim in (b"<pdfaid:part>2<", b"<pdfaid:conformance>A<", b"/Lang", b"/OutputIntents", b"/Marked true"):
        assert claim in raw, claim
    fonts = tool("pdffonts", paper).splitlines()[2:]
    assert fonts
    assert all(re.search(r"\byes\s+yes\s+yes\b", font) for font in fonts), "embedded, a part of the font, to Unicode"


def test_read_out_loud_the_sentence_comes_before_what_hangs_on_it(tmp_path):
    made = in_units(example(STARTED), "ip")
    for reader in sheets.READERS:
        sheet = sheets.sheet_for(reader, made, "ip")
        told = cells(sheets.sheet_pdf(sheet, made), tmp_path).replace(" ", "")  # a line may end after a hyphen
        order = [words for words in (sheet.sentence, *(s.sentence for s in sheet.sections)) if words]
        places = [told.index(words.replace(" ", "")) for words in order]
        assert places == sorted(places), reader


def luminance(colour):
    channels = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one, other):
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_measure_of_contrast_is_the_published_one():
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)  # the grey that just passes


def test_every_ink_is_legible_in_grey(paper):
    inks = set(re.findall(r'color="(#[0-9a-f]{6})"', tool("pdftohtml", "-xml", "-i", "-stdout", paper)))
    assert inks
    # White stands on the black slide of the tape alone.
    assert {
        ink: contrast(ink, "#ffffff") for ink in inks - {"#ffffff"} if contrast(ink, "#ffffff") < LEAST_CONTRAST
    } == {}
    assert contrast("#ffffff", "#1a1a1a") > LEAST_CONTRAST
