"""A sheet for each reader, as it reaches them: it fits its pages, tells its own subject, and can be had alone."""

from importlib import resources

import pytest

from airledger.quantities import number
from airledger.report import in_units, sheets
from airledger.report.folder import files
from tests.entry import printed
from tests.entry.printed import EXAMPLES
from tests.unit.report.sample import outcome


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("reader", sheets.READERS)
def test_a_sheet_fits_its_pages(reader, paper, tmp_path):
    made = sheets.sheet_for(reader, outcome(), "ip")
    pages = printed.texts(sheets.sheet_pdf(made, outcome(), None, paper), tmp_path)
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
    assert b"<pdfaid:part>2</pdfaid:part>" in made
    assert b"<pdfaid:conformance>A</pdfaid:conformance>" in made
    assert b"/StructTreeRoot" in made
    assert b"/Marked true" in made
    assert b"/Lang" in made


def test_every_sheet_has_a_module():
    there = {entry.name.removesuffix(".py") for entry in resources.files("airledger.report.sheets").iterdir()}
    assert set(sheets.READERS) <= there


@pytest.fixture(params=EXAMPLES)
def example(request):
    return printed.example(request.param)


@pytest.mark.parametrize("system", ["ip", "si"])
@pytest.mark.parametrize("reader", sheets.READERS)
def test_every_sheet_of_the_examples_fits_its_pages(example, reader, system, tmp_path):
    made = sheets.sheet_for(reader, in_units(example, system), system)
    pages = printed.texts(sheets.sheet_pdf(made, in_units(example, system)), tmp_path)
    assert len(pages) <= made.most_pages
    assert "None" not in "".join(pages)


def text_of(reader, outcome, folder, system="ip"):
    seen = in_units(outcome, system)
    return "\n".join(printed.texts(sheets.sheet_pdf(sheets.sheet_for(reader, seen, system), seen), folder))


def test_the_inspectors_page_holds_law_alone(example, tmp_path):
    text = text_of("inspector", example, tmp_path)
    assert "practice" not in text
    assert "your limit" not in text
    assert "inspector, date" in text
    for row in example.results["ventilation_rate"].tables["rules"]:
        if row["holds"] == "here":
            assert str(row["formula"]).split(" = ")[0].split()[0] in text
        else:
            assert row["rule"] not in text


def test_the_inspectors_page_names_the_code_as_far_as_it_is_known(tmp_path, example):
    text = " ".join(text_of("inspector", example, tmp_path).split())
    if example.house.site.place.endswith("Florida"):
        assert "Florida Building Code, Residential, edition unknown" in text
        assert "The adoption was not seen in print: correct it here." in text
    else:
        assert "Minnesota Rules 1346.0501, edition 2015" in text


def test_the_testers_expected_values_are_those_of_the_json(example, tmp_path):
    text = text_of("tester", example, tmp_path)
    for row in example.results["depressurization"].tables["named"]:
        for key in ("low_pa", "high_pa"):
            assert number(row[key], "house pressure", "ip", 1) in text, row["state"]
    for room, share in example.house.ventilator.supplies:
        assert number(share * example.house.ventilator.speeds[-1].supply, "air flow", "ip") in text, room
    assert ("Where something burns" in text) == bool(example.results["combustion_safety"].tables["appliances"])


def test_danger_stands_on_every_sheet_but_that_of_law_alone(example, tmp_path):
    danger = any(f.severity == "danger" for f in example.findings)
    for reader in sheets.READERS:
        assert ("DANGER" in text_of(reader, example, tmp_path)) == (danger and reader != "inspector"), reader
