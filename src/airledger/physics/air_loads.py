"""Heat and water that a flow of air brings in: what make-up and ventilation air cost."""

from __future__ import annotations

from airledger.physics import Values
from airledger.physics.moist_air import DRY_AIR_HEAT, EVAPORATION_HEAT, VAPOUR_HEAT, AirState


def dry_air_mass_flow(flow: Values, air_state: AirState) -> Values:
    """Mass flow of dry air [kg/s] in a volume flow at the density of its state.

    Parameters
    ----------
    flow : Values
        volume flow [m3/s].
    air_state : AirState
        state of the air where the volume is counted [degC, kg/kg, Pa].

    Reference: Q/v (closed form).
    """
    return flow * air_state.dry_air_density


def sensible_heat(mass_flow: Values, entering: AirState, leaving: AirState) -> Values:
    """Heat that brings entering air to the leaving temperature, taken out of it if positive [W].

    Parameters
    ----------
    mass_flow : Values
        mass flow of dry air [kg/s].
    entering : AirState
        state of the air that comes in [degC, kg/kg, Pa].
    leaving : AirState
        state in which the air is wanted [degC, kg/kg, Pa].

    Reference: m (1.006 + 1.86 W1) (t1 - t2), share of the enthalpy of ASHRAE Fundamentals ch. 1 (closed form).
    """
    specific_heat = DRY_AIR_HEAT + VAPOUR_HEAT * entering.humidity_ratio
    return mass_flow * specific_heat * (entering.temperature - leaving.temperature)


def latent_heat(mass_flow: Values, entering: AirState, leaving: AirState) -> Values:
    """Heat of the water that has to leave the air, positive if it is dried [W].

    Parameters
    ----------
    mass_flow : Values
        mass flow of dry air [kg/s].
    entering : AirState
        state of the air that comes in [degC, kg/kg, Pa].
    leaving : AirState
        state in which the air is wanted [degC, kg/kg, Pa].

    Reference: 2501 m (W1 - W2), share of the enthalpy of ASHRAE Fundamentals ch. 1 (closed form).
    """
    return EVAPORATION_HEAT * condensed_water(mass_flow, entering, leaving)


def condensed_water(mass_flow: Values, entering: AirState, leaving: AirState) -> Values:
    """Water that has to leave the air, negative if it has to be added [kg/s].

    Parameters
    ----------
    mass_flow : Values
        mass flow of dry air [kg/s].
    entering : AirState
        state of the air that comes in [degC, kg/kg, Pa].
    leaving : AirState
        state in which the air is wanted [degC, kg/kg, Pa].

    Reference: water balance m (W1 - W2) (closed form).
    """
    return mass_flow * (entering.humidity_ratio - leaving.humidity_ratio)
