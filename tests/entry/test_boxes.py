"""Every page of every sheet as boxes of words: none on another, none past a margin, none in letters under 7 points.

Picture labels are words of the page too. The boxes are read by `pdftotext -bbox-layout` (poppler), not by our own code.
"""

from __future__ import annotations

import pytest

from airledger.report import in_units, sheets
from airledger.report.blocks import Section
from airledger.report.paper import drawn
from airledger.report.sheets.sheet import Sheet, entries, entry
from airledger.report.svg import Drawing, Letters
from tests.entry.printed import EXAMPLES, STARTED, Page, Word, example, pages
from tests.unit.report.sample import one_room, outcome

SIZES = {"letter": (612.0, 792.0), "a4": (595.28, 841.89)}


def faults(page):
    return {"covered": page.covered(), "outside": page.outside(), "small": page.small()}


NONE = {"covered": [], "outside": [], "small": []}


@pytest.mark.parametrize("paper", SIZES)
@pytest.mark.parametrize("system", ["ip", "si"])
@pytest.mark.parametrize("name", [*EXAMPLES, STARTED])
def test_no_word_of_any_sheet_lies_on_another_or_past_a_margin_or_is_too_small(name, system, paper, tmp_path):
    seen = in_units(example(name), system)
    whole = drawn(seen, system)
    papers = {
        reader: sheets.sheet_pdf(sheets.sheet_for(reader, seen, system), seen, None, paper) for reader in sheets.READERS
    }
    # The annex has every subject of the whole paper behind another first page.
    papers |= {
        sheet: whole.pdf(None, sheet, paper) for sheet in ("builder", "annex", *(["all"] if system == "ip" else []))
    }
    for sheet, made in papers.items():
        for place, page in enumerate(pages(made, tmp_path)):
            assert (page.width, page.height) == pytest.approx(SIZES[paper], abs=0.1)
            assert faults(page) == NONE, (sheet, place + 1)


@pytest.mark.parametrize("paper", SIZES)
@pytest.mark.parametrize("made", [outcome(danger=True), one_room()], ids=["in danger", "one room"])
def test_a_house_in_danger_and_a_house_of_one_room_fit_their_pages_too(made, paper, tmp_path):
    for page in pages(drawn(made, "ip").pdf(None, "all", paper), tmp_path):
        assert faults(page) == NONE


def test_the_paper_of_start_up_readings_alone_has_no_page_with_next_to_nothing(tmp_path):
    alone = in_units(example(STARTED, ("start_up",)), "ip")
    made = pages(drawn(alone, "ip").pdf(), tmp_path)
    assert len(made) <= 3
    for page in made[:-1]:
        assert len(page.words) > 200
        assert faults(page) == NONE
    assert "of 15 readings" in " ".join(word.text for word in made[0].words)


def set_with(tmp_path, *blocks):
    section = Section("One picture.", own_page=False)
    for place, drawing in enumerate(blocks):
        section.picture(f"{place}.svg", drawing)
    (page,) = pages(sheets.sheet_pdf(Sheet("for a test", "Look.", sections=[section]), "A house"), tmp_path)
    return page


def test_a_label_of_a_picture_that_lies_on_another_is_seen(tmp_path):
    picture = Drawing("two", "two labels", 300, 60)
    picture.text((20, 30), "bedroom")
    picture.text((40, 32), "hallway")
    assert ("bedroom", "hallway") in set_with(tmp_path, picture).covered()


def test_a_label_of_a_picture_in_too_small_letters_is_seen(tmp_path):
    picture = Drawing("small", "a small label", 300, 60)
    picture.text((20, 30), "tiny", Letters(9))  # 9 px are 6.75 points
    assert set_with(tmp_path, picture).small() == ["tiny"]


def test_a_picture_wider_than_the_page_is_seen(tmp_path):
    picture = Drawing("wide", "a label past the margin", 672, 60)
    picture.text((640, 30), "pastthemargin")
    assert set_with(tmp_path, picture).outside() == ["pastthemargin"]


def test_two_lines_of_a_paragraph_do_not_count_as_one_upon_the_other(tmp_path):
    words = "jump gap " * 60
    made = Sheet("for a test", "Look.", under=[words])
    made.section("Boxes").blocks.append(entries("reading", [entry("gap", "5 Pa", "7 Pa", "Pa", "how to read it")]))
    (page,) = pages(sheets.sheet_pdf(made, "A house"), tmp_path)
    assert len(page.words) > 120
    assert faults(page) == NONE


def test_a_box_tells_the_size_of_its_letters():
    ten = Word(50, 100, 80, 113, "gap")
    assert ten.size == pytest.approx(10)
    assert ten.covers(Word(70, 100, 90, 113, "door"))
    assert not ten.covers(Word(80, 100, 90, 113, "door"))
    assert not ten.covers(Word(50, 112, 80, 125, "below"))
    assert Page(612, 792, (ten,)).small(11) == ["gap"]
