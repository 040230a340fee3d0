"""A fan test to alter: the reference test of airtightness.md 4, invented readings with computed results."""

from airledger.rules.airtightness_test import AirtightnessTest
from airledger.units import CFM, FOOT

REFERENCE = AirtightnessTest(
    name="reference.csv",
    direction="depressurization",
    pressures=(-62.3, -55.1, -48.0, -40.6, -33.2, -25.9, -18.4, -13.2),
    flows=tuple(flow * CFM for flow in (495, 455, 413, 368, 318, 265, 203, 155)),
    flow_density="indoor",
    indoor_temperature=21.0,
    outdoor_temperature=-5.0,
    indoor_humidity=0.35,
    outdoor_humidity=0.70,
    elevation=300.0,
    barometer=97_800.0,
    volume=25_000 * FOOT**3,
    floor_area=2_600 * FOOT**2,
    envelope_area=7_200 * FOOT**2,
    height=18 * FOOT,
    baselines_before=(-2.6,),
    baselines_after=(-2.2,),
    lines=tuple(range(20, 28)),
)
