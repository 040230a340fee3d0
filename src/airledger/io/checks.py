"""What cannot exist although every value reads: names that nothing bears, shares that do not add up, doors without a wall."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from airledger.io import air_forms as air
from airledger.io.build import exhaust_kind, floor_outline
from airledger.io.fields import nearest
from airledger.io.forms import HouseForm
from airledger.io.marks import Node, Path
from airledger.io.shape_faults import Faults

OUTDOORS = "outdoors"
SHARE_TOLERANCE = 0.005
"""How far shares may miss 100 % by rounding [-]."""

WALL_TOLERANCE = 0.3048
"""How far two outlines may stand apart and still share a wall: a foot [m]."""

RESERVED = {
    "ventilator": "the ERV or HRV",
    "season": "the season of a state",
    "wind": "the wind of a state",
    "outdoor filter": "the ventilator's filter",
    "house filter": "the ventilator's filter",
}


def check(form: HouseForm, faults: Faults) -> None:
    """Adds every fault of meaning to `faults`.

    Parameters
    ----------
    form : HouseForm
        the file's content, faulty parts left out [-]
    faults : Faults
        the text and its tree [-]
    """
    names = _Names(faults.root)
    _tightness(form, faults)
    _shares(form, faults)
    _rooms_named(form, faults, names)
    _machines_named(form, faults, names)
    _names_once(faults)
    _speeds_of_curves(form, faults)
    _walls(form, faults)
    _untouched(form, faults, names)


class _Names:
    """The names that the text gives to things, faulty things included."""

    def __init__(self, root: Node) -> None:
        self.rooms = _keys(root, "rooms")
        self.spaces = [*self.rooms, OUTDOORS]
        self.levels = _keys(root, "levels")
        self.exhausts = _keys(root, "exhausts")
        self.openings = _keys(root, "openings")
        self.make_up = _keys(root, "make-up air")
        self.appliances = _keys(root, "appliances")


def _keys(root: Node, block: str) -> list[str]:
    node = root.children.get(block)
    return [] if node is None else list(node.keys)


def _known(faults: Faults, path: Path, name: str, names: Iterable[str], what: str) -> None:
    known = list(names)
    if name not in known:
        faults.add(path, f"no {what} is called {name!r}", ", ".join(known) or f"the file names no {what}", nearest(name, known))


def _tightness(form: HouseForm, faults: Faults) -> None:
    envelope = form.envelope
    if faults.beneath(("envelope",)):
        return
    if envelope.tested is not None:
        problem = "this version does not read blower-door readings from a file"
        faults.add(("envelope", "tested"), problem, "tightness: 1.1 ach50, as the test reported it")
    elif envelope.tightness is None:
        faults.add(("envelope",), "tightness is missing", "tightness: 0.6 to 1.8 ach50 (likely 1.1)", at_key=True)


def _shares(form: HouseForm, faults: Faults) -> None:
    leaks = {name: leak.share for name, leak in form.envelope.leaks.items()}
    sums: list[tuple[Path, dict[str, float]]] = [(("envelope", "leaks"), leaks)]
    if form.ventilator is not None:
        sums.append((("ventilator", "supplies"), form.ventilator.supplies))
        sums.append((("ventilator", "takes from"), form.ventilator.takes_from))
    if form.air_handler is not None:
        sums.append((("air handler", "supplies"), form.air_handler.supplies))
        sums.append((("air handler", "returns"), form.air_handler.returns))
    for path, shares in sums:
        total = sum(shares.values())
        if shares and not faults.beneath(path) and abs(total - 1) > SHARE_TOLERANCE:
            faults.add(path, f"the shares make {100 * total:.4g} %", "shares that make 100 %", at_key=True)


def _room_mentions(form: HouseForm) -> Iterator[tuple[Path, str, bool]]:
    """Each place that names a room: path, name, and whether outdoors may stand there."""
    for name, leak in form.envelope.leaks.items():
        path: Path = ("envelope", "leaks", name)
        yield (*path, "to"), leak.to, True
        yield from (((*path, "rooms", place), room, False) for place, room in enumerate(leak.rooms))
    for name, opening in form.openings.items():
        yield from ((("openings", name, "between", place), room, True) for place, room in enumerate(opening.between))
    if form.ventilator is not None:
        for block in ("supplies", "takes from"):
            rooms = form.ventilator.supplies if block == "supplies" else form.ventilator.takes_from
            yield from ((("ventilator", block, room), room, False) for room in rooms)
        yield from _one(("ventilator", "room"), form.ventilator.room)
    for name, exhaust in form.exhausts.items():
        yield ("exhausts", name, "room"), exhaust.room, False
    for name, appliance in form.appliances.items():
        yield from _one(("appliances", name, "room"), appliance.room)
    if form.air_handler is not None:
        yield from _one(("air handler", "room"), form.air_handler.room)
        yield from ((("air handler", "supplies", room), room, False) for room in form.air_handler.supplies)
        yield from ((("air handler", "returns", room), room, False) for room in form.air_handler.returns)


def _one(path: Path, room: str) -> Iterator[tuple[Path, str, bool]]:
    if room:
        yield path, room, False


def _rooms_named(form: HouseForm, faults: Faults, names: _Names) -> None:
    for path, name, outdoors_too in _room_mentions(form):
        _known(faults, path, name, names.spaces if outdoors_too else names.rooms, "room")
    for name, room in form.rooms.items():
        if room.level:
            _known(faults, ("rooms", name, "level"), room.level, names.levels, "level")
        if name.lower() == OUTDOORS:
            faults.add(("rooms", name), "outdoors is no room of the house", "another name", at_key=True)
    for name, arrangement in (form.make_up_air or {}).items():
        key = "into" if arrangement.into is not None else "room"
        into = arrangement.into or arrangement.room or ""
        if into == "air handler return":
            problem = "make-up air into the air handler's return is not computed in this version"
            faults.add(("make-up air", name, key), problem, "into: the name of a room")
        else:
            _known(faults, ("make-up air", name, key), into, names.rooms, "room")


def _machines_named(form: HouseForm, faults: Faults, names: _Names) -> None:
    for name, arrangement in (form.make_up_air or {}).items():
        path: Path = ("make-up air", name)
        for machine, speed in arrangement.starts_with.items():
            _known(faults, (*path, "starts with", machine), machine, names.exhausts, "exhaust")
            exhaust = form.exhausts.get(machine)
            if exhaust is not None:
                _speed_known(faults, (*path, "starts with", machine), speed, exhaust)
        for place, machine in enumerate(arrangement.waits_for_it):
            _known(faults, (*path, "waits for it", place), machine, names.exhausts, "exhaust")
        if arrangement.hood_waits and not faults.beneath(("exhausts",)):
            kinds = [exhaust_kind(m, form.exhausts[m].kind) for m in arrangement.starts_with if m in form.exhausts]
            if "hood" not in kinds:
                faults.add((*path, "hood waits"), "no hood starts it", "starts with: [range hood]")
    for name, appliance in form.appliances.items():
        shared = [] if appliance.flue is None else appliance.flue.shared_with
        for place, other in enumerate(shared):
            _known(faults, ("appliances", name, "flue", "shared with", place), other, names.appliances, "appliance")
    tapeable = [*names.openings, *names.exhausts, *names.make_up, "ventilator"]
    for place, name in enumerate(form.envelope.taped_at_the_test):
        _known(faults, ("envelope", "taped at the test", place), name, tapeable, "opening or machine")
    doors = {opening.door for opening in form.openings.values() if opening.door}
    for name, opening in form.openings.items():
        if opening.door and opening.door in names.openings:
            faults.add(("openings", name, "door"), f"{opening.door!r} is an opening of its own", "a name used nowhere else")
    for door in doors:
        owners = [name for name, opening in form.openings.items() if opening.door == door]
        for name in owners[1:]:
            faults.add(("openings", name, "door"), f"{door!r} closes {owners[0]} already", "a door for each opening")


def _speed_known(faults: Faults, path: Path, said: str, exhaust: air.ExhaustForm) -> None:
    speeds = list(exhaust.speeds or (["on"] if exhaust.rated else []))
    if said == "any speed" or not speeds:
        return
    name = said.removesuffix(" and up")
    if name not in speeds:
        allowed = ", ".join(["any speed", *speeds, *(f"{speed} and up" for speed in speeds[:-1])])
        faults.add(path, f"no speed is called {name!r}", allowed, nearest(name, speeds))


def _names_once(faults: Faults) -> None:
    seen: dict[str, Path] = {name: () for name in RESERVED}
    for block in ("openings", "exhausts", "make-up air"):
        node = faults.root.children.get(block)
        for name in [] if node is None else node.keys:
            path: Path = (block, name)
            if name not in seen:
                seen[name] = path
            elif not seen[name]:
                faults.add(path, f"{name!r} stands for {RESERVED[name]} in the states", "another name", at_key=True)
            else:
                first = faults.root.children[str(seen[name][0])].keys[name].line
                problem = f"{name!r} is the name of something else too, in line {first}"
                faults.add(path, problem, "names that the states use stand once in the file", at_key=True)


def _speeds_of_curves(form: HouseForm, faults: Faults) -> None:
    for name, exhaust in form.exhausts.items():
        if exhaust.fan_curve is not None and exhaust.speeds:
            _known(faults, ("exhausts", name, "fan curve", "at"), exhaust.fan_curve.at, exhaust.speeds, "speed")
    ventilator = form.ventilator
    if ventilator is not None and ventilator.fan_curve is not None:
        _known(faults, ("ventilator", "fan curve", "at"), ventilator.fan_curve.at, ventilator.speeds, "speed")
    if ventilator is not None and not faults.beneath(("ventilator", "speeds")):
        if all(speed.supply == 0 and speed.exhaust == 0 for speed in ventilator.speeds.values()):
            faults.add(("ventilator", "speeds"), "no speed moves any air", "speeds: {low: 70 cfm}", at_key=True)


def _walls(form: HouseForm, faults: Faults) -> None:
    for name, opening in form.openings.items():
        rooms = [form.rooms.get(room) for room in opening.between]
        one, other = rooms
        if one is None or other is None or one.level != other.level or opening.lies:
            continue
        first, second = floor_outline(one), floor_outline(other)
        gap = outline_gap(first, second) if first and second else 0.0
        if gap > WALL_TOLERANCE:
            problem = f"{opening.between[0]} and {opening.between[1]} have no common wall: {gap / 0.3048:.1f} ft lie between them"
            faults.add(("openings", name, "between"), problem, "rooms that stand side by side on the plan", at_key=True)


def outline_gap(first: tuple[tuple[float, float], ...], second: tuple[tuple[float, float], ...]) -> float:
    """The least distance between the edges of two outlines [m].

    Parameters
    ----------
    first, second : tuple of (x, y)
        corners in order [m]
    """
    edges = [list(zip(outline, outline[1:] + outline[:1], strict=True)) for outline in (first, second)]
    if any(_cross(one, other) for one in edges[0] for other in edges[1]):
        return 0.0
    corners = [(point, edge) for point in first for edge in edges[1]] + [(point, edge) for point in second for edge in edges[0]]
    return min(_distance(point, edge) for point, edge in corners)


def _distance(point: tuple[float, float], edge: tuple[tuple[float, float], tuple[float, float]]) -> float:
    (x, y), ((x1, y1), (x2, y2)) = point, edge
    along_x, along_y = x2 - x1, y2 - y1
    length = along_x**2 + along_y**2
    part = 0.0 if length == 0 else min(1.0, max(0.0, ((x - x1) * along_x + (y - y1) * along_y) / length))
    return float(((x - x1 - part * along_x) ** 2 + (y - y1 - part * along_y) ** 2) ** 0.5)


def _cross(one: tuple[tuple[float, float], tuple[float, float]], other: tuple[tuple[float, float], tuple[float, float]]) -> bool:
    def side(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
        return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])

    (a, b), (c, d) = one, other
    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0


def _untouched(form: HouseForm, faults: Faults, names: _Names) -> None:
    """Among several rooms, one that no opening, machine or grille touches takes no part in the house's air."""
    if len(names.rooms) < 2 or any(faults.beneath((block,)) for block in ("openings", "ventilator", "exhausts", "make-up air", "rooms")):
        return
    touched = {name for _, name, _ in _room_mentions(form)}
    touched |= {a.into or a.room or "" for a in (form.make_up_air or {}).values()}
    for name in form.rooms:
        if name not in touched:
            allowed = "an opening that leads to it, a machine or grille in it, or a leak that names it"
            faults.add(("rooms", name), "nothing touches this room: no opening, machine, grille or leak", allowed, at_key=True)
