"""An independent witness: EPANET 2.3 (package owa-epanet) solves the same network written as a water network.

Mapping A of the check file network.md, section 8: 1 m of head = 1 Pa, 1 L/s = 1 L/s. Mapping B, section 9: real
ducts, head in metres of air.
"""

from __future__ import annotations

import tempfile
import warnings
from pathlib import Path

from epanet import toolkit

FOOT, GALLONS_CFS = 0.3048, 28.317


def orifice_loss(area: float, density: float = 1.2, bore: float = 300.0) -> float:
    """Minor loss of a short pipe [-] that passes an orifice's flow (CD counted in the area [m2])."""
    resistance = density / 2 / (1000 * area) ** 2
    return resistance / FOOT * GALLONS_CFS**2 * (bore / 1000 / FOOT) ** 4 / 0.02517


def solved(text: str, nodes: list[str], links: list[str]) -> tuple[dict[str, float], dict[str, float]]:
    """Heads [m] of nodes and flows of links of an EPANET input."""
    with tempfile.TemporaryDirectory() as folder, warnings.catch_warnings():
        warnings.simplefilter("ignore")  # "negative pressures" are what a house is about
        source = Path(folder) / "net.inp"
        source.write_text(text)
        project = toolkit.createproject()
        try:
            toolkit.open(project, str(source), str(Path(folder) / "net.rpt"), str(Path(folder) / "net.out"))
            toolkit.openH(project)
            toolkit.initH(project, 0)
            toolkit.runH(project)
            heads = {n: toolkit.getnodevalue(project, toolkit.getnodeindex(project, n), toolkit.HEAD) for n in nodes}
            flows = {n: toolkit.getlinkvalue(project, toolkit.getlinkindex(project, n), toolkit.FLOW) for n in links}
            toolkit.closeH(project)
            toolkit.close(project)
        finally:
            toolkit.deleteproject(project)
    return heads, flows


class WaterSketch:
    """A network in the making by mapping A: rooms, leaks of exponent 0.65, orifices, machines of fixed flow."""

    def __init__(self, rooms: list[str], demands: dict[str, float]) -> None:
        self.rooms, self.links = rooms, []
        self.junctions = [f"{room} 0 {demands.get(room, 0.0):.12g}" for room in rooms]
        self.reservoirs: dict[float, str] = {}
        self.pipes: list[str] = []
        self.emitters: list[str] = []

    def leak(self, room: str, coefficient: float, outside: float) -> None:
        name = f"L{len(self.emitters)}"
        self.junctions.append(f"{name} {outside:.12g} 0")
        self.pipes.append(f"P{name} {room} {name} 0.001 1000 140 0 Open")
        self.emitters.append(f"{name} {coefficient:.12g}")
        self.links.append(f"P{name}")

    def orifice(self, tail: str, head: str, area: float, outside: float | None = None) -> None:
        if outside is not None:
            tail = self.reservoirs.setdefault(outside, f"OUT{len(self.reservoirs)}")
        name = f"O{len(self.pipes)}"
        self.pipes.append(f"{name} {tail} {head} 0.001 300 140 {orifice_loss(area):.15g} Open")
        self.links.append(name)

    def text(self) -> str:
        if not self.reservoirs:  # at least one fixed head: a hair's breadth of a pipe to outdoors
            self.reservoirs[0.0] = "OUT0"
            self.pipes.append(f"HAIR OUT0 {self.rooms[0]} 1 1 1 1e9 Open")
        parts = ["[JUNCTIONS]", *self.junctions, "[RESERVOIRS]", *(f"{n} {h:.12g}" for h, n in self.reservoirs.items())]
        parts += [
            "[PIPES]",
            *self.pipes,
            "[EMITTERS]",
            *self.emitters,
            "[TIMES]",
            "Duration 0",
            "[OPTIONS]",
            "Units LPS",
        ]
        parts += [
            "Headloss H-W",
            "Emitter Exponent 0.65",
            "Trials 500",
            "Accuracy 1e-8",
            "Demand Multiplier 1",
            "[END]",
        ]
        return "\n".join(parts) + "\n"
