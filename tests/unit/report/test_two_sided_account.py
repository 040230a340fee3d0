"""The two-sided account: every figure of the rows, sums that agree, a double rule only under sums that do."""

import re

import pytest

from airledger.quantities import number
from airledger.report.two_sided_account import Line, account, drawing, gathered
from airledger.units import CFM
from tests.unit.report.boxes import covered, outside


def lines(*flows: tuple[str, float], density: float = 1.17) -> list[Line]:
    return [Line(name, cfm * CFM, cfm * CFM * density) for name, cfm in flows]


EQUAL = lines(("window sills", 300.0), ("bottom plate", 100.0)), lines(("range hood", 400.0))


def texts(svg: str) -> list[str]:
    return re.findall(r"<text[^>]*>([^<]*)</text>", svg)


def double_rules(svg: str) -> int:
    """Pairs of level lines 3 apart, of one length."""
    found = re.findall(r'<line x1="([\d.]+)" y1="([\d.]+)" x2="([\d.]+)" y2="([\d.]+)"', svg)
    level = [(float(a), float(b), float(c)) for a, b, c, d in found if b == d]
    return sum((x1, pytest.approx(y + 3), x2) in level for x1, y, x2 in level)


def test_equal_volumes_carry_one_double_rule_on_each_side() -> None:
    svg = account(*EQUAL, "ip")
    assert texts(svg).count("400") == 3  # the hood and both sums
    assert double_rules(svg) == 2
    assert "equal by weight" not in svg


def test_sums_that_differ_in_volume_are_shown_equal_by_weight() -> None:
    warm, cool = lines(("outdoor air", 410.0), density=1.14), lines(("range hood", 400.0), density=1.14 * 410 / 400)
    svg = account(warm, cool, "ip")
    weight = number(410 * CFM * 1.14, "mass flow", "ip")
    assert texts(svg).count(weight) == 2
    assert "lb/h, equal by weight" in texts(svg)
    assert double_rules(svg) == 2


def test_an_account_that_does_not_close_has_no_double_rule_and_says_so() -> None:
    svg = account(lines(("outdoor air", 410.0)), lines(("range hood", 400.0)), "si")
    assert double_rules(svg) == 0
    assert "kg/h, not equal" in texts(svg)


def test_lines_of_one_name_are_added_and_the_small_ones_gathered_without_losing_any() -> None:
    many = lines(*((f"leak {place}", 100.0 - place) for place in range(30)), ("leak 0", 50.0))
    rows = gathered(many)
    assert rows[0] == Line("leak 0", pytest.approx(150 * CFM), pytest.approx(150 * CFM * 1.17))
    assert len(rows) == 12
    assert rows[-1].name == "19 smaller ways"
    assert sum(row.mass_flow for row in rows) == pytest.approx(sum(line.mass_flow for line in many))


def test_air_in_is_solid_and_air_out_dashed_so_that_grey_is_enough() -> None:
    picture = drawing(*EQUAL, "ip", "account")
    assert sum("stroke-dasharray" in part for part in picture.parts) == len(EQUAL[1])


def test_no_text_covers_another_even_with_long_names_and_large_flows() -> None:
    sides = (
        lines(("a leak with a very long name at the bottom plate", 12345.0)),
        lines(("a machine with a long name", 12345.0)),
    )
    for system in ("ip", "si"):
        picture = drawing(*sides, system, "account")
        assert covered(picture) == []
        assert outside(picture) == []


def test_units_follow_the_chosen_system() -> None:
    assert "L/s" in texts(account(*EQUAL, "si"))
    assert number(400 * CFM, "air flow", "si") in texts(account(*EQUAL, "si"))
