"""Every physics function: arrays in equal scalars in a loop, bit for bit, and the shape comes back."""

import numpy as np
import pytest

from airledger.physics import (
    air_loads,
    crack,
    damper,
    door_force,
    duct_friction,
    duct_sizing,
    fan,
    fitting_loss,
    leakage,
    moist_air,
    opening,
    saturation,
    stack_and_wind,
)
from airledger.physics import filter as air_filter

CRACK = crack.Crack(0.002, 1.0, 0.04)
DAMPER = damper.GravityDamper(0.05, 2.0, 12.0, 0.001)
SECTION = duct_friction.DuctSection(5.0, 0.2, 9e-5, 3.0, 1.5)
CURVE = fan.fan_curve(((0.0, 400.0), (0.2, 250.0), (0.4, 50.0)))
STATE = moist_air.AirState(30.0, 0.018)
INSIDE = moist_air.AirState(24.0, 0.0093)
FLOWS = np.array([-0.3, -0.02, -1e-6, 0.0, 1e-6, 0.004, 0.05, 0.3])
PRESSURES = np.array([-250.0, -50.0, -4.0, -1e-5, 0.0, 1e-5, 0.3, 12.2, 60.0])
UP = np.array([1e-3, 0.4, 4.0, 33.0, 120.0])
SHARES = np.array([0.0, 0.1, 0.37, 0.5, 0.99, 1.0])
REYNOLDS = np.array([0.5, 900.0, 2000.0, 2600.0, 3999.0, 4000.0, 3e4, 2e6])
TEMPERATURES = np.array([-25.0, -0.5, 0.0, 0.005, 0.02, 14.0, 38.0])
RATIOS = np.array([1e-4, 0.0006, 0.003])
ANGLES = np.array([0.0, 0.4, 1.2, np.pi / 2])

