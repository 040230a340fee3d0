"""`airledger rules` and `airledger explain`: a place, a house, a rule by its name, and what nobody looked up."""

from importlib import resources

import pytest
from click.testing import CliRunner

from airledger.cli.main import main
from airledger.rules.explained import entries, named
from airledger.sources import TAGS

ALDER = str(resources.files("airledger").joinpath("examples/alder-court-9.yaml"))
TERN = str(resources.files("airledger").joinpath("examples/tern-street-14.yaml"))


def ran(*arguments):
    return CliRunner().invoke(main, list(arguments))


def test_a_place_shows_the_rules_that_hold_there_and_no_others():
    shown = ran("rules", "Duluth, Minnesota").stdout
    assert "Minnesota Rules 1346.0501, edition 2015" in shown
    assert "minnesota total: 0.02 x floor area [ft2] + 15 x (bedrooms + 1), in cfm" in shown
    assert "irc:" not in shown


def test_a_place_shows_the_tables_that_it_takes():
    minnesota, florida, ontario = (ran("rules", place).stdout for place in ("Minnesota", "Florida", "Ontario"))
    assert "minnesota opening: a table of round ducts from 3 to 11 in" in minnesota
    assert "exhaust duct length, 4 in: 4 in round" in florida
    assert "exhaust duct" not in minnesota
    assert "minnesota" not in florida
    assert not any(words in ontario for words in ("minnesota", "exhaust duct length", "dryer duct length"))


def test_the_law_of_a_duct_is_told_as_printed():
    shown = " ".join(ran("explain", "exhaust duct length, 6 in").stdout.split())
    assert "flex NL/NL/158/91/55/18/1/X; smooth NL/NL/NL/168/112/53/25/9" in shown
    assert "unconfirmed" not in shown
    assert "no limit where the duct follows the maker's design, or the installed flow was measured" in shown


def test_a_place_nobody_looked_up_is_said_and_what_was_is_listed():
    shown = ran("rules", "Springfield, Ohio").stdout
    assert "code not looked up, ask the official" in shown
    assert "Places looked up: florida;" in " ".join(shown.split())


def test_a_house_shows_the_numbers_put_in():
    shown = " ".join(ran("rules", TERN).stdout.split())
    assert "because 0.01 x 1,658 ft2 + 7.5 x (3 + 1) = 46.58 cfm" in shown
    assert "unconfirmed" in shown
    assert " L/s" in ran("rules", TERN, "--units", "si").stdout


def test_one_rule_by_its_name_with_a_house():
    shown = " ".join(ran("explain", "irc", TERN).stdout.split())
    assert "0.01 x floor area [ft2] + 7.5 x (bedrooms + 1), in cfm" in shown
    assert "IRC M1505.4.3 eq. 15-1, edition 2018, 2021, 2024" in shown
    assert "46.58 cfm" in shown


def test_make_up_air_is_told_with_the_numbers_of_a_house_too():
    shown = " ".join(ran("rules", ALDER).stdout.split())
    assert "built 1964: table 501.4.3(2) holds once an exhaust system over 300 cfm is put in" in shown
    assert "because range hood (400 cfm)" in shown
    tern = " ".join(ran("explain", "dryer", TERN).stdout.split())
    assert "good to know: Dryer: dryer exhaust over 200 cfm: no; not asked for at this flow, because" in tern
    assert "Ask the official" not in tern
    assert "<= 200 cfm (IRC G2439.4-5; IFGC 614.7; IMC 504.6)" in tern
    assert "outdoor air" not in tern.lower()
    assert "All day" not in tern
    assert "unconfirmed" in " ".join(ran("explain", "florida amendment", TERN).stdout.split())


def test_a_name_that_fits_several_shows_them_all():
    shown = ran("explain", "kitchen").stdout
    assert "irc kitchen:" in shown
    assert "uk kitchen:" in shown


def test_a_name_that_is_none_is_told_what_is_near():
    shown = ran("explain", "irk")
    assert shown.exit_code == 2
    assert "no rule is called 'irk'; near it: irc" in shown.stderr
    assert ran("rules", "none.yaml").exit_code == 2


@pytest.mark.parametrize("entry", entries(), ids=lambda entry: f"{entry.subject}: {entry.key}")
def test_every_rule_says_something_and_can_be_found_by_its_name(entry):
    assert entry.says
    assert entry.source.tag in TAGS
    assert entry in named(entry.key)
    told = ran("explain", entry.key)
    assert told.exit_code == 0
    assert ("unconfirmed" in told.stdout) or entry.source.tag != "memory"
