"""The laws of the network: what flows through an element at a pressure difference, and the slope of it.

One protocol: ``flow_and_slope(x)`` takes x = pressure at the tail minus pressure at the head, heads of air columns
included [Pa],
as an array (elements, rows), and gives the mass flow of dry air [kg/s] from tail to head with its exact derivative
[kg/(s Pa)].
Every flow rises (or stays) as x rises; that alone makes the solution unique. ``of_rows(index)`` is the law of some of
the rows.
Parameters are arrays (elements, 1) or (elements, rows); the density is that of the air which enters: forward or
reverse.

Near zero each law is smooth over `SMOOTH` Pa, so that the slope stays finite: x^n becomes x (x^2 + e^2)^((n-1)/2).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from airledger.physics.batched import Batched
from airledger.physics.duct_friction import karman_number_squared

Array = NDArray[np.float64]
Index = NDArray[np.intp]

SMOOTH = 1e-7
"""Pressure difference over which a law is rounded off near zero [Pa]."""

RAMP = 0.5
"""Pressure span over which a gravity damper swings open [Pa]."""


class Law(Protocol):
    """What an element lets through."""

    def flow_and_slope(self, difference: Array, near: Array | None = None) -> tuple[Array, Array]:
        """Mass flow of dry air [kg/s] and its derivative [kg/(s Pa)] at a pressure difference [Pa].

        near: a flow that the answer is close to, where one is known [kg/s]; it may save work, never change the answer.
        """
        ...

    def of_rows(self, rows: Index) -> Law:
        """The same law for some of the rows."""
        ...

    def of_elements(self, places: Index) -> Law:
        """The same law for some of its elements."""
        ...


@dataclass(frozen=True)
class PowerLaw(Batched):
    """A leak, crack, gap or orifice: m = c dP^n. forward, reverse [kg/(s Pa^n)], exponent [-] 0.5 to 1.

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 36, 40.
    """

    forward: Array
    reverse: Array
    exponent: Array

    def flow_and_slope(self, difference: Array, near: Array | None = None) -> tuple[Array, Array]:
        """Mass flow [kg/s] and slope [kg/(s Pa)].

        Parameters
        ----------
        difference : Array
            pressure difference [Pa]
        near : Array | None
            a flow close to the answer, where one is known [kg/s]

        Reference: rounding near zero as in the module's head.
        """
        square = difference * difference
        smooth = square + SMOOTH * SMOOTH
        coefficient = np.where(difference >= 0, self.forward, self.reverse)
        square_law = self.exponent.shape[1] == 1 and np.all(
            self.exponent == 0.5
        )  # a square root costs a third of a power
        factor = 1 / np.sqrt(np.sqrt(smooth)) if square_law else smooth ** ((self.exponent - 1) / 2)
        power = coefficient * factor
        slope = power * (self.exponent * square + SMOOTH * SMOOTH) / smooth
        return power * difference, slope


@dataclass(frozen=True)
class OrificeLaw(Batched):
    """An opening with sharp edges: m = c dP^0.5, the power law whose root costs a third of a power.

    forward, reverse [kg/(s Pa^0.5)].

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 36.
    """

    forward: Array
    reverse: Array

    def flow_and_slope(self, difference: Array, near: Array | None = None) -> tuple[Array, Array]:
        """Mass flow [kg/s] and slope [kg/(s Pa)].

        Parameters
        ----------
        difference : Array
            pressure difference [Pa]
        near : Array | None
            a flow close to the answer, where one is known [kg/s]

        Reference: rounding near zero as in the module's head.
        """
        square = difference * difference
        smooth = square + SMOOTH * SMOOTH
        root = np.where(difference >= 0, self.forward, self.reverse) / np.sqrt(np.sqrt(smooth))
        return root * difference, root * (0.5 * square + SMOOTH * SMOOTH) / smooth


@dataclass(frozen=True)
class FixedFlow(Batched):
    """A machine taken as holding its flow: the stiff fan. mass_flow [kg/s].

    Reference: the limiting case of a steep fan curve (closed form).
    """

    mass_flow: Array

    def flow_and_slope(self, difference: Array, near: Array | None = None) -> tuple[Array, Array]:
        """Mass flow [kg/s] and slope [kg/(s Pa)], which is zero.

        Parameters
        ----------
        difference : Array
            pressure difference [Pa]
        near : Array | None
            a flow close to the answer, where one is known [kg/s]

        Reference: definition of a stiff fan.
        """
        flow = self.mass_flow + np.zeros_like(difference)
        return flow, np.zeros_like(difference)


@dataclass(frozen=True)
class FanLaw(Batched):
    """A fan by its curve, at any speed, beyond free delivery and in backflow too.

    knots [Pa] rising pressure rises of the curve at full speed, coefficients (4, segments) of its cubic pieces in
    flow [m3/s];
    resistance k [Pa s2/m6] of the square laws outside; speed [-] 0 to 1 (a stopped fan is a plain resistance);
    size [-] factor on the flow; forward, reverse [kg/m3] dry-air densities; thickness [-]: density of the air that
    enters over that of the curve, by which every pressure of the fan goes.

    Reference: fan laws Q ~ N, P ~ rho N^2 (ASHRAE Fundamentals 2021 ch. 21); continuation by square laws is own.
    """

    knots: tuple[float, ...]
    coefficients: tuple[tuple[float, ...], ...]
    resistance: float
    speed: Array
    size: Array
    forward: Array
    reverse: Array
    thickness: Array = field(default_factory=lambda: np.ones((1, 1)))

    def flow_and_slope(self, difference: Array, near: Array | None = None) -> tuple[Array, Array]:
        """Mass flow [kg/s] and slope [kg/(s Pa)].

        Parameters
        ----------
        difference : Array
            pressure at the inlet side minus pressure at the outlet side [Pa]
        near : Array | None
            a flow close to the answer, where one is known [kg/s]

        Reference: class.
        """
        square, bottom, top, start = self._constants
        rise = -difference
        inside, inside_slope = self._curve(rise / square)
        below, below_slope = _root(bottom - rise, start, self.resistance * self.thickness)
        above, above_slope = _root(rise - top, 0.0, self.resistance * self.thickness)
        low, high = rise <= bottom, rise > top
        flow = np.where(high, -above, np.where(low, below, inside))
        slope = np.where(high, above_slope, np.where(low, below_slope, inside_slope))
        density = np.where(flow >= 0, self.forward, self.reverse) * self.size
        return density * flow, density * slope

    @cached_property
    def _constants(self) -> tuple[Array, Array, Array, Array]:
        """Factor on pressures (never quite 0), both ends of the curve at that speed, k Q0^2 of free delivery [Pa]."""
        square = self.speed * self.speed * self.thickness
        free_flow = self.coefficients[3][0]
        start = self.resistance * square * free_flow**2
        return np.maximum(square, 1e-300), self.knots[0] * square, self.knots[-1] * square, start

    def _curve(self, scaled: Array) -> tuple[Array, Array]:
        knots = np.asarray(self.knots)
        table = np.asarray(self.coefficients)
        held = np.clip(scaled, knots[0], knots[-1])
        piece = np.clip(np.searchsorted(knots, held, side="right") - 1, 0, len(knots) - 2)
        step = held - knots[piece]
        cubic, square, line, constant = (table[row][piece] for row in range(4))
        flow = ((cubic * step + square) * step + line) * step + constant
        slope = (3 * cubic * step + 2 * square) * step + line
        return self.speed * flow, -slope / np.maximum(self.speed * self.thickness, 1e-150)


def _root(pressure: Array, start: Array | float, resistance: Array) -> tuple[Array, Array]:
    """Flow and slope of sqrt((start + pressure)/k) for pressure >= 0; rounded off where start is next to nothing."""
    total = np.maximum(pressure, 0.0) + start
    flow = np.sqrt(total / resistance)
    slope = 0.5 / np.sqrt(np.maximum(total, 1e-300) * resistance)
    smooth = total * total + SMOOTH * SMOOTH
    rounded = total / np.sqrt(np.sqrt(smooth) * resistance)
    rounded_slope = rounded_derivative(total, smooth) / np.sqrt(resistance)
    exact = np.asarray(start) > 1e-2
    return np.where(exact, flow, rounded), np.where(exact, slope, rounded_slope)


def rounded_derivative(value: Array, smooth: Array) -> Array:
    """Derivative of x (x^2 + e^2)^(-1/4) [1/sqrt(unit of x)].

    Parameters
    ----------
    value : Array
        x [Pa]
    smooth : Array
        x^2 + e^2 [Pa2]

    Reference: closed form.
    """
    derivative: Array = (0.5 * value * value + SMOOTH * SMOOTH) / smooth / np.sqrt(np.sqrt(smooth))
    return derivative


@dataclass(frozen=True)
class RunLaw(Batched):
    """A duct run: friction, fittings and filter in series, the loss inverted for the flow by Newton steps.

    length [m] (compression factor included), diameter [m] hydraulic, roughness [m], area [m2]; local [1/m4]: sum of
    K/(2 A^2);
    filter_pressure [Pa] at filter_flow [m3/s] with filter_exponent [-]; forward/reverse: moist density [kg/m3],
    dry-air density [kg/m3];
    viscosity [Pa s].

    Reference: ASHRAE Fundamentals 2021 ch. 21 eq. 18-21, 34.
    """

    length: Array
    diameter: Array
    roughness: Array
    area: Array
    local: Array
    filter_pressure: Array
    filter_flow: Array
    filter_exponent: Array
    density_forward: Array
    density_reverse: Array
    dry_forward: Array
    dry_reverse: Array
    viscosity: Array

    STEPS = 40
    LAST_STEP = 1e-8  # Newton doubles the digits: the step after this one would be rounding

    def flow_and_slope(self, difference: Array, near: Array | None = None) -> tuple[Array, Array]:
        """Mass flow [kg/s] and slope [kg/(s Pa)].

        Parameters
        ----------
        difference : Array
            pressure difference [Pa]
        near : Array | None
            a flow close to the answer, where one is known [kg/s]

        Reference: class; Newton on ln P over ln Q, whose slope lies near 1 to 2, each element held once its step is
        next to nothing.
        """
        forward = difference >= 0
        density = np.where(forward, self.density_forward, self.density_reverse)
        dry = np.where(forward, self.dry_forward, -self.dry_reverse)
        size = np.maximum(np.abs(difference), 1e-290)
        flow = self._guess(size, density)
        if near is not None:
            close = near / dry
            flow = np.where(close > 0.25 * flow, close, flow)
        moves, slope = np.ones(flow.shape, dtype=bool), np.ones_like(flow)
        for _ in range(self.STEPS):
            loss, fresh = self.loss_and_slope(flow, density)
            slope = np.where(moves, fresh, slope)
            step = np.where(moves, loss / (flow * fresh) * np.log(size / loss), 0.0)
            flow = flow * np.exp(step)
            moves &= np.abs(step) > self.LAST_STEP
            if not moves.any():
                break
        return dry * flow, np.abs(dry) / slope

    def _guess(self, size: Array, density: Array) -> Array:
        """A volume flow [m3/s] near the one that loses so much pressure: friction factor of middling ducts."""
        loss = self.local + 0.022 * self.length / (2 * self.diameter * self.area * self.area)
        filtered = self.filter_pressure / (self.filter_flow * self.filter_flow)
        flow: Array = np.sqrt(size / (density * loss + filtered + 1e-30))
        return flow

    @cached_property
    def _constants(self) -> tuple[Array, Array, Array]:
        """Reynolds number over density and flow, friction loss times density over f Re^2, relative roughness."""
        friction = self.viscosity * self.viscosity * self.length / (2 * self.diameter**3)
        return self.diameter / (self.area * self.viscosity), friction, self.roughness / self.diameter

    def loss_and_slope(self, flow: Array, density: Array) -> tuple[Array, Array]:
        """Pressure lost [Pa] at a flow above 0 and its derivative [Pa s/m3].

        Parameters
        ----------
        flow : Array
            volume flow [m3/s]
        density : Array
            moist density of the air in the duct [kg/m3]

        Reference: class.
        """
        reynolds_per_flow, friction_factor, roughness = self._constants
        per_flow = density * reynolds_per_flow
        friction, friction_slope = karman_number_squared(flow * per_flow, roughness)
        factor = friction_factor / density
        inertia = density * self.local
        knee = SMOOTH / np.maximum(inertia, 1e-30)  # square of the flow below which the fittings' law is straight
        square = flow * flow
        fourth_power = square * square
        smooth = np.sqrt(fourth_power + knee * knee)
        fourth = np.sqrt(smooth)
        loss = factor * friction + inertia * flow * fourth
        slope = factor * friction_slope * per_flow + inertia * (fourth + fourth_power / (smooth * fourth))
        if np.any(self.filter_pressure):
            filtered = self.filter_pressure * (flow / self.filter_flow) ** self.filter_exponent
            loss = loss + filtered
            slope = slope + self.filter_exponent * filtered / flow
        return loss, slope


@dataclass(frozen=True)
class GravityLaw(Batched):
    """The open way of a gravity damper: nothing until it opens, then a square law.

    Its shut leakage is a `PowerLaw` beside it.

    forward [kg/(s Pa^0.5)] fully open; opens_at [Pa].

    Reference: dP = p_open + K rho V^2/2, swung open by a smoothstep over 0.5 Pa (model of ducts.md 5, from memory).
    """

    forward: Array
    opens_at: Array

    def flow_and_slope(self, difference: Array, near: Array | None = None) -> tuple[Array, Array]:
        """Mass flow [kg/s] and slope [kg/(s Pa)].

        Parameters
        ----------
        difference : Array
            pressure difference [Pa]
        near : Array | None
            a flow close to the answer, where one is known [kg/s]

        Reference: class.
        """
        beyond = np.maximum(difference - self.opens_at, 0.0)
        part = np.minimum(beyond / RAMP, 1.0)
        step, step_slope = part * part * (3 - 2 * part), 6 * part * (1 - part) / RAMP
        root = np.sqrt(beyond)
        flow = self.forward * step * root
        slope = self.forward * (step_slope * root + step / (2 * np.maximum(root, 1e-150)))
        return flow, slope
