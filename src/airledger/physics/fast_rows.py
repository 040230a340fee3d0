"""The solver's steps for one row after the other, compiled by numba: the same algorithm as `physics.solver`."""

# mypy: disable-error-code="untyped-decorator"
from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from airledger.physics.fast_laws import MOST_NUMBERS, Curves, compiled, flow_and_slope, within
from airledger.physics.solver import ITERATIONS, SEARCHES, SECANTS, STEP_TOLERANCE, STIFF_LIMIT

Array = NDArray[np.float64]
Index = NDArray[np.intp]


class Ways(NamedTuple):
    """The elements: ends (outdoors is the place behind the last node), kind of law, fan curve, pair or ground."""

    tail: Index
    head: Index
    kind: Index
    pair: Index
    ground: Index


class Elimination(NamedTuple):
    """The nodes in order, and from where to where in `near` and `links`, and in `fills`, the entries of each stand."""

    node: Index
    near_from: Index
    near: Index
    links: Index
    fill_from: Index
    fills: Index


class Numbers(NamedTuple):
    """The numbers of all laws: `slot` (elements, MOST_NUMBERS) points into those of a row, or ~slot into the common."""

    slot: Index
    of_row: Array
    common: Array
    offset: Array


class Scratch(NamedTuple):
    """What one row needs while it is solved, made once: nothing is allocated, and nothing counted, within a row.

    By node: pressure, sums, step, origin. By element: numbers, flow, slope, and what start and search keep.
    """

    numbers: Array
    pressure: Array
    flow: Array
    slope: Array
    sums: Array
    step: Array
    origin: Array
    before: Array
    change: Array
    near: Array


@within
def evaluate(ways: Ways, curves: Curves, row: Scratch, offset: Array, near: Array) -> None:
    """Flows, slopes and sums of a row at its pressures, written into the scratch.

    Parameters
    ----------
    ways : Ways
        the elements [-]
    curves : tuple
        fan curves [Pa, m3/s]
    row : Scratch
        where all is read from and written to [-]
    offset : Array
        stack, wind and columns of air [Pa]
    near : Array
        flows close to the answer [kg/s]

    Reference: `physics.solver`.
    """
    row.sums[:] = 0.0
    for element in range(len(ways.tail)):
        tail, head = ways.tail[element], ways.head[element]
        difference = row.pressure[tail] - row.pressure[head] + offset[element]
        flow, slope = flow_and_slope(ways.kind[element], row.numbers, element, curves, difference, near[element])
        row.flow[element], row.slope[element] = flow, slope
        row.sums[tail] += flow
        row.sums[head] -= flow


@within
def _gathered(ways: Ways, row: Scratch, pinned: Index, room: Array) -> None:
    """Slopes summed by pair of nodes and to outdoors, and the right side, written into the room to work in."""
    conductance, ground, right = room[0], room[1], room[2]
    conductance[:] = 0.0
    ground[:] = 1e-250
    for element in range(len(ways.tail)):
        if ways.pair[element] >= 0:
            conductance[ways.pair[element]] += row.slope[element]
        elif ways.ground[element] >= 0:
            ground[ways.ground[element]] += row.slope[element]
    for node in pinned:
        ground[node] += 1.0
    for node in range(len(row.step) - 1):
        right[node] = -row.sums[node]


@within
def newton(ways: Ways, order: Elimination, row: Scratch, pinned: Index, room: Array) -> None:
    """The step d with J d = -sums, by elimination without subtraction, written into the scratch.

    Parameters
    ----------
    ways : Ways
        the elements [-]
    order : Elimination
        the nodes in order [-]
    row : Scratch
        slopes and sums; takes the step [-]
    pinned : Index
        nodes held where they are [-]
    room : Array
        (4, largest of nodes and pairs) to work in [-]

    Reference: `physics.solver`.
    """
    conductance, ground, right, pivots = room[0], room[1], room[2], room[3]
    nodes = len(order.node)
    _gathered(ways, row, pinned, room)
    for place in range(nodes):
        node, first, last = order.node[place], order.near_from[place], order.near_from[place + 1]
        pivot = ground[node]
        for entry in range(first, last):
            pivot += conductance[order.links[entry]]
        pivots[place] = pivot
        for entry in range(first, last):
            share = conductance[order.links[entry]] / pivot
            ground[order.near[entry]] += share * ground[node]
            right[order.near[entry]] += share * right[node]
        for fill in range(order.fill_from[place], order.fill_from[place + 1]):
            one, other, pair = order.fills[fill]
            conductance[pair] += conductance[order.links[first + one]] / pivot * conductance[order.links[first + other]]
    for place in range(nodes - 1, -1, -1):
        node = order.node[place]
        total = right[node]
        for entry in range(order.near_from[place], order.near_from[place + 1]):
            total += conductance[order.links[entry]] * row.step[order.near[entry]]
        row.step[node] = total / pivots[place]


