"""States in words: what may be said, what is refused, what follows from an interlock."""

from __future__ import annotations

import numpy as np
import pytest

from airledger.errors import InputError
from airledger.house import duct_terms
from airledger.house.house import House
from airledger.house.operating_state import OperatingState, Settings, as_built, standing
from airledger.house.state_words import named_states, read_setting
from airledger.io.house_file import loads
from tests.houses import CFM, solved

TEXT = """
house: test
site:
  elevation: 0 ft
  summer: {outdoors: 91 F, dew point: 78 F, indoors: 75 F, humidity: 50 %}
  winter: {outdoors: 40 F, dew point: 30 F, indoors: 70 F, humidity: 40 %}
envelope: {tightness: 1.0 ach50}
rooms: {hall: {area: 1500 ft2, ceiling: 9 ft}, bath: {area: 60 ft2, ceiling: 9 ft}}
openings:
  bath door: {between: [hall, bath], leaf: 30 in x 80 in}
  window: {between: [hall, outdoors], sash: 36 in x 48 in, sill: 3 ft, opens up to: 20 in}
ventilator: {kind: erv, speeds: {low: 60 cfm, boost: 120 cfm}, supplies: {hall: 100 %}, takes from: {bath: 100 %}}
exhausts:
  hood: {room: hall, speeds: {low: 200 cfm, medium: 400 cfm, high: 800 cfm}}
make-up air:
  north opening:
    into: hall
    duct: {size: 10 in round, made of: galvanized}
    run: [loss: 3]
    damper: {kind: motorized, leaks shut: 5 cfm at 25 Pa}
    starts with: {hood: medium and up}
"""


@pytest.fixture(scope="module")
def house() -> House:
    return loads(TEXT, "test.yaml")


@pytest.mark.parametrize(
    ("what", "how", "expected"),
    [
        ("hood", "off", {("speed", "hood"): 0.0}),
        ("hood", "medium", {("speed", "hood"): 0.5}),
        ("hood", "300 cfm", {("speed", "hood"): 0.375}),
        ("bath door", "shut", {("open", "bath door"): 0.0}),
        ("window", "10 in", {("open", "window"): 0.5}),
        ("ventilator", "low", {("speed", "ventilator supply"): 0.5, ("speed", "ventilator exhaust"): 0.5}),
        ("ventilator supply", "blocked", {("blocked", "ventilator supply"): 1.0}),
        ("north opening", "stuck shut", {("open", "north opening"): 0.0, ("speed", "north opening"): 0.0}),
        ("season", "winter", {("house", "season"): 1.0}),
        ("wind", "10 mph from west", {("house", "wind speed"): pytest.approx(4.4704), ("house", "wind from"): 270.0}),
        ("tightness", "0.6 ach50", {("house", "ach50"): 0.6}),
    ],
)
def test_words_become_settings(house: House, what: str, how: str, expected: dict[tuple[str, str], float]) -> None:
    assert dict(read_setting(house, what, how)) == expected


@pytest.mark.parametrize(
    ("what", "how", "message"),
    [
        ("hod", "high", "nothing in this house is called 'hod'"),
        ("hood", "turbo", "hood is one of: off, low, medium, high"),
        ("hood", "2000 cfm", "outside"),
        ("window", "30 in", "opens from 0 to 20 in"),
        ("bath door", "ajar", "open, shut"),
        ("ventilator", "high", "off, low, boost"),
        ("north opening", "broken", "open, shut, stuck open, stuck shut"),
        ("season", "monsoon", "summer, winter"),
        ("wind", "10 from west", "wind: cannot read '10'"),
    ],
)
def test_what_cannot_be_is_refused_with_what_is_allowed(house: House, what: str, how: str, message: str) -> None:
    with pytest.raises(InputError, match=message):
        read_setting(house, what, how)


def test_how_things_stand(house: House) -> None:
    rest = standing(house)
    assert rest["open", "bath door"] == 1.0
    assert rest["open", "window"] == 0.0
    assert rest["speed", "ventilator supply"] == 0.5
    assert rest["speed", "hood"] == 0.0


@pytest.mark.parametrize(("speed", "opened"), [("low", 0.0), ("medium", 1.0), ("high", 1.0), ("off", 0.0)])
def test_damper_follows_the_hood_from_medium_up(house: House, speed: str, opened: float) -> None:
    settings = Settings.of(house, (OperatingState("one", settings=read_setting(house, "hood", speed)),))
    assert settings.column(("open", "north opening"), -1.0)[0] == opened


def test_a_stuck_damper_does_not_follow(house: House) -> None:
    said = (*read_setting(house, "hood", "high"), *read_setting(house, "north opening", "stuck shut"))
    readout = solved(
        house,
        (OperatingState("one", settings=read_setting(house, "hood", "high")), OperatingState("two", settings=said)),
    )
    free, stuck = readout.make_up_flow("north opening") / CFM
    assert free > 300
    assert stuck < 40  # its shut leakage


def test_states_are_made_where_the_file_names_none(house: House) -> None:
    assert [state.name for state in named_states(house)] == ["everyday", "hood high"]


def test_a_hood_reverses_the_ventilators_exhaust(house: House) -> None:
    """users.md, what the physics says, 8: while the hood pulls, the ventilator's exhaust slows or reverses."""
    readout = solved(house)
    _, exhaust = readout.ventilator_flow()
    assert exhaust[1] < 0.9 * exhaust[0]
    assert np.isfinite(exhaust).all()


def test_a_state_without_a_size_keeps_the_duct_as_built(house: House) -> None:
    """Batched with a state that names size, presence and mismatch, it stands as it does alone."""
    hood = (("speed", "hood"), 1.0)
    plain = OperatingState("plain", settings=(hood,))
    other = {"size": 0.1, "there": 0.0, "mismatch": 0.9, "gravity": 1.0}
    named = OperatingState("other", settings=(hood, *(((kind, "north opening"), v) for kind, v in other.items())))
    batched = Settings.of(house, (plain, named))
    assert batched.column(("size", "north opening"), 0.0) == pytest.approx([0.254, 0.1])
    alone, beside = solved(house, (plain,)), solved(house, (plain, named))
    assert beside.house_pressure()[0] == pytest.approx(alone.house_pressure()[0], rel=1e-9)
    assert beside.house_pressure()[1] < beside.house_pressure()[0]


def test_a_rectangular_duct_is_as_wide_as_its_hydraulic_diameter() -> None:
    """4 A / perimeter, closed form: 14 in x 8 in is 10.18 in."""
    house = loads(TEXT.replace("10 in round", "14 in x 8 in"), "test.yaml")
    assert as_built(house)["size", "north opening"] == pytest.approx(2 * 14 * 8 / 22 * 0.0254)
    assert duct_terms.of_make_up(house.make_up_air[0]).diameter == pytest.approx(
        as_built(house)["size", "north opening"]
    )
