"""Start-up: every reading with its word; balance; what was not tested; a planted fault in the example is found."""

from importlib import resources

import pytest

from airledger import runs
from airledger.io.house_file import loads
from tests.unit.studies.outcomes import TERN

EXAMPLE = resources.files("airledger").joinpath("examples/readings/tern-14-start-up.csv").read_text(encoding="utf-8")
LARGER = "supply and exhaust within 10 % of the larger or 5 cfm"
HEAD = EXAMPLE.partition("low,supply stream")[0]


@pytest.fixture
def started(tmp_path):
    def run(text):
        (tmp_path / "su.csv").write_text(text, encoding="utf-8")
        house = loads(TERN.replace("\nappliances:", "\nstart up: su.csv\n\nappliances:"), "tern.yaml")
        return runs.study(house, ("start_up",), beside=tmp_path)

    return run


def rows(found, table="readings"):
    return found.results["start_up"].tables[table]


def word(found, where):
    return next(row["verdict"] for row in rows(found) if row["where"] == where)


# invented: the pick-up in the hall bath still has its tape in, the label is missing; all else as drawn
def test_the_planted_fault_of_the_example_is_found(started):
    found = started(EXAMPLE)
    assert word(found, "hall bath") == "shown bad"
    assert word(found, "label on the control") == "shown bad"
    assert word(found, "main bedroom") == "shown good"
    assert word(found, "ERV") == "shown good"
    assert word(found, "main bath") == "cannot tell"
    (bath,) = [f for f in found.findings if f.where == "hall bath"]
    assert (bath.severity, bath.basis) == ("caution", "practice")
    assert "tape" in bath.action


def test_past_the_users_own_limit_is_a_fail(started):
    found = started(EXAMPLE)
    (pull,) = [f for f in found.findings if f.code == "read_house_pressure" and f.state == "cooking"]
    assert (pull.severity, pull.basis) == ("fail", "user")
    assert "was predicted" in pull.message


# field-faults.md: a meter of 11 % cannot decide a balance of 10 % that one of 3 % decides
def test_a_coarse_meter_cannot_tell_what_a_fine_one_decides(started):
    def balance(accuracy):
        text = HEAD.replace("flow station, accuracy 3 %", f"flow station, accuracy {accuracy} %")
        text += "low,supply stream,ERV,71 cfm,station,1\nlow,exhaust stream,ERV,70 cfm,station,1\n"
        return {row["rule"]: row for row in rows(started(text), "balance")}[LARGER]

    coarse, fine = balance(22), balance(3)
    assert coarse["verdict"] == "cannot tell"
    assert coarse["use"].startswith("use a meter of ")
    assert fine["verdict"] == "shown good"
    assert fine["wrong_ratio"] < coarse["wrong_ratio"]


def test_streams_far_apart_are_shown_bad_and_say_which_to_throttle(started):
    found = started(HEAD + "low,supply stream,ERV,82 cfm,station,3\nlow,exhaust stream,ERV,60 cfm,station,3\n")
    told = [f for f in found.findings if f.code == "balance"]
    assert {f.severity for f in told} == {"caution"}
    assert all(f.action.startswith("throttle the higher stream") for f in told)


def test_grilles_make_a_stream_only_where_every_one_was_read(started):
    assert [row["state"] for row in rows(started(EXAMPLE), "balance")].count("boost") == 2
    partly = "\n".join(line for line in EXAMPLE.splitlines() if "boost,supply,great room" not in line)
    assert "boost" not in [row["state"] for row in rows(started(partly), "balance")]


@pytest.mark.parametrize(
    ("line", "cause"),
    [
        ("boost,supply,main bedroom,30 cfm,hood,2", "cubic feet a minute written as litres a second|litres a second"),
        ("boost,supply,main bedroom,640 cfm,hood,2", "ten times too much"),
        ("cooking,house pressure,great room,136 Pa,gauge,1", "the hoses swapped"),
        ("cooking,house pressure,great room,-0.55 Pa,gauge,1", "inches of water written as pascals"),
        ("cooking,house pressure,great room,-20 Pa,gauge,1", "at odds"),
    ],
)
def test_a_reading_that_cannot_be_is_questioned(started, line, cause):
    (row,) = rows(started(f"{HEAD}{line}\n"))
    assert any(one in row["question"] for one in cause.split("|"))
    (found,) = [f for f in started(f"{HEAD}{line}\n").findings if f.code.startswith("read_")]
    assert found.severity == "unknown"
    assert found.action.startswith("read it again; likelier:")


def test_what_was_not_read_is_told(started):
    found = started(HEAD + "low,look,filters,yes,,\n")
    told = [f.message for f in found.findings if f.code == "not_tested"]
    assert any("house pressure" in words for words in told)
    assert any("the ventilator's flows" in words for words in told)


def test_what_nothing_was_drawn_for_is_not_judged(started):
    found = started(HEAD + "low,supply,laundry,10 cfm,hood,1\nhigh,exhaust,wine fridge,10 cfm,hood,1\n")
    assert {row["verdict"] for row in rows(found)} == {"not tested"}


def test_a_hood_is_read_against_its_rating(started):
    found = started(HEAD + "high,exhaust,range hood,880 cfm,hood,3\nmedium,exhaust,range hood,250 cfm,hood,3\n")
    assert [row["verdict"] for row in rows(found)] == ["shown good", "shown bad"]
