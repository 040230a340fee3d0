"""Small lengths and ducts in a crew's words."""

import pytest

from airledger.house.air_movers import Duct
from airledger.report.trade_words import duct_words, length_words
from airledger.units import INCH


@pytest.mark.parametrize(
    ("inches", "words"),
    [(0.75, "3/4 in"), (10, "10 in"), (7.5, "7 1/2 in"), (0.125, "1/8 in"), (0.3, "0.3 in"), (3.937, "3.9 in")],
)
def test_inches_as_a_crew_says_them(inches, words):
    assert length_words(inches * INCH, "ip") == words


def test_millimetres_in_si():
    assert length_words(0.019, "si") == "19 mm"


def test_ducts():
    assert duct_words(Duct(diameter=10 * INCH), "ip") == "10 in round"
    assert duct_words(Duct(width=14 * INCH, height=3.25 * INCH), "ip") == "14 in x 3 1/4 in"
    assert duct_words(Duct(), "ip") == duct_words(None, "ip") == "not known yet"
