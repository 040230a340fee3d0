"""Widths of text against the fonts' own published design: IBM Plex Sans sets every figure 600 of 1,000 units wide."""

import pytest

from airledger.report.text_width import width


@pytest.mark.parametrize("figure", list("0123456789"))
@pytest.mark.parametrize("strong", [False, True])
def test_figures_are_tabular_so_that_columns_of_numbers_line_up(figure: str, strong: bool) -> None:
    assert width(figure, 10, strong) == pytest.approx(6.0)


def test_width_grows_with_the_size_and_adds_up_letter_by_letter() -> None:
    assert width("hood", 24) == pytest.approx(2 * width("hood", 12))
    assert width("range hood", 12) == pytest.approx(width("range", 12) + width(" ", 12) + width("hood", 12))


def test_every_sign_that_the_papers_use_is_in_the_fonts() -> None:
    missing = width("\U0001f600", 10)
    for sign in "−·–…’°½×≤²³":
        assert 0 < width(sign, 10) < missing
