"""Pressure lost in a filter, by the two laws that makers' points are drawn through.

P = a Q + b Q^2 through two points, or P = Pr (Q/Qr)^m through one, with m from 1 (pure media) to 2 (pure frame).
"""

from __future__ import annotations

import numpy as np

from airledger.errors import OutOfRange
from airledger.physics import Values
from airledger.physics.validity import outlier


def filter_coefficients(first: tuple[float, float], second: tuple[float, float]) -> tuple[float, float]:
    """Linear [Pa s/m3] and square [Pa s2/m6] coefficient of a filter through two of the maker's points.

    Parameters
    ----------
    first : tuple[float, float]
        one point, flow and pressure loss [m3/s, Pa].
    second : tuple[float, float]
        a point at a greater flow [m3/s, Pa].

    Raises
    ------
    OutOfRange
        the loss rises less than with the flow or more than with its square (a coefficient below 0).

    Reference: two equations in a and b (closed form).
    """
    exponent = filter_exponent(first, second)
    if (odd := outlier(exponent, 1.0, 2.0)) is not None:
        raise OutOfRange("exponent of the filter's loss", odd, 1.0, 2.0, "-")
    ratio_first, ratio_second = first[1] / first[0], second[1] / second[0]
    square = (ratio_second - ratio_first) / (second[0] - first[0])
    return ratio_first - square * first[0], square


def filter_exponent(first: tuple[float, float], second: tuple[float, float]) -> float:
    """Exponent m [-] of a filter's loss through two of the maker's points.

    Parameters
    ----------
    first : tuple[float, float]
        one point, flow and pressure loss [m3/s, Pa].
    second : tuple[float, float]
        a point at a greater flow [m3/s, Pa].

    Raises
    ------
    OutOfRange
        flows not above 0 or the second not greater than the first.

    Reference: m = ln(P2/P1)/ln(Q2/Q1) (closed form).
    """
    if not 0.0 < first[0] < second[0]:
        raise OutOfRange("flow of the filter's second point", second[0], first[0], float("inf"), "m3/s")
    return float(np.log(second[1] / first[1]) / np.log(second[0] / first[0]))


def filter_loss(flow: Values, linear: Values, square: Values) -> Values:
    """Pressure lost in a filter [Pa]; it has the sign of the flow.

    Parameters
    ----------
    flow : Values
        volume flow [m3/s].
    linear : Values
        linear coefficient a [Pa s/m3].
    square : Values
        square coefficient b [Pa s2/m6].

    Reference: P = a Q + b Q^2, MEMORY.
    """
    loss: Values = linear * flow + square * flow * np.abs(flow)
    return loss


def filter_flow(loss: Values, linear: Values, square: Values) -> Values:
    """Volume flow [m3/s] at a pressure loss; it has the sign of the loss.

    Parameters
    ----------
    loss : Values
        pressure loss [Pa].
    linear : Values
        linear coefficient a [Pa s/m3].
    square : Values
        square coefficient b [Pa s2/m6].

    Reference: P = a Q + b Q^2 solved for Q (closed form).
    """
    flow: Values = 2.0 * loss / (linear + np.sqrt(linear * linear + 4.0 * square * np.abs(loss)))
    return flow


def filter_power_loss(flow: Values, rated_flow: Values, rated_loss: Values, loss_exponent: Values) -> Values:
    """Pressure lost in a filter known at one point [Pa]; it has the sign of the flow.

    Parameters
    ----------
    flow : Values
        volume flow [m3/s].
    rated_flow : Values
        flow of the maker's point [m3/s].
    rated_loss : Values
        loss at that flow [Pa].
    loss_exponent : Values
        exponent m, 1 for media alone to 2 for frames alone [-].

    Raises
    ------
    OutOfRange
        exponent outside 1 to 2.

    Reference: P = Pr (Q/Qr)^m, m 1 to 1.5, MEMORY.
    """
    if (odd := outlier(loss_exponent, 1.0, 2.0)) is not None:
        raise OutOfRange("exponent of the filter's loss", odd, 1.0, 2.0, "-")
    loss: Values = rated_loss * np.sign(flow) * np.power(np.abs(flow) / rated_flow, loss_exponent)
    return loss
