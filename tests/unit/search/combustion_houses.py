"""Invented houses with something that burns, for the tests of flues."""

WINTER_BASEMENT = """
house: Winter basement
site: {elevation: 0 ft, winter: {outdoors: -10 F, dew point: -15 F, indoors: 68 F, humidity: 30 %}}
levels: {basement: {floor: -8 ft, below grade: 6 ft}, main: {floor: 0 ft}}
envelope: {tightness: 1.0 ach50, exponent: 0.65, leaks: {windows: {share: 100 %, height: 2 ft, rooms: [living]}}}
rooms:
  living: {level: main, area: 900 ft2, ceiling: 9 ft}
  basement: {level: basement, area: 900 ft2, ceiling: 7 ft 6 in}
openings:
  stairs: {between: [living, basement], lies: flat, clear: 3 ft x 8 ft}
exhausts:
  bath fan: {room: living, speeds: {low: 20 cfm, high: 80 cfm}}
appliances:
  water heater:
    {burns: gas, vents: natural draft, room: basement, input: 40000 Btu/h, flue: {size: 4 in round, height: 24 ft}}
make-up air: none
states:
  every fan off: {season: winter}
  a small fan: {bath fan: low, season: winter}
  a fan: {bath fan: high, season: winter}
"""

FIREPLACE = """
house: Open fire
site: {elevation: 0 ft, winter: {outdoors: 40 F, dew point: 30 F, indoors: 68 F, humidity: 40 %}}
envelope: {tightness: 1.5 ach50, exponent: 0.65}
rooms: {living: {area: 1500 ft2, ceiling: 9 ft}}
exhausts:
  fireplace: {kind: open fireplace, room: living, speeds: {lit: 300 cfm}}
  bath fan: {room: living, speeds: {on: 80 cfm}}
make-up air: none
"""

SEALED = """
house: Sealed
site: {elevation: 0 ft}
envelope: {tightness: 1.0 ach50}
rooms: {living: {area: 900 ft2, ceiling: 8 ft}}
exhausts: {hood: {room: living, speeds: {high: 400 cfm}}}
appliances:
  furnace: {burns: gas, vents: direct vent, room: living, input: 60000 Btu/h}
  cooktop: {burns: gas, vents: none, room: living}
make-up air: none
"""
