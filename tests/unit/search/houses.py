"""Small invented houses for the tests of search and studies, written as a house file has them."""

from functools import cache

from airledger.io.house_file import loads

ONE_ROOM = """
house: One room
site: {elevation: 0 ft}
envelope: {tightness: 1.0 ach50, exponent: 0.65}
rooms: {house: {area: 2500 ft2, ceiling: 10 ft}}
openings:
  entry door: {between: [house, outdoors], leaf: 36 in x 80 in, swings: out, stands: shut}
  back door: {between: [house, outdoors], leaf: 36 in x 80 in, swings: in, stands: shut}
exhausts:
  range hood: {room: house, speeds: {high: 600 cfm}}
make-up air: none
limits: {house pressure: {wanted: -5 Pa, tolerated: -10 Pa}}
"""

TWO_ROOMS = """
house: Two rooms
site:
  elevation: 0 ft
  wind: {speed: 0 to 10 mph, from: any}
  summer: {outdoors: 90 F, dew point: 76 F, indoors: 75 F, humidity: 50 %}
  winter: {outdoors: 20 F, dew point: 10 F, indoors: 70 F, humidity: 35 %}
envelope: {tightness: 0.8 to 1.6 ach50 (likely 1.1), exponent: 0.65}
rooms:
  living: {size: 30 ft x 30 ft, corner: [0 ft, 0 ft], ceiling: 9 ft}
  bedroom: {size: 14 ft x 30 ft, corner: [30 ft, 0 ft], ceiling: 9 ft}
openings:
  entry door: {between: [living, outdoors], leaf: 36 in x 80 in, swings: out, stands: shut}
  bedroom door: {between: [living, bedroom], leaf: 30 in x 80 in, undercut: 3/4 in}
  kitchen window: {between: [living, outdoors], sash: 36 in x 48 in, sill: 3 ft, opens up to: 20 in, stands: shut}
ventilator:
  kind: erv
  speeds: {low: 60 cfm, boost: 120 cfm}
  supplies: {bedroom: 100 %}
  takes from: {living: 100 %}
exhausts:
  range hood: {room: living, speeds: {low: 200 cfm, high: 500 cfm}}
  dryer: {room: living, speeds: {on: 125 cfm}}
make-up air: undecided
states:
  everyday: {ventilator: low}
  cooking: {ventilator: low, range hood: high}
"""

GAS = """
house: Gas below
site: {elevation: 700 ft, winter: {outdoors: -10 F, dew point: -15 F, indoors: 68 F, humidity: 30 %}}
levels: {basement: {floor: -8 ft, below grade: 6 ft}, main: {floor: 0 ft}}
envelope: {tightness: 1.0 ach50, exponent: 0.65}
rooms:
  living: {level: main, area: 900 ft2, ceiling: 9 ft}
  basement: {level: basement, area: 900 ft2, ceiling: 7 ft 6 in}
openings:
  stairs: {between: [living, basement], lies: flat, clear: 3 ft x 8 ft}
  entry door: {between: [living, outdoors], leaf: 36 in x 80 in, swings: in, stands: shut}
exhausts:
  range hood: {room: living, wanted: at least 500 cfm, speeds: {high: 600 cfm}}
  bath fan: {room: living, speeds: {on: 80 cfm}}
appliances:
  water heater: {burns: gas, vents: natural draft, room: basement, input: 40000 Btu/h}
make-up air:
  north opening:
    into: living
    duct: {size: 8 in round, made of: galvanized}
    run: [wall cap: {loss: 1.0}, straight: 15 ft, grille: {size: 20 in x 14 in, free: 65 %}]
    damper: {kind: motorized, opens in: 30 s, leaks shut: 5 cfm at 25 Pa, without power: shut}
    starts with: {range hood: high}
"""

UNPICKED = """
house: Not picked yet
site: {elevation: 0 ft}
envelope: {tightness: 0.5 to 0.9 ach50 (likely 0.6), exponent: 0.65}
rooms: {house: {area: 1600 ft2, ceiling: 9 ft}}
exhausts:
  range hood: {room: house, not picked: up to 1200 cfm}
  dryer: {room: house, speeds: {on: 125 cfm}}
make-up air: undecided
"""

BARE = """
house: Bare
site: {elevation: 0 ft}
envelope: {tightness: 1.0 ach50}
rooms: {room: {area: 900 ft2, ceiling: 8 ft}}
"""


@cache
def house(text):
    return loads(text)
