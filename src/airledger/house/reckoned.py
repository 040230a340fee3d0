"""A house from answers as the first answer reckons with it: nothing in it pulls harder than a fan can."""

from __future__ import annotations

from dataclasses import replace

from airledger.house.envelope import ach50
from airledger.house.house import Exhaust, House, NamedState
from airledger.house.operating_state import speeds_of
from airledger.units import CFM

PULL = 750.0
"""How far a fan of fixed flow is let pull a house [Pa]: past 1,000 Pa it is refused, and no house fan gets near."""

USUAL_EXPONENT = 0.65
LEAST_HOOD = 100 * CFM


def reckoned(house: House) -> House:
    """The house with machines at their top speed, each within reach of what a fan can pull through so tight a house.

    A machine taken as holding its flow would pull a small tight house past 1,000 Pa, where no fan goes. What is cut is
    no loss: past that flow the machine would not move its rating anyway. Moments that go past it together are left out.

    Parameters
    ----------
    house : House
        a house from answers [-]

    Reference: Q = Q50 (P / 50)^n with P = 750 Pa and n = 0.65 (closed form).
    """
    reach = (PULL / 50.0) ** USUAL_EXPONENT * ach50(house).low * house.volume / 3600
    exhausts = [replace(e, speeds=e.speeds[-1:]) if len(e.speeds) > 1 else e for e in house.exhausts]
    exhausts = [_cut(exhaust, reach) for exhaust in exhausts]
    hood = max((e for e in exhausts if e.kind == "hood"), key=_top, default=None)
    if hood is not None:
        left = reach - sum(_top(exhaust) for exhaust in exhausts if exhaust is not hood)
        if left < LEAST_HOOD:
            left = reach - sum(_top(exhaust) for exhaust in exhausts if exhaust.kind == "dryer")
        smaller = _cut(hood, max(left, CFM))
        exhausts = [smaller if exhaust is hood else exhaust for exhaust in exhausts]
    return replace(house, exhausts=tuple(exhausts), states=_within(house.states, exhausts, reach))


def _cut(exhaust: Exhaust, reach: float) -> Exhaust:
    """A machine that moves no more than the reach, in whole cubic feet a minute."""
    if _top(exhaust) <= reach:
        return exhaust
    flow = max(1, int(reach / CFM)) * CFM
    if exhaust.not_picked is not None:
        return replace(exhaust, not_picked=flow)
    return replace(exhaust, speeds=tuple((name, min(rated, flow)) for name, rated in exhaust.speeds))


def _top(exhaust: Exhaust) -> float:
    return max((flow for _, flow in speeds_of(exhaust)), default=0.0)


def _within(states: tuple[NamedState, ...], exhausts: list[Exhaust], reach: float) -> tuple[NamedState, ...]:
    tops = {exhaust.name: _top(exhaust) for exhaust in exhausts}
    kept = tuple(s for s in states if sum(tops.get(what, 0.0) for what, _ in s.settings) <= reach * 1.001)
    return kept or (NamedState("nothing running", ()),)
