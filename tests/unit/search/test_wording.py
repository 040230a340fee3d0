"""Words of messages: pressures as said aloud, words in a row."""

import pytest

from airledger.search.wording import amount, capital, pascals, series


@pytest.mark.parametrize(
    ("value", "words"), [(-87.62, "−88 Pa"), (-9.96, "−10 Pa"), (-9.94, "−9.9 Pa"), (-0.04, "0.0 Pa")]
)
def test_pascals_as_said_aloud(value, words):
    assert pascals(value) == words


@pytest.mark.parametrize(
    ("words", "row"), [([], ""), (["a"], "a"), (["a", "b"], "a and b"), (["a", "b", "c"], "a, b and c")]
)
def test_words_in_a_row(words, row):
    assert series(words) == row


def test_a_capital_first_letter_and_nothing_else_changes():
    assert capital("eRV off") == "ERV off"
    assert capital("") == ""


def test_a_cell_without_a_number_is_no_amount():
    assert amount(2) == 2.0
    with pytest.raises(TypeError, match="a number was expected"):
        amount(None)
