"""What balanced means: by the place, by the user's choice, by practice where nothing is known."""

import pytest

from airledger.errors import InputError
from airledger.rules.balance import USUAL, balance_keys, balance_rules
from airledger.rules.jurisdictions import jurisdiction
from airledger.units import CFM


# rates.md T5: Minnesota within 10 % of exhaust (published); IRC 2021 10 % or 5 cfm; 62.2 10 % of the mean (memory)
def test_minnesota_and_the_irc_mean_different_things():
    (minnesota,) = balance_rules(jurisdiction("Duluth, Minnesota").rates)
    (florida,) = balance_rules(jurisdiction("Homestead, Florida").rates)
    assert (minnesota.of, minnesota.share, minnesota.flow, minnesota.basis) == ("exhaust", 0.10, 0.0, "law")
    assert minnesota.source.confirmed
    assert (florida.of, florida.share, florida.flow) == ("larger", 0.10, pytest.approx(5 * CFM))
    assert not florida.source.confirmed


def test_the_users_choice_stands_beside_the_law_and_never_in_its_place():
    law, own = balance_rules(("minnesota total",), "10 % of their mean")
    assert (law.basis, own.basis, own.of) == ("law", "user", "mean")
    (same,) = balance_rules(("minnesota total",), "10 % of exhaust")
    assert same.basis == "law"


def test_where_nothing_is_known_it_is_practice():
    (only,) = balance_rules()
    assert (only.key, only.basis) == (USUAL, "practice")
    assert USUAL in balance_keys()


def test_a_meaning_that_is_not_known_is_told_what_is():
    with pytest.raises(InputError, match="there are: 10 % of exhaust"):
        balance_rules((), "even")
