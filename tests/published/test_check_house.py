"""The one-room check house from file to pressure, and what the trade knows of such a house.

Values of the first two tests: COMPUTED (closed form; Colebrook by fluids 1.3.1), check file network.md section 6: rho
1.204, nu 1/66400; this
program takes its own moist-air density, 0.01 % away. The trade's facts: common practice, no source.
"""

from __future__ import annotations

import numpy as np
import pytest

from tests.houses import CFM, CHECK_HOUSE, LBF, pressures, solved, with_opening


def test_hood_without_make_up_air() -> None:
    assert pressures(CHECK_HOUSE)[1] == pytest.approx(-87.62, abs=0.005)


@pytest.mark.parametrize(
    ("inches", "pulled", "make_up"),
    [(6, 49.994, 183.37), (8, 33.958, 275.98), (10, 22.206, 354.15), (12, 14.388, 414.58)],
)
def test_hood_with_passive_duct(inches: float, pulled: float, make_up: float) -> None:
    readout = solved(with_opening(inches))
    assert readout.house_pressure()[1] == pytest.approx(-pulled, rel=2e-4)
    assert readout.make_up_flow("opening")[1] / CFM == pytest.approx(make_up, rel=2e-4)


def test_an_opening_left_open_at_the_test_counts_once() -> None:
    """Open during the blower-door test, the duct was part of the tested leakage.

    At 50 Pa the house leaks no more than it was tested for.
    """
    taped = with_opening(6)
    left_open = taped.replace(", taped at the test: [opening]", "").replace("1.0 ach50", "2.0 ach50")
    readout = solved(left_open.replace("600 cfm", "833.333333 cfm"))  # what the test fan took out at 50 Pa
    assert readout.house_pressure()[1] == pytest.approx(-50.0, abs=0.01)
    assert readout.model.left_for_envelope == pytest.approx(1 - 183.4 / 833.33, abs=2e-3)


def test_trade_hood_holds_the_entry_door_shut() -> None:
    """Common practice, no source: over 15 lbf at the knob, held shut; under 1 lbf with the back door open."""
    force, words = solved(CHECK_HOUSE).door("entry door")
    assert force[1] / LBF > 15
    assert words[1] == "held shut"
    assert force[2] / LBF < 1


def test_trade_a_small_passive_duct_is_no_cure() -> None:
    """Common practice, no source: 6 in brings under a third of the hood's air and leaves more than 40 Pa.

    10 in brings over half.
    """
    small, large = solved(with_opening(6)), solved(with_opening(10))
    assert small.make_up_flow("opening")[1] / CFM < 200
    assert small.house_pressure()[1] < -40
    assert large.make_up_flow("opening")[1] / CFM > 300


def test_trade_a_balanced_ventilator_alone_moves_nothing() -> None:
    """Common practice, no source: equal air both sides, under 0.05 Pa."""
    unit = (
        "ventilator: {kind: erv, speeds: {low: 70 cfm, boost: 160 cfm}, "
        "supplies: {house: 100 %}, takes from: {house: 100 %}}\nstates:"
    )
    text = CHECK_HOUSE.replace("states:", unit).replace(
        "rest: {}", "rest: {ventilator: low}\n  boost: {ventilator: boost}"
    )
    readout = solved(text)
    assert np.abs(readout.house_pressure()[:2]).max() < 0.05
    supply, exhaust = readout.ventilator_flow()
    assert supply[:2] / CFM == pytest.approx([70, 160], rel=2e-3)
    assert exhaust[:2] / CFM == pytest.approx([70, 160], rel=2e-3)


def test_door_force_at_half_an_atmosphere_of_water() -> None:
    """SFPE Handbook, 5th edition, ch. 50 eq. 50.14: 36 x 80 in leaf, knob 2.75 in, 0.226 lbf a pascal."""
    readout = solved(CHECK_HOUSE)
    force, _ = readout.door("entry door")
    assert force[1] / LBF / -readout.house_pressure()[1] == pytest.approx(0.226, abs=0.0005)
