"""What holds for every picture: well-formed, quiet about units, readable in grey, one accent for danger alone."""

import re
import xml.etree.ElementTree as ET

import pytest

from airledger.report import look
from airledger.report.paper import drawn
from tests.unit.report.sample import one_room, outcome

PICTURES = {
    f"{name}, {system}": svg
    for system in ("ip", "si")
    for made in (outcome(danger=True), outcome(), one_room())
    for name, svg in drawn(made, system).pictures.items()
}


def luminance(colour: str) -> float:
    """Relative luminance of a colour.

    Reference: WCAG 2.2, definition of relative luminance.
    """
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("name", sorted(PICTURES))
def test_a_picture_is_well_formed_and_says_what_it_shows(name: str) -> None:
    root = ET.fromstring(PICTURES[name])
    title = root.find("{http://www.w3.org/2000/svg}title")
    assert title is not None
    assert title.text


@pytest.mark.parametrize("name", sorted(PICTURES))
def test_no_colour_but_the_accent_of_danger_so_that_grey_loses_nothing(name: str) -> None:
    colours = set(re.findall(r"#[0-9a-f]{6}", PICTURES[name]))
    tinted = {colour for colour in colours if len({colour[1:3], colour[3:5], colour[5:7]}) > 1}
    assert tinted <= {look.DANGER}
    if tinted:
        assert "danger" in PICTURES[name]


def test_text_has_the_contrast_that_accessibility_asks_for() -> None:
    # WCAG 2.2, success criterion 1.4.3: 4.5 to 1 for text of ordinary size
    for colour in (look.INK, look.GREY, look.DANGER):
        assert (1.0 + 0.05) / (luminance(colour) + 0.05) >= 4.5


def test_ids_differ_between_pictures_so_that_several_fit_on_one_page() -> None:
    ids = [set(re.findall(r' id="([^"]+)"', svg)) for svg in drawn(outcome(), "ip").pictures.values()]
    names = [next(iter(found)).split("-")[0] for found in ids if found]
    assert len(set(names)) == len(names)
    for svg, found in zip(drawn(outcome(), "ip").pictures.values(), ids, strict=True):
        assert set(re.findall(r"url\(#([^)]+)\)", svg)) == found


@pytest.mark.parametrize("name", sorted(PICTURES))
def test_no_letter_of_a_picture_is_smaller_than_seven_points_on_paper(name: str) -> None:
    sizes = [float(size) for size in re.findall(r'font-size="([\d.]+)"', PICTURES[name])]
    wide = max(672.0, float(re.search(r'<svg[^>]* width="([\d.]+)"', PICTURES[name]).group(1)))  # type: ignore[union-attr]
    assert min(sizes) * 0.75 * 672 / wide >= 7.0
