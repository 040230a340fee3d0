"""The pressure tape: no label covers another whatever is running, and the scale keeps its promises."""

import xml.etree.ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airledger.report import look
from airledger.report.lanes import arrange
from airledger.report.pressure_tape import Gate, Notch, drawing, pascals_text, tape
from tests.unit.report.boxes import covered, outside

NAMES = st.sampled_from(
    ["everyday", "shower", "dryer", "hood on medium", "cooking with the back door open", "laundry day"]
)
PASCALS = st.one_of(st.floats(-240, 8), st.sampled_from([0.0, -10.0, -10.0001, -88.4, 3.0]))
NOTCHES = st.lists(st.builds(Notch, NAMES, PASCALS, st.booleans(), st.booleans()), min_size=1, max_size=9)
LIMITS = [
    Gate(-10, "wanted", "recalled, unconfirmed"),
    Gate(-20, "tolerated", "yours"),
    Gate(-21, "a door", "practice"),
]
SVG = "{http://www.w3.org/2000/svg}"


@given(NOTCHES, st.integers(0, 3))
def test_no_text_covers_another_and_none_leaves_the_picture(notches: list[Notch], limits: int) -> None:
    picture = drawing(notches, LIMITS[:limits], "tape")
    assert covered(picture) == []
    assert outside(picture) == []


@given(st.lists(st.tuples(st.floats(0, 672), st.floats(10, 260)), min_size=1, max_size=10))
def test_no_stem_crosses_a_label(stems: list[tuple[float, float]]) -> None:
    placed = arrange(stems, (0, 672))
    for one, (at, _) in enumerate(stems):
        for other, place in enumerate(placed):
            if one != other and place.left < at < place.right:
                assert placed[one].lane < place.lane


def words(svg: str) -> list[str]:
    return [element.text or "" for element in ET.fromstring(svg).iter(SVG + "text")]


def triangles(svg: str) -> list[tuple[float, str]]:
    """The notches as (position, fill), in their order on the tape."""
    found = []
    for element in ET.fromstring(svg).iter(SVG + "polygon"):
        tip = float(str(element.get("points")).split(",")[0])
        found.append((tip, str(element.get("fill"))))
    return sorted(found)


def test_a_harder_pull_lies_farther_out_and_four_times_the_pull_twice_as_far() -> None:
    (first, _), (second, _), (third, _) = triangles(tape([Notch("a", -4), Notch("b", -16), Notch("c", -64)]))
    assert third - second == pytest.approx(2 * (second - first), abs=0.05)
    assert second - first == pytest.approx((third - first) / 3, abs=0.05)


def test_the_tape_ends_beyond_the_largest_value() -> None:
    svg = tape([Notch("cooking", -99)])
    assert "150" in words(svg)
    assert all(position < look.WIDTH - 30 for position, _ in triangles(svg))


def test_a_state_past_a_limit_is_filled_one_within_every_limit_hollow() -> None:
    fills = [fill for _, fill in triangles(tape([Notch("everyday", -1), Notch("cooking", -58, passes_limit=True)]))]
    assert fills == [look.PAPER, look.INK]


def test_danger_is_said_in_words_and_not_by_colour_alone() -> None:
    svg = tape([Notch("cooking", -58, danger=True)])
    assert "danger: cooking" in words(svg)
    assert look.DANGER in svg


def test_a_house_pushed_up_stands_on_the_other_side_of_the_case() -> None:
    svg = tape([Notch("supply only", 6.0), Notch("cooking", -30.0)])
    (up, _), (down, _) = triangles(svg)
    case = next(r for r in ET.fromstring(svg).iter(SVG + "rect") if r.get("fill") == look.INK)
    assert up < float(str(case.get("x"))) < down
    assert {"pushed up", "pulled down"} <= set(words(svg))


def test_a_gate_shows_its_pascals_and_its_source() -> None:
    assert {"tolerated −20", "yours"} <= set(words(tape([Notch("cooking", -58)], [Gate(-20, "tolerated", "yours")])))


def test_names_are_escaped() -> None:
    assert "hood <high> & dryer" in words(tape([Notch("hood <high> & dryer", -5)]))


@pytest.mark.parametrize(
    ("pascals", "printed"), [(-58.3, "−58"), (-9.96, "−10"), (-9.94, "−9.9"), (-0.04, "0.0"), (0.3, "0.3")]
)
def test_tenths_are_shown_below_ten_pascals_only(pascals: float, printed: str) -> None:
    assert pascals_text(pascals) == printed


def test_two_drawings_of_one_outcome_are_the_same_bytes() -> None:
    notches = [Notch("everyday", -0.3), Notch("cooking", -58.3, True)]
    assert tape(notches, LIMITS) == tape(notches, LIMITS)