@within
def start(ways: Ways, curves: Curves, order: Elimination, case: tuple, room: Array) -> None:  # type: ignore[type-arg]
    """A good guess by secants, written into the scratch as a point.

    Parameters
    ----------
    ways : Ways
        the elements [-]
    curves : tuple
        fan curves [Pa, m3/s]
    order : Elimination
        the nodes in order [-]
    case : tuple
        the row's scratch, its offsets [Pa] and the pinned nodes [-]
    room : Array
        to work in [-]

    Reference: `physics.solver`.
    """
    row, offset, pinned = case
    count = len(offset)
    rest, at_rest, flow, difference = row.before, row.change, row.near, row.flow
    for e in range(count):
        rest[e], at_rest[e] = flow_and_slope(ways.kind[e], row.numbers, e, curves, 0.0, 0.0)
        difference[e] = max(offset[e], 4.0) if offset[e] >= 0.0 else min(offset[e], -4.0)
        flow[e] = rest[e]
    for _ in range(SECANTS):
        row.sums[:] = 0.0
        for e in range(count):
            flow[e] = flow_and_slope(ways.kind[e], row.numbers, e, curves, difference[e], flow[e])[0]
            tiny = abs(difference[e]) < 1e-9
            row.slope[e] = max(at_rest[e] if tiny else (flow[e] - rest[e]) / difference[e], 0.0)
            straight = rest[e] + row.slope[e] * offset[e]
            row.sums[ways.tail[e]] += straight
            row.sums[ways.head[e]] -= straight
        newton(ways, order, row, pinned, room)
        for e in range(count):
            difference[e] = row.step[ways.tail[e]] - row.step[ways.head[e]] + offset[e]
    for node in range(len(row.step) - 1):
        row.pressure[node] = row.step[node]
    evaluate(ways, curves, row, offset, flow)


@within
def search(ways: Ways, curves: Curves, row: Scratch, offset: Array) -> None:
    """The point along the step where the push along it has fallen to half, written into the scratch.

    Parameters
    ----------
    ways : Ways
        the elements [-]
    curves : tuple
        fan curves [Pa, m3/s]
    row : Scratch
        a point and the step from it [-]
    offset : Array
        stack, wind and columns of air [Pa]

    Reference: `physics.solver`.
    """
    for node in range(len(row.step)):
        row.origin[node] = row.pressure[node]
    for e in range(len(offset)):
        row.before[e] = row.flow[e]
        row.change[e] = row.slope[e] * (row.step[ways.tail[e]] - row.step[ways.head[e]])
    before = abs(_push(row))
    length, low, high, push_low, push_high = 1.0, 0.0, 1.0, -before, 0.0
    for count in range(-1, SEARCHES):  # the whole step first
        if count >= 0:
            width = high - low
            length = min(max(low - push_low * width / (push_high - push_low), low + 0.1 * width), high - 0.1 * width)
            if count % 3 == 2:
                length = 0.5 * (low + high)
        for node in range(len(row.step) - 1):
            row.pressure[node] = row.origin[node] + length * row.step[node]
        for e in range(len(offset)):
            row.near[e] = row.before[e] + length * row.change[e]
        evaluate(ways, curves, row, offset, row.near)
        push = _push(row)
        if (push if count < 0 else abs(push)) <= 0.5 * before:
            break
        if push < 0.0:
            low, push_low = length, push
        else:
            high, push_high = length, push


@within
def _push(row: Scratch) -> float:
    total = 0.0
    for node in range(len(row.step) - 1):
        total += row.sums[node] * row.step[node]
    return total


@within
def _is_solved(row: Scratch) -> bool:
    largest, worst = 1.0, 0.0
    for pressure in row.pressure:
        largest = max(largest, abs(pressure))
    for node in range(len(row.step) - 1):
        scale = largest if largest > STIFF_LIMIT else max(abs(row.pressure[node]), 1.0)
        worst = max(worst, abs(row.step[node]) / scale)
    return worst <= STEP_TOLERANCE


@compiled
def solve_rows(
    layout: tuple,  # type: ignore[type-arg]
    curves: Curves,
    numbers: Numbers,
    answer: tuple,  # type: ignore[type-arg]
) -> None:
    """Every row solved by itself.

    Parameters
    ----------
    layout : tuple
        ways, elimination, pinned nodes [-]
    curves : tuple
        fan curves [Pa, m3/s]
    numbers : Numbers
        of the laws [-]
    answer : tuple
        pressure (rows, nodes) [Pa], converged, iterations: written [-]

    Reference: `physics.solver`.
    """
    ways, order, pinned = layout
    pressure, converged, iterations = answer
    nodes, count = len(order.node), len(ways.tail)
    room = np.empty((4, max(nodes + 1, ways.pair.max() + 1, order.links.max() + 1 if len(order.links) else 1)))
    row = Scratch(
        np.zeros((count, MOST_NUMBERS)),
        np.zeros(nodes + 1),
        np.empty(count),
        np.empty(count),
        np.empty(nodes + 1),
        np.zeros(nodes + 1),
        np.zeros(nodes + 1),
        np.empty(count),
        np.empty(count),
        np.empty(count),
    )
    for case in range(len(pressure)):
        for e in range(count):
            for place in range(MOST_NUMBERS):
                slot = numbers.slot[e, place]
                row.numbers[e, place] = numbers.of_row[case, slot] if slot >= 0 else numbers.common[~slot]
        offset = numbers.offset[case]
        start(ways, curves, order, (row, offset, pinned), room)
        iterations[case] = ITERATIONS
        for step in range(ITERATIONS):
            newton(ways, order, row, pinned, room)
            if _is_solved(row):
                converged[case], iterations[case] = True, step
                break
            search(ways, curves, row, offset)
        pressure[case] = row.pressure[:nodes]
