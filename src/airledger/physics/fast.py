"""The extra `fast`: the solver compiled by numba, called like `physics.solver.solve` and equal to it within 1e-9.

It pays where one step waits for another (controls, air followed through minutes) or beyond some 50,000 solves; the
first call compiles for seconds and keeps what it compiled. Nothing needs it: `pip install airledger[fast]` brings it.

Newton, its secants and its line search run a row at a time in compiled code; the flows reported at the end are those
of the last tangent steps of `physics.solver`, so that both engines close their accounts in the same way.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from airledger.physics.fast_laws import LAYOUT, MOST_NUMBERS, Curves
from airledger.physics.fast_rows import Elimination, Numbers, Ways, solve_rows
from airledger.physics.laws import FanLaw
from airledger.physics.network import Network, Rows
from airledger.physics.solver import Solution, pinned_nodes, reported

Array = NDArray[np.float64]
Index = NDArray[np.intp]


def solve(network: Network, rows: Rows) -> Solution:
    """Pressures and flows of every row, by compiled code.

    Parameters
    ----------
    network : Network
        the topology [-]
    rows : Rows
        the numbers, one column a state [-]

    Reference: `physics.solver.solve`.
    """
    pinned = pinned_nodes(network, rows)
    pressure = np.zeros((rows.size, len(network.nodes)))
    converged, iterations = np.zeros(rows.size, dtype=bool), np.zeros(rows.size, dtype=np.intp)
    kind, curves, numbers = packed(network, rows)
    ways, order = topology(network, kind)
    solve_rows((ways, order, pinned), curves, numbers, (pressure, converged, iterations))
    return reported(network, rows, np.ascontiguousarray(pressure.T), pinned, converged, iterations)


def topology(network: Network, kind: Index) -> tuple[Ways, Elimination]:
    """The network's elements and the order of its elimination as the compiled code takes them.

    Parameters
    ----------
    network : Network
        the topology [-]
    kind : Index
        kind of law by element [-]

    Reference: `physics.solver`.
    """
    return _ways(network, kind), _elimination(network)


def _ways(network: Network, kind: Index) -> Ways:
    number = {pair: index for index, pair in enumerate(network.pairs)}
    pair, ground = np.full(len(network.elements), -1), np.full(len(network.elements), -1)
    for index, e in enumerate(network.elements):
        low, high = min(e.tail, e.head), max(e.tail, e.head)
        if low >= 0 and low != high:
            pair[index] = number[low, high]
        elif low < 0 <= high:
            ground[index] = high
    outdoors = len(network.nodes)
    tail = np.where(network.tail < 0, outdoors, network.tail)
    head = np.where(network.head < 0, outdoors, network.head)
    return Ways(tail, head, kind, pair, ground)


def _elimination(network: Network) -> Elimination:
    near = [one for step in network.steps for one in step[1]]
    links = [link for step in network.steps for link in step[2]]
    fills = [fill for step in network.steps for fill in step[3]]
    near_from = np.cumsum([0, *(len(step[1]) for step in network.steps)])
    fill_from = np.cumsum([0, *(len(step[3]) for step in network.steps)])
    order = [step[0] for step in network.steps]
    return Elimination(
        _index(order), _index(near_from), _index(near), _index(links), _index(fill_from), _index(fills).reshape(-1, 3)
    )


def _index(values: object) -> Index:
    return np.array(values, dtype=np.intp)


def packed(network: Network, rows: Rows) -> tuple[Index, Curves, Numbers]:
    """Kind of law by element, the fan curves, and the numbers of all laws.

    Parameters
    ----------
    network : Network
        the topology [-]
    rows : Rows
        the numbers, one column a state [-]

    Reference: `LAYOUT`.
    """
    count = len(network.elements)
    kind = np.zeros(count, dtype=np.intp)
    slot = np.full((count, MOST_NUMBERS), ~0, dtype=np.intp)  # unused places point at the first common number
    wide: list[Array] = []
    common, tall = [0.0], 0
    fans = [law for _, law in rows.laws if isinstance(law, FanLaw)]
    for index, law in rows.laws:
        kind[index], names = LAYOUT[type(law)]
        for place, name in enumerate(names):
            number = (
                next(n for n, fan in enumerate(fans) if fan is law)
                if name == "curve" and isinstance(law, FanLaw)
                else getattr(law, name)
            )
            value = np.atleast_2d(np.asarray(number, dtype=float))
            value = np.broadcast_to(value, (len(index), value.shape[1]))
            if value.shape[1] > 1:
                slot[index, place] = tall + np.arange(len(index))
                tall += len(index)
                wide.append(value)
            else:
                slot[index, place] = ~(len(common) + np.arange(len(index)))
                common.extend(float(number) for number in value[:, 0])
    of_row = np.concatenate(wide).T if wide else np.zeros((rows.size, 0))
    offset = np.broadcast_to(rows.offset, (count, rows.size)).T
    made = Numbers(slot, np.ascontiguousarray(of_row), np.array(common), np.ascontiguousarray(offset))
    return kind, _curves(fans), made


def _curves(fans: list[FanLaw]) -> Curves:
    lengths = _index([len(law.knots) for law in fans])
    most = max(lengths, default=0)
    knots, table = np.zeros((len(fans), most)), np.zeros((len(fans), 4, most))
    for place, law in enumerate(fans):
        knots[place, : len(law.knots)] = law.knots
        table[place, :, : len(law.knots) - 1] = law.coefficients
    return lengths, knots, table
