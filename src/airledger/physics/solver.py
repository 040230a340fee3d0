"""Solving rows of a network: batched Newton with a safeguard that cannot cycle.

The flows out of every node must sum to zero. Every law rises with its pressure difference, so the sum is the gradient
of a convex function of the pressures and has one zero. A few solutions with secants lead near it. Newton's step d is
then taken whole where r(p + d).d is at most half of |r(p).d| (r: the sums); where it overshoots, a length t is
bracketed at which |r(p + t d).d| has fallen to half. Plain Newton cycles for ever at n = 0.5 (docs/theory/network.md).

The linear systems are eliminated node by node across the batch, least degree first, keeping the conductance to
outdoors apart from those between nodes: every update is an addition of positive numbers, so no pivot is ever lost. At
the end the flows of one last tangent step are reported: they close to rounding, and each lies within its law at the
reported pressures.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from airledger.errors import NotConverged, NoWayForAir, StiffFan
from airledger.physics.laws import FixedFlow
from airledger.physics.network import OUTSIDE, Network, Rows

Array = NDArray[np.float64]
Index = NDArray[np.intp]

ITERATIONS = 400
"""Newton steps after which a row counts as unsolved."""

STEP_TOLERANCE = 1e-11
"""Relative size of the last step in pressure at which a row is solved [-]."""

SECANTS = 4
"""Solutions with secants before the first Newton step: measured best of 1 to 6 on houses and random networks [-]."""

STILL = 1e-30
"""Flow [kg/s] and pressure [Pa] below which nothing moves: what is left of rounding when nothing drives air."""

SEARCHES = 40
"""Trials along one Newton step [-]."""

REFINEMENTS = 2
"""Tangent steps for the reported flows: the second takes away the rounding of the first [-]."""

TOGETHER = 4_000
"""Rows that are carried along together: a thousand is as fast on a busy machine, slower on a quiet one [-]."""

STIFF_LIMIT = 1000.0
"""Pressure past which a fan taken as holding its flow is refused [Pa]."""


@dataclass(frozen=True)
class Solution:
    """Solved rows.

    pressure [Pa] (nodes, rows); flow [kg/s of dry air] (elements, rows); converged (rows);
    residual_relative [-] (rows): largest over nodes of |sum of flows| / max(half the sum of their sizes, 1e-6 of the
    row's largest).
    """

    network: Network
    pressure: Array
    flow: Array
    converged: NDArray[np.bool_]
    residual_relative: Array
    iterations: Index


class _Point(NamedTuple):
    """A point of the search: pressures, flows, slopes, sums at the nodes."""

    pressure: Array
    flow: Array
    slope: Array
    sums: Array


def solve(network: Network, rows: Rows) -> Solution:
    """Pressures and flows of every row.

    Parameters
    ----------
    network : Network
        the topology [-]
    rows : Rows
        the numbers, one column a state [-]

    Raises
    ------
    NoWayForAir
        a machine of fixed flow moves air in rooms that nothing else joins to outdoors.

    Reference: line search on the slope of the content function; see the module's head and docs/theory/network.md.
    """
    pinned = pinned_nodes(network, rows)
    if rows.size <= TOGETHER:
        return _solved(network, rows, pinned)
    blocks = (np.arange(first, min(first + TOGETHER, rows.size)) for first in range(0, rows.size, TOGETHER))
    parts = [_solved(network, rows.of_rows(block), pinned) for block in blocks]
    return Solution(
        network,
        np.concatenate([part.pressure for part in parts], axis=1),
        np.concatenate([part.flow for part in parts], axis=1),
        np.concatenate([part.converged for part in parts]),
        np.concatenate([part.residual_relative for part in parts]),
        np.concatenate([part.iterations for part in parts]),
    )


def _solved(network: Network, rows: Rows, pinned: Index) -> Solution:
    """The rows of one block."""
    pressure = np.zeros((len(network.nodes), rows.size))
    converged = np.zeros(rows.size, dtype=bool)
    iterations = np.zeros(rows.size, dtype=np.intp)
    left, part = np.arange(rows.size), rows
    point = _start(network, part, pinned)
    for count in range(ITERATIONS):
        step = _newton_step(network, point, pinned)
        done = _is_solved(point.pressure, step)
        if done.any():
            pressure[:, left[done]] = point.pressure[:, done]
            converged[left[done]], iterations[left[done]] = True, count
            keep = np.flatnonzero(~done)
            left, part, step = left[keep], part.of_rows(keep), np.ascontiguousarray(step[:, keep])
            point = _Point(*(np.ascontiguousarray(array[:, keep]) for array in point))
        if not len(left):
            break
        point = _searched(network, part, point, step)
    pressure[:, left] = point.pressure
    iterations[left] = ITERATIONS
    return reported(network, rows, pressure, pinned, converged, iterations)


def _is_solved(pressure: Array, step: Array) -> NDArray[np.bool_]:
    """Whether the last step was next to nothing in every node.

    Past 1,000 Pa, where a stiff fan is refused anyway, against the row's largest pressure: rounding allows no more.
    """
    size = np.abs(pressure)
    largest = np.max(size, axis=0, initial=1.0)
    scale = np.where(largest > STIFF_LIMIT, largest, np.maximum(size, 1.0))
    solved: NDArray[np.bool_] = np.max(np.abs(step) / scale, axis=0, initial=0.0) <= STEP_TOLERANCE
    return solved


def require_solved(solution: Solution, rows: Rows) -> None:
    """Refuse a batch in which a row is unsolved or pulled past what a real fan could do.

    Parameters
    ----------
    solution : Solution
        what `solve` gave [-]
    rows : Rows
        its rows, for their names and laws [-]

    Raises
    ------
    NotConverged
        a row was left unsolved.
    StiffFan
        a machine of fixed flow holds a room past 1,000 Pa.

    Reference: no fan of a house gives 1,000 Pa, common practice, no source.
    """
    if not solution.converged.all():
        row = int(np.flatnonzero(~solution.converged)[0])
        node = int(np.argmax(np.abs(_sums(solution.network, solution.flow)[:, row])))
        raise NotConverged(rows.name(row), solution.network.nodes[node], float(solution.residual_relative[row]))
    for index, law in rows.laws:
        if isinstance(law, FixedFlow):
            moved = np.broadcast_to(law.mass_flow, (len(index), rows.size)) != 0
            for place, element in enumerate(index):
                for node in (
                    network_end for network_end in _ends(solution.network, int(element)) if network_end != OUTSIDE
                ):
                    past = moved[place] & (np.abs(solution.pressure[node]) > STIFF_LIMIT)
                    if past.any():
                        row = int(np.flatnonzero(past)[0])
                        raise StiffFan(
                            rows.name(row), solution.network.nodes[node], float(solution.pressure[node, row])
                        )


def _ends(network: Network, element: int) -> tuple[int, int]:
    return network.elements[element].tail, network.elements[element].head


def pinned_nodes(network: Network, rows: Rows) -> Index:
    """One node of every sealed group, held at 0 Pa; a group with net forced flow is refused.

    Parameters
    ----------
    network : Network
        the topology [-]
    rows : Rows
        the numbers, one column a state [-]

    Raises
    ------
    NoWayForAir
        a machine of fixed flow moves air in rooms that nothing else joins to outdoors.

    Reference: closed form; a group without a way for air has no solution, or any.
    """
    pinned = []
    for group in network.sealed_groups(rows):
        inside = set(group)
        net = np.zeros(rows.size)
        for index, law in rows.laws:
            if isinstance(law, FixedFlow):
                flow = np.broadcast_to(law.mass_flow, (len(index), rows.size))
                for place, element in enumerate(index):
                    tail, head = _ends(network, int(element))
                    net = net + flow[place] * (float(tail in inside) - float(head in inside))
        if np.any(np.abs(net) > 0):
            row = int(np.flatnonzero(np.abs(net) > 0)[0])
            raise NoWayForAir(rows.name(row), network.nodes[group[0]])
        pinned.append(group[0])
    return np.array(pinned, dtype=np.intp)


def _sums(network: Network, flow: Array) -> Array:
    return network.at_node.of(flow)


def _differences(network: Network, rows: Rows, pressure: Array) -> Array:
    with_outdoors = np.concatenate([pressure, np.zeros((1, pressure.shape[1]))])
    difference: Array = with_outdoors[network.tail] - with_outdoors[network.head] + rows.offset
    return difference


def _flows(rows: Rows, difference: Array, near: Array | None = None) -> tuple[Array, Array]:
    flow, slope = np.empty_like(difference), np.empty_like(difference)
    for index, law in rows.laws:
        flow[index], slope[index] = law.flow_and_slope(difference[index], None if near is None else near[index])
    return flow, slope


def _at(network: Network, rows: Rows, pressure: Array, near: Array | None = None) -> _Point:
    flow, slope = _flows(rows, _differences(network, rows, pressure), near)
    return _Point(pressure, flow, slope, _sums(network, flow))


def _start(network: Network, rows: Rows, pinned: Index) -> _Point:
    """A good guess: each law replaced by its secant from rest, at 4 Pa, then a few times where the last ones led.

    The logarithm of a power law's error shrinks by 1 - n each time and never changes sign, so that Newton starts close.
    """
    nodes = np.zeros((len(network.nodes), rows.size))
    offset = np.broadcast_to(rows.offset, (len(network.elements), rows.size))
    rest, at_rest = _flows(rows, np.zeros_like(offset))
    difference = np.where(offset >= 0, np.maximum(offset, 4.0), np.minimum(offset, -4.0))
    pressure, flow = nodes, rest
    for _ in range(SECANTS):
        flow, _ = _flows(rows, difference, flow)
        tiny = np.abs(difference) < 1e-9
        secant = np.where(tiny, at_rest, (flow - rest) / np.where(tiny, 1.0, difference))
        straight = rest + np.maximum(secant, 0.0) * offset
        pressure = _newton_step(
            network, _Point(nodes, straight, np.maximum(secant, 0.0), _sums(network, straight)), pinned
        )
        difference = _differences(network, rows, pressure)
    return _at(network, rows, pressure, flow)


def _newton_step(network: Network, point: _Point, pinned: Index) -> Array:
    """The step d with J d = -sums, by elimination without subtraction."""
    conductance = network.at_pair.of(point.slope)
    ground = network.to_outdoors.of(point.slope) + 1e-250
    ground[pinned] += 1.0
    right = -point.sums
    pivots: list[Array] = []
    for node, near, links, fills in network.steps:
        pivot = ground[node].copy()
        for link in links:
            pivot += conductance[link]
        pivots.append(pivot)
        shares = [conductance[link] / pivot for link in links]
        for share, other in zip(shares, near, strict=True):
            ground[other] += share * ground[node]
            right[other] += share * right[node]
        for left, right_place, pair in fills:
            conductance[pair] += shares[left] * conductance[links[right_place]]
    step = np.zeros_like(right)
    for (node, near, links, _), pivot in zip(reversed(network.steps), reversed(pivots), strict=True):
        total = right[node].copy()
        for link, other in zip(links, near, strict=True):
            total += conductance[link] * step[other]
        step[node] = total / pivot
    return step


def _searched(network: Network, rows: Rows, point: _Point, step: Array) -> _Point:
    """The point along the step where the push along it has fallen to half, bracketed where all of it overshoots."""
    ends = np.concatenate([step, np.zeros((1, rows.size))])
    change = point.slope * (ends[network.tail] - ends[network.head])  # of the flows, by their slopes
    best = _at(network, rows, point.pressure + step, point.flow + change)
    before = np.abs(_dot(point.sums, step))
    after = _dot(best.sums, step)
    left = np.flatnonzero(after > 0.5 * before)
    low, high = np.zeros(len(left)), np.ones(len(left))
    push_low, push_high = -before[left], after[left]
    for count in range(SEARCHES):
        if not len(left):
            break
        width = high - low
        secant = np.clip(low - push_low * width / (push_high - push_low), low + 0.1 * width, high - 0.1 * width)
        length = 0.5 * (low + high) if count % 3 == 2 else secant  # a halving now and then, so that the bracket closes
        near = point.flow[:, left] + length * change[:, left]
        trial = _at(network, rows.of_rows(left), point.pressure[:, left] + length * step[:, left], near)
        push = _dot(trial.sums, step[:, left])
        for whole, some in zip(best, trial, strict=True):
            whole[:, left] = some
        goes_on = np.abs(push) > 0.5 * before[left]
        short = push < 0
        low, push_low = np.where(short, length, low), np.where(short, push, push_low)
        high, push_high = np.where(short, high, length), np.where(short, push_high, push)
        left, low, high = left[goes_on], low[goes_on], high[goes_on]
        push_low, push_high = push_low[goes_on], push_high[goes_on]
    return best


def _dot(sums: Array, step: Array) -> Array:
    total = np.zeros(step.shape[1])
    for node in range(step.shape[0]):
        total += sums[node] * step[node]
    return total


def reported(
    network: Network, rows: Rows, pressure: Array, pinned: Index, converged: NDArray[np.bool_], iterations: Index
) -> Solution:
    """Flows of one last tangent step, and how well they close.

    Parameters
    ----------
    network : Network
        the topology [-]
    rows : Rows
        the numbers, one column a state [-]
    pressure : Array
        pressures found (nodes, rows) [Pa]
    pinned : Index
        nodes held where they are [-]
    converged : NDArray
        which rows are solved [-]
    iterations : Index
        Newton steps of each row [-]

    Reference: module's head.
    """
    point = _at(network, rows, pressure)
    for _ in range(REFINEMENTS):
        step = np.concatenate([_newton_step(network, point, pinned), np.zeros((1, rows.size))])
        flow = point.flow + point.slope * (step[network.tail] - step[network.head])
        point = _Point(pressure, flow, point.slope, _sums(network, flow))
    at_rest = np.max(np.abs(point.flow), axis=0, initial=0.0) < STILL
    flow = np.where(at_rest, 0.0, point.flow)
    pressure = np.where(at_rest & (np.abs(pressure) < STILL), 0.0, pressure)
    sums = np.abs(_sums(network, flow))
    sizes = np.abs(flow)
    half = 0.5 * network.at_node.unsigned.of(sizes)
    floor = 1e-6 * np.max(sizes, axis=0, initial=0.0)
    residual = np.max(sums / np.maximum(np.maximum(half, floor), 1e-300), axis=0, initial=0.0)
    return Solution(network, pressure, flow, converged, residual, iterations)