CALLS = {
    "air mass": (lambda x: air_loads.dry_air_mass_flow(x, STATE), FLOWS),
    "sensible": (lambda x: air_loads.sensible_heat(x, STATE, INSIDE), FLOWS),
    "latent": (lambda x: air_loads.latent_heat(x, STATE, INSIDE), FLOWS),
    "crack flow": (lambda x: crack.crack_flow(x, CRACK, 1.2, 1.8e-5), PRESSURES),
    "crack exponent": (lambda x: crack.crack_exponent(x, CRACK, 1.2, 1.8e-5), PRESSURES),
    "gravity damper": (lambda x: damper.gravity_damper_flow(x, DAMPER, 1.2), PRESSURES),
    "motorized damper": (lambda x: damper.motorized_damper_coefficient(x, 0.1, 0.001), SHARES),
    "damper position": (lambda x: damper.damper_position(x, 60.0), UP),
    "door force": (lambda x: door_force.door_force(x, 0.9, 1.8, 0.07, 3.0), PRESSURES),
    "pressure of force": (lambda x: door_force.pressure_of_door_force(x, 0.9, 1.8, 0.07, 3.0), UP),
    "friction factor": (lambda x: duct_friction.friction_factor(x, 4e-4), REYNOLDS),
    "friction slope": (lambda x: duct_friction.friction_factor_slope(x, 4e-4), REYNOLDS),
    "karman": (lambda x: duct_friction.karman_number_squared(x, 4e-4), REYNOLDS),
    "colebrook": (lambda x: duct_friction.colebrook(x, 4e-4), REYNOLDS[2:]),
    "friction loss": (lambda x: duct_friction.friction_loss(x, 3.0, 0.15, 9e-5, 1.2, 1.8e-5), FLOWS),
    "pressure loss": (lambda x: duct_friction.pressure_loss(x, SECTION, 1.2, 1.8e-5), FLOWS),
    "flow at loss": (lambda x: duct_friction.flow_at_loss(x, SECTION, 1.2, 1.8e-5), PRESSURES),
    "compression": (lambda x: duct_friction.flex_compression_factor(0.15, 0.4 * x), SHARES),
    "diameter": (lambda x: duct_sizing.diameter_for_friction(x, 1.0, 9e-5, 1.2, 1.8e-5), FLOWS[4:]),
    "fan": (lambda x: fan.fan_flow(x, CURVE), np.array([50.0, 70.0, 250.0, 251.0, 400.0])),
    "parabola": (lambda x: fan.parabola_flow(x, 400.0, 0.4), PRESSURES),
    "parabola pressure": (lambda x: fan.parabola_pressure(x, 400.0, 0.4), FLOWS),
    "filter": (lambda x: air_filter.filter_flow(x, 100.0, 300.0), PRESSURES),
    "filter loss": (lambda x: air_filter.filter_loss(x, 100.0, 300.0), FLOWS),
    "filter power": (lambda x: air_filter.filter_power_loss(x, 0.1, 30.0, 1.26), FLOWS),
    "expansion": (fitting_loss.sudden_expansion, SHARES),
    "contraction": (fitting_loss.sudden_contraction, SHARES),
    "cone in": (lambda x: fitting_loss.conical_contraction(0.6, 0.1 + x), ANGLES),
    "cone out": (lambda x: fitting_loss.conical_expansion(0.6, 0.1 + 0.5 * x), ANGLES),
    "mitre": (fitting_loss.mitred_bend, ANGLES),
    "bend": (lambda x: fitting_loss.smooth_bend(1.0, x), ANGLES),
    "loss flow": (lambda x: fitting_loss.flow_through_loss(x, 0.05, 3.0, 1.2), PRESSURES),
    "leak": (lambda x: leakage.leakage_flow(0.01, x, 0.65), PRESSURES),
    "leak pressure": (lambda x: leakage.leakage_pressure(x, 0.01, 0.65), FLOWS),
    "leak area": (lambda x: leakage.leakage_area(0.01, 0.5 + 0.5 * x), SHARES),
    "correction": (lambda x: leakage.air_correction(0.5 + 0.5 * x, 1.3, 1.7e-5), SHARES),
    "series": (lambda x: leakage.series_flow_coefficient(x, 0.2, 0.65), UP),
    "saturation": (saturation.saturation_pressure, TEMPERATURES),
    "saturation inverse": (saturation.saturation_temperature, 20.0 * UP),
    "humidity": (lambda x: moist_air.humidity_ratio_from_relative_humidity(20.0, x), SHARES),
    "wet bulb": (lambda x: moist_air.wet_bulb(x, 1e-4), TEMPERATURES),
    "wet bulb by ratio": (lambda x: moist_air.wet_bulb(15.0, x), RATIOS),
    "from wet bulb": (lambda x: moist_air.humidity_ratio_from_wet_bulb(x + 1.0, x), TEMPERATURES),
    "dew point": (moist_air.dew_point, RATIOS),
    "density": (lambda x: moist_air.density(x, 0.002), TEMPERATURES),
    "viscosity": (moist_air.viscosity, TEMPERATURES),
    "altitude": (moist_air.standard_pressure, 10.0 * UP),
    "orifice": (lambda x: opening.orifice_flow(x, 0.01), PRESSURES),
    "orifice pressure": (lambda x: opening.orifice_pressure(x, 0.01), FLOWS),
    "doorway": (opening.doorway_discharge_coefficient, TEMPERATURES),
    "strips": (lambda x: opening.strip_heights(x, 2.0), SHARES),
    "stack": (lambda x: stack_and_wind.stack_pressure(x, 1.2, 1.3), SHARES),
    "wind": (lambda x: stack_and_wind.wind_speed_at_height(x, 5.0, "suburb"), UP),
    "facade": (stack_and_wind.facade_pressure_coefficient, ANGLES),
    "wall mean": (lambda x: stack_and_wind.wall_mean_pressure_coefficient(x, 2.0), ANGLES),
    "shelter": (lambda x: stack_and_wind.shelter_factor(x, (0.9, 0.5, 0.7, 0.3)), ANGLES),
}  # fmt: skip


def parts(answer):
    return answer if isinstance(answer, tuple) else (answer,)


@pytest.mark.parametrize("name", CALLS)
def test_an_array_equals_a_loop_over_its_values(name):
    law, values = CALLS[name]
    together = parts(law(values))
    alone = [parts(law(float(value))) for value in values]
    for index, column in enumerate(together):
        assert np.shape(column) == values.shape
        one_by_one = np.array([answer[index] for answer in alone])
        # numpy takes another route for long arrays than for one number: a few units in the last place
        np.testing.assert_allclose(column, one_by_one, rtol=2e-14, atol=1e-300)
        assert all(isinstance(answer[index], float) for answer in alone)


@pytest.mark.parametrize("name", CALLS)
def test_a_value_does_not_depend_on_its_neighbours(name):
    law, values = CALLS[name]
    square = np.tile(values, (3, 1))
    for column, reversed_column in zip(parts(law(square)), parts(law(values[::-1])), strict=True):
        np.testing.assert_allclose(column[1], reversed_column[::-1], rtol=2e-14, atol=1e-300)
