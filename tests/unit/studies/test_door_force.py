"""At the doors: which way, how hard, what eases it. The forces of the trade's own examples."""

import pytest

from airledger import runs
from airledger.physics import solver
from airledger.quantities import in_units, text
from airledger.runs import work
from airledger.units import POUND_FORCE
from tests.unit.search.houses import ONE_ROOM, house
from tests.unit.studies.outcomes import findings, outcome, table, tern


def rows_of(text, door):
    return {row["state"]: row for row in table(outcome(text), "door_force", "doors") if row["opening"] == door}


# common practice, no source: a 600 cfm hood without make-up air holds an out-swinging entry door shut with over 15 lbf,
# and with under 1 lbf once the back door stands open
def test_the_hood_holds_the_entry_door_shut_and_the_back_door_frees_it():
    row = rows_of(ONE_ROOM, "entry door")["range hood high"]
    assert row["direction"] == "held shut"
    assert row["force_n"] > 15 * POUND_FORCE
    cure = next(r for r in table(outcome(ONE_ROOM), "door_force", "cure") if r["opening"] == "entry door")
    assert cure["cure"] == "back door open"
    assert cure["force_n"] < 1 * POUND_FORCE


# make-up-air.md 8 (computed from SFPE ch. 50 eq. 50.14): 36 x 80 in, knob 2.75 in, no closer: 0.226 lbf a pascal
def test_the_force_is_that_of_the_published_model():
    row = rows_of(ONE_ROOM, "entry door")["range hood high"]
    assert row["force_n"] / POUND_FORCE / abs(row["difference_pa"]) == pytest.approx(0.226, abs=0.0005)


def test_a_door_that_swings_in_is_thrown_open():
    assert rows_of(ONE_ROOM, "back door")["range hood high"]["direction"] == "thrown open"
    message = next(f for f in findings(outcome(ONE_ROOM), "door_pull") if f.where == "back door").message
    assert "throws the back door open" in message


def test_the_message_has_the_trade_unit_and_newtons():
    message = next(f for f in findings(outcome(ONE_ROOM), "door_pull") if f.where == "entry door").message
    assert "holds the entry door shut with 20 lbf" in in_units(message, "ip")
    assert "holds the entry door shut with 88 N" in in_units(message, "si")
    assert "back door open" in message


def test_a_range_holds_its_value():
    for row in table(tern(), "door_force", "doors"):
        assert row["low_n"] <= row["force_n"] <= row["high_n"]


def test_an_open_door_pulls_at_nobody():
    row = {(r["opening"], r["state"]): r for r in table(tern(), "door_force", "doors")}
    assert row["back door", "cooking with the back door open"]["force_n"] == 0.0
    assert row["back door", "cooking with the back door open"]["direction"] == "none"


def test_a_limit_of_practice_is_a_caution_and_the_users_a_failure():
    assert {f.severity for f in findings(outcome(ONE_ROOM), "door_pull")} == {"caution"}
    assert {f.severity for f in findings(tern(), "door_pull")} == {"fail"}


# users.md: the first 10 degrees of a 3 ft door give 21 to 30 Pa with nothing running, in 25,000 ft3 (computed)
def test_a_door_is_a_piston():
    found = findings(outcome(ONE_ROOM), "door_is_a_piston")[0]
    assert (round(found.low), round(found.high)) == (21, 30)
    assert found.severity == "ok"


def test_more_doors_take_no_more_solves(monkeypatch):
    """The cures of all doors that one state pulls hardest at come out of one batch."""
    counted = []
    told = solver.solve

    def counting(*given):
        counted.append(given)
        return told(*given)

    monkeypatch.setattr(work, "solve", counting)
    line = "  back door: {between: [house, outdoors], leaf: 36 in x 80 in, swings: in, stands: shut}\n"
    solves, cures = [], []
    for doors in (2, 12):
        more = "".join(line.replace("back door", f"door {number}") for number in range(1, doors))
        found = runs.study(house(ONE_ROOM.replace(line, more)), ("door_force",))
        cures.append(found.results["door_force"].tables["cure"])
        solves.append(len(counted))
        counted.clear()
    assert solves[0] == solves[1]
    assert [len(rows) for rows in cures] == [2 * 1, 12 * 11]
    assert cures[0][0]["force_n"] == pytest.approx(cures[1][0]["force_n"], rel=0.2)  # less leakage left for the walls


# make-up-air.md 8: 0.226 lbf a pascal at this knob, times what wind does to the pressure of the one room.
def test_wind_is_told_at_a_door_where_a_scale_would_tell_it():
    windy = ONE_ROOM.replace("{elevation: 0 ft}", "{elevation: 0 ft, wind: {speed: 0 to 25 mph, from: any}}")
    rows = {row["target"]: row for row in table(outcome(windy), "door_force", "wind")}
    house_row = next(r for r in table(outcome(windy), "depressurization", "wind") if r["target"] == "house")
    entry, back = rows["entry door"], rows["back door"]
    assert set(rows) == {"entry door", "back door"}
    told = next(f for f in findings(outcome(windy), "door_pull") if f.where == "entry door").message
    thrown = next(f for f in findings(outcome(windy), "door_pull") if f.where == "back door").message
    shut, opened = (
        in_units(words, "ip").partition(" wind adds ")[2].partition(" through the house; what it presses")[0]
        for words in (told, thrown)
    )
    assert entry["adds_low_n"] < entry["adds_high_n"]
    assert shut == f"{text(entry['adds_low_n'], 'force', 'ip')} to {text(entry['adds_high_n'], 'force', 'ip')}"
    assert opened == f"{text(back['adds_low_n'], 'force', 'ip')} to {text(back['adds_high_n'], 'force', 'ip')}"
    assert back["adds_high_n"] == pytest.approx(entry["adds_high_n"])  # alike, one held shut and one thrown open
    ends = (entry["adds_high_n"] / house_row["adds_low_pa"], entry["adds_low_n"] / house_row["adds_high_pa"])
    assert ends == pytest.approx((-0.226 * POUND_FORCE,) * 2, rel=0.005)


def test_wind_too_little_to_feel_is_not_told():
    found = tern()
    small = next(r for r in table(found, "door_force", "wind") if r["target"] == "back door")
    assert max(abs(small["adds_low_n"]), abs(small["adds_high_n"])) < 0.1 * POUND_FORCE
    assert "wind" not in next(f for f in findings(found, "door_pull") if f.where == "back door").message
