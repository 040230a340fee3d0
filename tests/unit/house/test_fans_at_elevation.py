"""Fans in thin air: the pressure of a fan goes with the density of its air, the flow stays (fan laws, from memory)."""

from __future__ import annotations

import psychrolib
import pytest
from scipy.interpolate import PchipInterpolator

from tests.houses import CFM, solved

psychrolib.SetUnitSystem(psychrolib.SI)
INWC = 249.0889

UNIT = """
house: high
site: {elevation: ELEVATION, summer: {outdoors: 20 C, dew point: -40 C, indoors: 20 C, humidity: 1 %}}
envelope: {tightness: 1.0 ach50, exponent: 0.65, taped at the test: [ventilator, hood]}
rooms: {house: {area: 1500 ft2, ceiling: 8 ft}}
ventilator:
  kind: erv
  speeds: {low: 80 cfm, boost: {supply: 160 cfm, exhaust: 150 cfm}}
  supplies: {house: 100 %}
  takes from: {house: 100 %}
exhausts:
  hood:
    room: house
    speeds: {high: 700 cfm}
    fan curve: {at: high, points: [[0 cfm, 1.6 inwc], [450 cfm, 0.9 inwc], [700 cfm, 0.2 inwc]]}
make-up air: none
states: {low: {ventilator: low}, boost: {ventilator: boost}, hood: {ventilator: off, hood: high}}
"""


@pytest.mark.parametrize("elevation", ["0 ft", "5000 ft", "8000 ft"])
def test_a_ventilator_gives_the_flow_it_was_set_to_wherever_it_stands(elevation: str) -> None:
    """Fan and ducts both go with the density, so that the volume flow that was set on balancing day comes out."""
    supply, exhaust = solved(UNIT.replace("ELEVATION", elevation)).ventilator_flow()
    assert supply[0] == pytest.approx(80 * CFM, rel=1e-3)
    assert exhaust[0] == pytest.approx(80 * CFM, rel=1e-3)
    assert supply[1] == pytest.approx(160 * CFM, rel=5e-3)  # 10 cfm of imbalance lift the house by some pascals
    assert exhaust[1] == pytest.approx(150 * CFM, rel=5e-3)


@pytest.mark.parametrize("elevation_feet", [0, 5000, 8000])
def test_a_hood_in_thin_air_has_less_pressure(elevation_feet: int) -> None:
    readout = solved(UNIT.replace("ELEVATION", f"{elevation_feet} ft"))
    barometer = psychrolib.GetStandardAtmPressure(elevation_feet * 0.3048)
    humidity = psychrolib.GetHumRatioFromRelHum(20.0, 0.01, barometer)
    density = (1 + humidity) / psychrolib.GetMoistAirVolume(20.0, humidity, barometer)
    pull = -float(readout.house_pressure()[2])
    flow = float(readout.machine_flow("hood")[2])
    standard = pull * 1.2041 / density  # what the same fan would give in standard air at this flow
    shape = PchipInterpolator([0.2 * INWC, 0.9 * INWC, 1.6 * INWC], [700 * CFM, 450 * CFM, 0.0])
    assert flow == pytest.approx(float(shape(standard)), rel=1e-5)
