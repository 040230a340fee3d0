"""Stack, levels, buffer spaces and wind through the whole assembly, against a bracketing root finder."""

from __future__ import annotations

import fluids
import numpy as np
import psychrolib
import pytest
from scipy.optimize import brentq

from airledger.house.ledger import Ledger
from tests.houses import CFM, solved

psychrolib.SetUnitSystem(psychrolib.SI)
GRAVITY = 9.80665

TWO_LEAKS = """
house: tall room
site:
  elevation: 0 ft
  winter: {outdoors: -10 C, dew point: -15 C, indoors: 20 C, humidity: 40 %}
envelope:
  tightness: 3.0 ach50
  exponent: 0.65
  leaks: {low: {share: 50 %, height: 0.5 m}, high: {share: 50 %, height: 5.5 m}}
rooms: {house: {area: 100 m2, ceiling: 6 m}}
exhausts: {fan: {room: house, speeds: {on: 20 L/s}}}
make-up air: none
states: {rest: {}, fan on: {fan: on}}
"""


def air(temperature: float, humidity_ratio: float) -> tuple[float, float, float]:
    """Moist density, dry-air density, viscosity, by psychrolib and Sutherland's formula."""
    volume = psychrolib.GetMoistAirVolume(temperature, humidity_ratio, 101325.0)
    kelvin = temperature + 273.15
    return (1 + humidity_ratio) / volume, 1 / volume, 1.458e-6 * kelvin**1.5 / (kelvin + 110.4)


def leak_mass(
    difference: float, coefficient: float, outside: tuple[float, float, float], inside: tuple[float, float, float]
) -> float:
    density, dry, viscosity = outside if difference > 0 else inside
    correction = (1.2041 / density) ** 0.35 * ((1.458e-6 * 293.15**1.5 / 403.55) / viscosity) ** 0.3
    return float(np.sign(difference)) * dry * coefficient * correction * abs(difference) ** 0.65


@pytest.mark.parametrize(("row", "fan"), [(0, 0.0), (1, 0.020)])
def test_stack_of_a_tall_room(row: int, fan: float) -> None:
    indoor = air(20.0, psychrolib.GetHumRatioFromRelHum(20.0, 0.40, 101325.0))
    outdoor = air(-10.0, psychrolib.GetHumRatioFromTDewPoint(-15.0, 101325.0))
    coefficient = 0.5 * 3.0 * 600 / 3600 / 50**0.65
    gradient = (outdoor[0] - indoor[0]) * GRAVITY

    def net(pressure: float) -> float:
        total = sum(leak_mass(-(pressure + gradient * z), coefficient, outdoor, indoor) for z in (0.5, 5.5))
        return total - fan * indoor[1]

    expected = brentq(net, -100, 100, xtol=1e-12)
    assert solved(TWO_LEAKS).house_pressure()[row] == pytest.approx(expected, abs=2e-3)


TWO_LEVELS = """
house: two levels
site:
  elevation: 700 ft
  winter: {outdoors: 10 F, dew point: 0 F, indoors: 70 F, humidity: 30 %}
envelope:
  tightness: 5.0 ach50
  leaks: {walls: {share: 70 %, height: 4 ft}, ceiling: {share: 30 %, height: 8 ft, to: attic, rooms: [hall]}}
levels: {basement: {floor: -8 ft, below grade: 6 ft}, main: {floor: 0 ft}}
rooms:
  hall: {level: main, area: 800 ft2, ceiling: 8 ft}
  basement: {level: basement, area: 800 ft2, ceiling: 7 ft, air: {winter: 62 F}}
  attic: {kind: attic, level: main, area: 800 ft2, vents: 3 ft2}
openings:
  stairs: {between: [hall, basement], lies flat, clear: 3 ft x 8 ft, door: basement door}
exhausts: {bath fan: {room: hall, speeds: {on: 80 cfm}}}
make-up air: none
states: {rest: {}, door shut: {basement door: shut}, fan: {bath fan: on}}
""".replace("lies flat, clear", "lies: flat, clear")


def test_winter_pulls_the_basement_and_pushes_the_ceiling() -> None:
    readout = solved(TWO_LEVELS)
    rest = readout.state(0, "rest")
    assert readout.room_pressure("basement")[0] < -2.0  # "stack alone reads -6 Pa in a winter basement"
    assert any(f.through == "ceiling" and f.to == "attic" for f in rest.flows)
    assert any(f.through == "walls" and f.to == "basement" for f in rest.flows)
    assert (
        readout.room_pressure("basement")[1] > readout.room_pressure("basement")[0]
    )  # door shut: its own short column


def test_rooms_joined_by_an_open_stair_stand_in_one_column() -> None:
    """Seen at one height the two rooms differ by next to nothing.

    Each at its own floor they differ by the outdoor column less the indoor one.
    """
    readout = solved(TWO_LEVELS)
    density = readout.model.air(readout.settings).density
    index = readout.model.nodes.index("basement")
    column = float((density[-1] - density[index])[0]) * GRAVITY * 8 * 0.3048
    assert readout.room_pressure("basement")[0] + column == pytest.approx(readout.room_pressure("hall")[0], abs=0.02)


def test_house_pressure_is_that_of_the_largest_room_of_the_largest_open_group() -> None:
    assert solved(TWO_LEVELS).reference_room() == ["hall", "hall", "hall"]


