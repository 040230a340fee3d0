"""What the batch solver is measured against: general and careful solvers, one row at a time, and a compiled engine."""

from __future__ import annotations

import atexit
import tempfile
import warnings
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from epanet import toolkit
from scipy.optimize import root

from airledger.physics.fast_laws import FAN, LAYOUT, MOST_NUMBERS, flow_and_slope
from airledger.physics.laws import FanLaw, FixedFlow, OrificeLaw, PowerLaw
from airledger.physics.network import Network, Rows
from airledger.physics.solver import solve
from tests.published.water_network import WaterSketch

Made = Callable[[], tuple[Network, Rows]]
Sums = Callable[[np.ndarray], tuple[np.ndarray, np.ndarray]]

NEWTON_STEPS = 200


def incidence_of(network: Network) -> np.ndarray:
    """+1 where an element leaves a node, -1 where it enters it: (nodes, elements)."""
    incidence = np.zeros((len(network.nodes), len(network.elements)))
    for place, element in enumerate(network.elements):
        for node, sign in ((element.tail, 1.0), (element.head, -1.0)):
            if node >= 0:
                incidence[node, place] += sign
    return incidence


def lean_flows(incidence: np.ndarray, part: Rows) -> Sums:
    """Flows and slopes of one row of a synthetic house with as few calls as numpy allows; its fans are compiled."""
    count = incidence.shape[1]
    (leaks, leak), (gaps, gap), (fans, fan), (fixed, machine) = part.laws
    offset = np.broadcast_to(part.offset, (count, 1))[:, 0]
    leak_size, gap_size, held = leak.forward[:, 0], gap.forward[:, 0], machine.mass_flow[:, 0]
    flow, slope = np.empty(count), np.zeros(count)
    flow[fixed] = held
    knots, table = np.array([fan.knots]), np.zeros((1, 4, len(fan.knots)))
    table[0, :, :-1] = fan.coefficients
    curves = (np.array([len(fan.knots)]), knots, table)
    blown = np.zeros((len(fans), MOST_NUMBERS))
    for place, name in enumerate(LAYOUT[FanLaw][1][:-1]):
        blown[:, place] = np.broadcast_to(getattr(fan, name), (len(fans), 1))[:, 0]

    def flows(pressure: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        difference = pressure @ incidence + offset
        through = difference[leaks]
        square = through * through
        power = leak_size * (square + 1e-14) ** -0.175
        flow[leaks], slope[leaks] = power * through, power * (0.65 * square + 1e-14) / (square + 1e-14)
        through = difference[gaps]
        square = through * through
        power = gap_size / np.sqrt(np.sqrt(square + 1e-14))
        flow[gaps], slope[gaps] = power * through, power * (0.5 * square + 1e-14) / (square + 1e-14)
        for place, element in enumerate(fans):
            flow[element], slope[element] = flow_and_slope(FAN, blown, place, curves, difference[element], 0.0)
        return flow, slope

    return flows


def general(made: Made, sample: int, warm: bool) -> Callable[[], float]:
    """scipy's hybrid Powell method, xtol 1e-12, on a lean residual; warm: an hour begins at the last one's answer."""

    prepared = cache(lambda: _prepared(made, sample))

    def run() -> float:
        incidence, cases = prepared()
        good, begin = 0, np.zeros(len(incidence))
        for flows in cases:
            answer = root(lambda p, flows=flows: incidence @ flows(p)[0], begin, method="hybr", options={"xtol": 1e-12})
            size = max(1e-6, float(np.abs(incidence @ flows(np.zeros_like(begin))[0]).max()))
            good += bool(np.abs(incidence @ flows(answer.x)[0]).max() < 1e-6 * size)
            begin = answer.x if warm else np.zeros_like(begin)
        return good / sample

    return run


def _prepared(made: Made, sample: int) -> tuple[np.ndarray, list[Sums]]:
    """All that a solver of one row needs, made before the clock starts."""
    network, rows = made()
    incidence = incidence_of(network)
    return incidence, [lean_flows(incidence, rows.of_rows(np.array([row]))) for row in range(sample)]


def careful(made: Made, sample: int) -> Callable[[], float]:
    """A Newton that takes one row at a time, numpy inside, dense solve, the same line search; lean arrays."""

    prepared = cache(lambda: _prepared(made, sample))

    def run() -> float:
        incidence, cases = prepared()
        return sum(_newton(incidence, flows) for flows in cases) / sample

    return run


def _newton(incidence: np.ndarray, flows: Sums) -> bool:
    pressure = np.zeros(len(incidence))
    flow, slope = flows(pressure + 0.1)
    sums = incidence @ flow
    for _ in range(NEWTON_STEPS):
        step = np.linalg.solve((incidence * slope) @ incidence.T, -sums)
        if np.max(np.abs(step) / np.maximum(np.abs(pressure), 1.0)) < 1e-11:
            return True
        before, length, low, high = abs(sums @ step), 1.0, 0.0, 1.0
        push_low, push_high = -before, 0.0
        for _ in range(40):
            flow, slope = flows(pressure + length * step)
            sums = incidence @ flow
            push = float(sums @ step)
            if push <= 0.5 * before and (length == 1.0 or push >= -0.5 * before):
                break
            if push < 0:
                low, push_low = length, push
            else:
                high, push_high = length, push
            width = high - low
            length = min(max(low - push_low * width / (push_high - push_low), low + 0.1 * width), high - 0.1 * width)
        pressure = pressure + length * step
    return False


class Water:
    """A synthetic house with stiff fans as a network of pipes for EPANET 2.3; only its machines change by row.

    Mapping A of the tests: 1 m of head = 1 Pa, 1 L/s = 0.001 kg/s.
    """

    def __init__(self, made: Made, sample: int) -> None:
        self.sample = sample
        self.network, self.rows = made()

    def demands(self, row: int) -> np.ndarray:
        """What the machines take out of every room [L/s]."""
        taken = np.zeros(len(self.network.nodes))
        for index, law in self.rows.laws:
            if isinstance(law, FixedFlow):
                flow = np.broadcast_to(law.mass_flow, (len(index), self.rows.size))[:, row]
                for element, one in zip(index, flow, strict=True):
                    ends = self.network.elements[int(element)]
                    for node, sign in ((ends.tail, 1.0), (ends.head, -1.0)):
                        if node >= 0:
                            taken[node] += sign * 1000 * one
        return taken

    def text(self) -> str:
        """The house at its first row as EPANET reads it."""
        names = [name.replace(" ", "") for name in self.network.nodes]
        water = WaterSketch(names, dict(zip(names, self.demands(0), strict=True)))
        offset = np.broadcast_to(self.rows.offset, (len(self.network.elements), self.rows.size))[:, 0]
        for index, law in self.rows.laws:
            for place, element in enumerate(index):
                ends = self.network.elements[int(element)]
                if isinstance(law, PowerLaw):
                    water.leak(names[ends.head], 1000 * law.forward[place, 0], float(offset[element]))
                elif isinstance(law, OrificeLaw):
                    area = float(law.forward[place, 0]) / np.sqrt(2 / 1.2)
                    water.orifice(names[ends.tail], names[ends.head], area)
        return water.text()

    @contextmanager
    def opened(self) -> Iterator[Any]:
        """The project, its hydraulics open."""
        with tempfile.TemporaryDirectory() as folder, warnings.catch_warnings():
            warnings.simplefilter("ignore")  # "negative pressures" are what a house is about
            source = Path(folder) / "net.inp"
            source.write_text(self.text())
            project = toolkit.createproject()
            toolkit.open(project, str(source), str(Path(folder) / "net.rpt"), str(Path(folder) / "net.out"))
            toolkit.openH(project)
            yield project
            toolkit.closeH(project)
            toolkit.close(project)
            toolkit.deleteproject(project)

    def prepared(self) -> Callable[[], float]:
        """Solves the sample's rows; the share whose pressures equal ours within 0.1 % (or 1 mPa)."""
        held = ExitStack()
        atexit.register(held.close)
        project = held.enter_context(self.opened())
        demands = [self.demands(row) for row in range(self.sample)]
        places = [toolkit.getnodeindex(project, name.replace(" ", "")) for name in self.network.nodes]
        changing = np.flatnonzero(np.ptp(np.array(demands), axis=0) > 0)
        ours = solve(self.network, self.common()).pressure.T

        def run() -> float:
            good = 0
            for row, taken in enumerate(demands):
                for node in changing:
                    toolkit.setnodevalue(project, places[node], toolkit.BASEDEMAND, taken[node])
                toolkit.initH(project, 10)  # from its own first guess: a room beside a fan may have turned round
                toolkit.runH(project)
                heads = np.array([toolkit.getnodevalue(project, place, toolkit.HEAD) for place in places])
                good += bool(np.all(np.abs(heads - ours[row]) < 1e-3 + 1e-3 * np.abs(ours[row])))
            return good / len(demands)

        return run

    def common(self) -> Rows:
        """Our rows with the weather of the first: what EPANET is told."""
        count = len(self.network.elements)
        return Rows(self.rows.laws, np.broadcast_to(self.rows.offset, (count, self.rows.size))[:, :1], self.rows.size)
