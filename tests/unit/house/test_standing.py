"""What no state names stands as it stands: exponent, ventilator, wind; and what one state says is no other's affair."""

from __future__ import annotations

import pytest
from scipy.optimize import brentq

from airledger.house.house import Wind
from airledger.house.operating_state import WIND_SPEED, standing
from airledger.io.house_file import loads
from tests.houses import CFM, CHECK_HOUSE, solved


@pytest.mark.parametrize("exponent", [0.5, 0.6, 0.65, 0.72, 1.0])
def test_the_exponent_of_the_file_is_the_exponent_of_the_leaks(exponent: float) -> None:
    """Q = Q50 (dP/50)^n, at 20 C and sea level: closed form, ASHRAE Fundamentals 2021 ch. 16 eq. 40."""
    tested = 1.0 * 25000 / 60 * CFM
    expected = -brentq(lambda pull: tested * (pull / 50) ** exponent - 600 * CFM, 1.0, 900.0)
    text = CHECK_HOUSE.replace("exponent: 0.65", f"exponent: {exponent}")
    assert solved(text).house_pressure()[1] == pytest.approx(expected, rel=1e-4)  # reference air to 5 digits


UNBALANCED = """
house: unbalanced
site: {elevation: 0 ft}
envelope: {tightness: 1.0 ach50, taped at the test: [ventilator]}
rooms: {house: {area: 1500 ft2, ceiling: 8 ft}}
ventilator:
  kind: erv
  speeds: {low: {supply: 90 cfm, exhaust: 60 cfm}, boost: 160 cfm}
  supplies: {house: 100 %}
  takes from: {house: 100 %}
exhausts: {fan: {room: house, speeds: {on: 50 cfm}}}
make-up air: none
states: {rest: {}, fan: {fan: on}}
"""


def test_a_ventilator_that_no_state_names_runs_at_its_first_speed() -> None:
    silent, said = solved(UNBALANCED), solved(UNBALANCED.replace("rest: {}", "rest: {ventilator: low}"))
    assert silent.house_pressure()[0] > 1.0  # 30 cfm more in than out
    assert silent.house_pressure() == pytest.approx(said.house_pressure(), rel=1e-12)
    assert silent.ventilator_flow()[0][0] == pytest.approx(90 * CFM, rel=0.05)


WINDY = """
house: box
site: {elevation: 0 ft, surroundings: open fields}
envelope: {tightness: 2.0 ach50, leaks: {walls: {share: 100 %, height: 4 ft}}}
rooms: {box: {size: 40 ft x 40 ft, corner: [0 ft, 0 ft], ceiling: 8 ft}}
make-up air: none
states: {north wind: {wind: 20 mph from north}, calm: {}}
"""


def test_wind_that_only_a_state_names_blows_on_the_walls() -> None:
    with_site = WINDY.replace("surroundings", "wind: {speed: 0 to 20 mph, from: any}, surroundings")
    blown, calm = solved(WINDY).house_pressure()
    assert blown < -1.0
    assert blown == pytest.approx(solved(with_site).house_pressure()[0], rel=1e-12)
    assert calm == pytest.approx(0.0, abs=1e-9)


def test_a_state_that_says_nothing_of_wind_is_calm() -> None:
    house = loads(WINDY.replace("surroundings", "wind: {speed: 5 to 20 mph, from: west}, surroundings"), "windy.yaml")
    assert isinstance(house.site.wind, Wind)
    assert house.site.wind.low > 0
    assert standing(house)[WIND_SPEED] == 0.0
    assert solved(house).house_pressure()[1] == pytest.approx(0.0, abs=1e-9)
