"""What an option does while somebody cooks: against the same states solved one by one."""

from dataclasses import replace

import numpy as np
import pytest

from airledger.house.operating_state import ACH50, SEASON
from airledger.house.outdoors import weather
from airledger.physics.air_loads import condensed_water, latent_heat, sensible_heat
from airledger.search.judge import screened
from airledger.search.moments import Moment, moments, summer
from airledger.search.options import DRAWN, FAN, LESS, NONE, ONE, TWO, WINDOW, Option, changed
from airledger.search.slots import OPENING, POWERED, SECOND, slots
from airledger.units import CFM, INCH
from tests.unit.search.houses import BARE, TWO_ROOMS, house
from tests.unit.search.test_options import trial_of

BOTH = ("range hood", "dryer")
OPENS = Option(ONE, 10 * INCH, 1, damper="motorized", starts_with=BOTH, waits=True)
BLOWS = Option(FAN, powered=True, damper="motorized", starts_with=BOTH, waits=True)
AJAR = Option(WINDOW, window=4 * INCH, starts_with=BOTH)
DRAWN_TOO = TWO_ROOMS.replace(
    "make-up air: undecided",
    """make-up air:
  north opening:
    into: living
    duct: {size: 8 in round, made of: galvanized}
    run: [wall cap: {loss: 1.0}, straight: 15 ft]
    damper: {kind: motorized, opens in: 30 s, leaks shut: 5 cfm at 25 Pa, without power: shut}
    starts with: {range hood: high}""",
)


@pytest.fixture
def trial():
    return trial_of(DRAWN_TOO)


def alone(trial, option, hood=1.0):
    """The hood at its top, all else as it stands, at the likely tightness, in summer: one row by itself."""
    columns = {("speed", exhaust.name): np.zeros(1) for exhaust in trial.place.house.exhausts}
    columns |= {SEASON: np.zeros(1), ACH50: np.full(1, 1.1), ("speed", "range hood"): np.full(1, hood)}
    return trial.seen(changed(option, trial.place, columns))


@pytest.mark.parametrize(
    ("option", "through"),
    [
        (Option(NONE), ()),
        (Option(LESS, hood_limit=300 * CFM), ()),
        (Option(DRAWN), ("north opening",)),
        (OPENS, (OPENING,)),
        (replace(OPENS, family=TWO, count=2), (OPENING, SECOND)),
        (BLOWS, (POWERED,)),
        (replace(BLOWS, count=1, diameter=8 * INCH), (OPENING, POWERED)),
    ],
    ids=lambda value: value.family if isinstance(value, Option) else "+".join(value),
)
def test_the_moment_of_an_option_is_that_of_its_state_solved_by_itself(trial, option, through):
    """Beside other options in the batch, none of which may change it."""
    several = screened(trial, [OPENS, option, BLOWS])
    (judged,) = [one for one in several if one.option == option]
    moment = moments(trial, several, 1.1)[several.index(judged)]
    seen, rest = alone(trial, option), alone(trial, Option(NONE), hood=0.0)
    worst = trial.listing.columns(np.array([judged.number]))
    worst[ACH50] = np.full(1, 1.1)
    deepest = trial.seen(changed(option, trial.place, worst, judged.mismatch))
    air = weather(trial.place.house)[0]
    more = float((seen.outdoor_air_mass() - rest.outdoor_air_mass())[0])
    heat = sensible_heat(more, air.outdoor, air.indoor) + latent_heat(more, air.outdoor, air.indoor)
    assert moment == Moment(
        rated=pytest.approx((300 if option.hood_limit else 500) * CFM),
        real=pytest.approx(float(seen.machine_flow("range hood")[0]), rel=1e-9),
        make_up=pytest.approx(sum(float(seen.make_up_flow(name)[0]) for name in through), rel=1e-9),
        pressure=pytest.approx(float(seen.house_pressure()[0]), rel=1e-9),
        worst_at_likely=pytest.approx(float(deepest.house_pressure()[0]), rel=1e-9),
        heat=pytest.approx(float(heat), rel=1e-9),
        water=pytest.approx(float(condensed_water(more, air.outdoor, air.indoor)), rel=1e-9),
    )
    assert (moment.make_up > 0.05) is bool(through)


def test_a_deepest_state_in_winter_is_told_in_winter(trial):
    """The moment itself is one of summer."""
    every = np.arange(trial.listing.size)
    winter = int(every[trial.listing.columns(every)[SEASON] == 1.0][-1])
    judged = [replace(one, number=winter) for one in screened(trial, [OPENS, Option(NONE)])]
    columns = trial.listing.columns(np.array([winter]))
    columns[ACH50] = np.full(1, 1.1)
    for one, moment in zip(judged, moments(trial, judged, 1.1), strict=True):
        deepest = trial.seen(changed(one.option, trial.place, columns))
        assert moment.worst_at_likely == pytest.approx(float(deepest.house_pressure()[0]), rel=1e-9)
        assert moment.pressure == pytest.approx(float(alone(trial, one.option).house_pressure()[0]), rel=1e-9)


def test_the_make_up_air_of_a_window_is_what_comes_in_through_it(trial):
    """4 in of 20: a hole of 4 ft2 and some; most of 500 cfm, nothing that goes out at its top again."""
    (moment,) = moments(trial, screened(trial, [AJAR]), 1.1)
    seen = alone(trial, AJAR)
    through = [flow for flow in seen.state(0, "").flows if flow.through == "kitchen window"]
    assert moment.make_up == pytest.approx(sum(f.volume_flow for f in through if f.from_ == "outdoors"), rel=1e-9)
    assert 0.5 * 500 * CFM < moment.make_up < 500 * CFM


def test_the_wettest_season_is_the_one_told_and_of_equal_ones_the_warmest():
    dry = TWO_ROOMS.replace("outdoors: 90 F, dew point: 76 F", "outdoors: 100 F, dew point: 40 F")
    assert summer(slots(house(TWO_ROOMS))) == 0
    wet = "outdoors: 62 F, dew point: 60 F"
    assert summer(slots(house(dry.replace("outdoors: 20 F, dew point: 10 F", wet)))) == 1
    assert summer(slots(house(dry.replace("outdoors: 20 F, dew point: 10 F", "outdoors: 45 F, dew point: 40 F")))) == 0


def test_a_house_without_a_machine_has_nothing_running():
    trial = trial_of(BARE)
    (moment,) = moments(trial, screened(trial, [Option(NONE)]), 1.0)
    assert (moment.rated, moment.real, moment.make_up, moment.heat, moment.water) == (0.0, 0.0, 0.0, 0.0, 0.0)