TIED = """
house: tied
site: {elevation: 0 ft}
envelope: {tightness: 2.0 ach50}
rooms: {%s}
openings: {%s}
make-up air: none
states: {rest: {}, apart: {first: shut, second: shut}}
"""


@pytest.mark.parametrize("turned", [False, True])
def test_of_equal_rooms_the_first_by_name_is_the_house_whatever_the_order_of_the_file(turned: bool) -> None:
    """Two pairs of rooms of one size; joined in pairs and then each alone."""
    rooms = [f"{name}: {{area: 300 ft2, ceiling: 8 ft}}" for name in ("south", "north", "west", "east")]
    doors = [
        "first: {between: [south, west], leaf: 30 in x 80 in}",
        "second: {between: [north, east], leaf: 30 in x 80 in}",
    ]
    listed = [", ".join(reversed(entries) if turned else entries) for entries in (rooms, doors)]
    assert solved(TIED % tuple(listed)).reference_room() == ["east", "east"]


@pytest.mark.parametrize("place", ["house", "hall", "basement", "attic"])
def test_the_account_of_any_place_closes(place: str) -> None:
    readout = solved(TWO_LEVELS)
    for row in range(3):
        account = Ledger.of(readout.state(row, "any"), place, ("outdoors", "attic"))
        assert account.entries_in
        assert abs(account.residual) <= 1e-12 * max(account.sum_in, account.sum_out)
        assert account.text().endswith("=\n")


WINDY = """
house: box
site: {elevation: 0 ft, wind: {speed: 0 to 20 mph, from: any}, surroundings: open fields}
envelope: {tightness: 2.0 ach50, leaks: {walls: {share: 100 %, height: 4 ft}}}
rooms: {box: {size: 40 ft x 40 ft, corner: [0 ft, 0 ft], ceiling: 8 ft}}
make-up air: none
states: {calm: {}, north wind: {wind: 20 mph from north}, east wind: {wind: 20 mph from east}}
"""


def test_wind_pulls_a_square_house_the_same_from_every_side() -> None:
    readout = solved(WINDY)
    calm, north, east = readout.house_pressure()
    assert calm == pytest.approx(0.0, abs=1e-9)
    assert north == pytest.approx(east, rel=1e-9)
    assert north < -1.0  # three of four walls are in suction (Cp -0.3, -0.65, -0.65)
    flows = readout.state(1, "north wind").flows
    assert sum(f.mass_flow for f in flows if f.to == "box") == pytest.approx(
        sum(f.mass_flow for f in flows if f.from_ == "box")
    )


def test_a_window_between_unequal_air_breathes_both_ways() -> None:
    text = TWO_LEAKS.replace(
        "exhausts:",
        "openings: {window: {between: [house, outdoors], sash: 1 m x 1.5 m, sill: 1 m, opens up to: 1 m}}\nexhausts:",
    )
    text = text.replace("rest: {}", "rest: {window: 1 m}")
    flows = [f for f in solved(text).state(0, "rest").flows if f.through == "window"]
    assert {(f.from_, f.to) for f in flows} == {("outdoors", "house"), ("house", "outdoors")}
    assert min(f.volume_flow for f in flows) > 5 * CFM


CHIMNEY = """
house: chimney
site:
  elevation: 0 ft
  winter: {outdoors: -10 C, dew point: -15 C, indoors: 20 C, humidity: 40 %}
envelope: {tightness: 30 ach50, exponent: 0.65, taped at the test: [fan], leaks: {low: {share: 100 %, height: 0 m}}}
rooms: {house: {area: 100 m2, ceiling: 3 m}}
exhausts:
  fan:
    room: house
    speeds: {on: 100 L/s}
    fan curve: {at: on, points: [[0 L/s, 200 Pa], [60 L/s, 120 Pa], [100 L/s, 0 Pa]]}
    duct: {size: 0.15 m round, made of: galvanized}
    run: [straight: 5 m up, loss: 2]
make-up air: none
states: {rest: {}}
"""


def test_a_warm_duct_that_goes_up_draws_by_its_own_column() -> None:
    """A stopped fan is a resistance; the column from mid-room up through 5 m of duct drives air out through it."""
    indoor = air(20.0, psychrolib.GetHumRatioFromRelHum(20.0, 0.40, 101325.0))
    outdoor = air(-10.0, psychrolib.GetHumRatioFromTDewPoint(-15.0, 101325.0))
    readout = solved(CHIMNEY)
    pressure = float(readout.house_pressure()[0])
    drive = pressure + (outdoor[0] - indoor[0]) * GRAVITY * (1.5 + 5.0)
    place = readout.model.nodes.index("fan/duct")
    inside_fan = float(readout.solution.pressure[place, 0])  # gauge at the fan's height, mid-room
    at_fan = pressure + (outdoor[0] - indoor[0]) * GRAVITY * 1.5
    flow = float(readout.machine_flow("fan")[0])
    area = np.pi / 4 * 0.15**2
    reynolds = indoor[0] * flow / area * 0.15 / indoor[2]
    assert reynolds > 4000
    factor = fluids.friction.Colebrook(reynolds, 9e-5 / 0.15, tol=-1)
    duct = (factor * 5 / 0.15 + 2) * indoor[0] * (flow / area) ** 2 / 2
    assert flow > 0.005
    assert at_fan > inside_fan  # the fan resists
    assert (at_fan - inside_fan) + duct == pytest.approx(drive, rel=1e-6)
