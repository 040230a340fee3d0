"""Two people on one house file: what only one of both changed is kept from either; else nothing is written."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airledger.house_book.merge import merged
from airledger.io.marks import tree
from tests.books import HOUSE


def both(theirs, mine, was=HOUSE):
    return merged(was, theirs, mine, "house.yaml")


def test_two_lines_far_apart_keep_both_and_every_remark():
    theirs = HOUSE.replace("2500 ft2", "2600 ft2")
    mine = HOUSE.replace("125 cfm", "150 cfm")
    text, clashes = both(theirs, mine)
    assert clashes == ()
    assert text == theirs.replace("125 cfm", "150 cfm")
    assert "# as on the permit" in text


def test_two_values_of_one_line_keep_both():
    theirs = HOUSE.replace("1.0 ach50", "0.8 ach50")
    mine = HOUSE.replace("exponent: 0.65", "exponent: 0.62")
    text, clashes = both(theirs, mine)
    assert clashes == ()
    assert "envelope: {tightness: 0.8 ach50, exponent: 0.62}" in text


def test_the_same_value_changed_to_two_things_is_a_clash_by_name():
    text, clashes = both(HOUSE.replace("600 cfm", "900 cfm"), HOUSE.replace("600 cfm", "400 cfm"))
    assert text == HOUSE.replace("600 cfm", "900 cfm")
    (clash,) = clashes
    assert (clash.was, clash.theirs, clash.mine) == ("600 cfm", "900 cfm", "400 cfm")
    assert clash.path == "exhausts / range hood / speeds / high"


def test_the_same_change_by_both_is_no_clash():
    same = HOUSE.replace("600 cfm", "900 cfm")
    assert both(same, same) == (same, ())


def test_one_takes_a_machine_away_that_the_other_changes():
    without = HOUSE.replace("  dryer: {room: house, speeds: {high: 125 cfm}}\n", "")
    changed = HOUSE.replace("125 cfm", "150 cfm")
    assert both(without, changed)[1] != ()
    assert both(changed, without)[1] != ()


def test_one_adds_a_machine_where_the_other_changes_the_one_above():
    theirs = HOUSE.replace("125 cfm", "150 cfm")
    mine = HOUSE.replace("make-up air", "  bath fan: {room: house, speeds: {high: 80 cfm}}\nmake-up air")
    text, clashes = both(theirs, mine)
    assert clashes == ()
    assert {"150 cfm", "80 cfm"} <= set(text.replace("}", " ").replace("high: ", "\n").replace("  ", "\n").split("\n"))


def test_a_text_that_is_no_house_file_any_more_is_never_merged():
    broken = HOUSE.replace("rooms:", "rooms")
    text, clashes = both(HOUSE.replace("600 cfm", "900 cfm"), broken)
    assert clashes
    assert text == HOUSE.replace("600 cfm", "900 cfm")


PLACES = {"1.0 ach50": ("0.9 ach50", "0.8 ach50"), "0.65}": ("0.6}", "0.7}"), "2500 ft2": ("2400 ft2", "2300 ft2"),
          "10 ft}": ("9 ft}", "8 ft}"), "600 cfm": ("500 cfm", "400 cfm"), "125 cfm": ("120 cfm", "130 cfm"),
          "swings: out": ("swings: in", "swings: in "), "Homestead": ("Ocala", "Tampa")}  # fmt: skip


@given(st.dictionaries(st.sampled_from(sorted(PLACES)), st.sampled_from([(0,), (1,), (0, 1), (0, 0)])))
def test_nothing_is_lost_whatever_two_people_change(chosen):
    theirs = mine = HOUSE
    wanted, clash = HOUSE, False
    for place, who in chosen.items():
        one, other = PLACES[place]
        if who == (0,):
            theirs, wanted = theirs.replace(place, one), wanted.replace(place, one)
        elif who == (1,):
            mine, wanted = mine.replace(place, other), wanted.replace(place, other)
        elif who == (0, 0):
            theirs, mine, wanted = (text.replace(place, one) for text in (theirs, mine, wanted))
        else:
            theirs, mine = theirs.replace(place, one), mine.replace(place, other)
            clash = clash or one.strip() != other.strip()
            wanted = wanted.replace(place, one)
    text, clashes = both(theirs, mine)
    if clash:
        assert clashes
        assert text == theirs
    else:
        assert clashes == ()
        assert tree(text, "x").plain() == tree(wanted, "x").plain()


@pytest.mark.parametrize("value", ["a, b", "it's", '"quoted"', "{x", "12 ft # no", "yes: no", " - dash"])
def test_a_value_with_signs_of_its_own_survives_a_merge(value):
    told = value.replace("\\", "\\\\").replace('"', '\\"')
    mine = HOUSE.replace("swings: out", "swings: in").replace("leaf: 36 in x 80 in", f'leaf: "{told}"')
    theirs = HOUSE.replace("stands: shut", "stands: open")
    text, clashes = both(theirs, mine)
    assert clashes == ()
    door = tree(text, "x").plain()["openings"]["entry door"]
    assert (door["leaf"], door["swings"], door["stands"]) == (value, "in", "open")
