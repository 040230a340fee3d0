"""What cannot exist although every value reads: unknown names, shares that do not add up, doors without a wall."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from airledger.io import air_forms as air
from airledger.io.build import exhaust_kind, floor_outline, only_room
from airledger.io.fields import nearest
from airledger.io.forms import HouseForm
from airledger.io.marks import Node, Path
from airledger.io.outlines import crosses_itself, outline_gap
from airledger.io.shape_faults import Faults
from airledger.units import FOOT

OUTDOORS = "outdoors"
SHARE_TOLERANCE = 0.005
"""How far shares may miss 100 % by rounding [-]."""

WALL_TOLERANCE = FOOT
"""How far two outlines may stand apart and still share a wall: a foot [m]."""

MOST_WAYS_OUT = 100
"""Most doors and windows to outdoors: each is tried against each other one [-]."""

MOST_NAMES = 40
"""How many names a fault lists [-]."""

RESERVED = {
    "ventilator": "the ERV or HRV",
    "season": "the season of a state",
    "wind": "the wind of a state",
    "wind from": "the wind of a state",
    "tightness": "the tightness of a state",
    "filters": "all filters",
    "ventilator supply": "a stream of the ventilator",
    "ventilator exhaust": "a stream of the ventilator",
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
    _arrangements(form, faults, names)
    _others_named(form, faults, names)
    _closing_doors(form, faults, names)
    _speed_names(form, faults)
    _inside(form, faults)
    _ways_out(form, faults)
    _names_once(faults)
    _speeds_of_curves(form, faults)
    _walls(form, faults)
    _untouched(form, faults)


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
        allowed = ", ".join(known[:MOST_NAMES]) + (" ..." if len(known) > MOST_NAMES else "")
        faults.add(path, f"no {what} is called {name!r}", allowed or f"the file names no {what}", nearest(name, known))


def _tightness(form: HouseForm, faults: Faults) -> None:
    envelope = form.envelope
    if faults.beneath(("envelope",)):
        return
    if envelope.tightness is None and not envelope.tested:
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
        if room.outline is not None and crosses_itself(tuple(room.outline)):
            problem = "the outline crosses itself or encloses no area"
            faults.add(
                ("rooms", name, "outline"), problem, "corners in the order in which one walks past them", at_key=True
            )
        if name.lower() == OUTDOORS:
            faults.add(("rooms", name), "outdoors is no room of the house", "another name", at_key=True)
    for name, arrangement in (form.make_up_air or {}).items():
        key = "into" if arrangement.into is not None else "room"
        into = arrangement.into or arrangement.room or only_room(form)
        if into is None:
            faults.add(("make-up air", name), "where its air goes is not said", "into: great room", at_key=True)
        elif into == "air handler return":
            problem = "make-up air into the air handler's return is not computed in this version"
            faults.add(("make-up air", name, key), problem, "into: the name of a room")
        else:
            _known(faults, ("make-up air", name, key), into, names.rooms, "room")


def _arrangements(form: HouseForm, faults: Faults, names: _Names) -> None:
    for name, arrangement in (form.make_up_air or {}).items():
        path: Path = ("make-up air", name)
        for machine, speed in arrangement.starts_with.items():
            _known(faults, (*path, "starts with", machine), machine, names.exhausts, "exhaust")
            exhaust = form.exhausts.get(machine)
            if exhaust is not None and not faults.beneath(("exhausts", machine)):
                _speed_known(faults, (*path, "starts with", machine), speed, exhaust)
        for place, machine in enumerate(arrangement.waits_for_it):
            _known(faults, (*path, "waits for it", place), machine, names.exhausts, "exhaust")
        if arrangement.hood_waits and not faults.beneath(("exhausts",)):
            kinds = [exhaust_kind(m, form.exhausts[m].kind) for m in arrangement.starts_with if m in form.exhausts]
            if "hood" not in kinds:
                faults.add((*path, "hood waits"), "no hood starts it", "starts with: [range hood]")


def _others_named(form: HouseForm, faults: Faults, names: _Names) -> None:
    for name, appliance in form.appliances.items():
        shared = [] if appliance.flue is None else appliance.flue.shared_with
        for place, other in enumerate(shared):
            _known(faults, ("appliances", name, "flue", "shared with", place), other, names.appliances, "appliance")
    tapeable = [*names.openings, *names.exhausts, *names.make_up, "ventilator"]
    for place, name in enumerate(form.envelope.taped_at_the_test):
        _known(faults, ("envelope", "taped at the test", place), name, tapeable, "opening or machine")


def _closing_doors(form: HouseForm, faults: Faults, names: _Names) -> None:
    """A door that closes a clear opening bears a name of its own."""
    taken = dict.fromkeys([*names.openings, *names.exhausts, *names.make_up, *RESERVED], "something else")
    for name, opening in form.openings.items():
        if not opening.door:
            continue
        if opening.door in taken:
            problem = f"{opening.door!r} is the name of {taken[opening.door]} already"
            faults.add(("openings", name, "door"), problem, "a name that stands once in the file")
        taken[opening.door] = f"the door of {name}"


def _speed_known(faults: Faults, path: Path, said: str, exhaust: air.ExhaustForm) -> None:
    speeds = list(exhaust.speeds or (["on"] if exhaust.rated else []))
    if said == "any speed" or not speeds:
        return
    name = said.removesuffix(" and up")
    if name not in speeds:
        allowed = ", ".join(["any speed", *speeds, *(f"{speed} and up" for speed in speeds[:-1])])
        faults.add(path, f"no speed is called {name!r}", allowed, nearest(name, speeds))


def _names_once(faults: Faults) -> None:
    seen: dict[str, Path] = dict.fromkeys(RESERVED, ())
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
        if exhaust.fan_curve is not None and exhaust.speeds and not faults.beneath(("exhausts", name, "speeds")):
            _known(faults, ("exhausts", name, "fan curve", "at"), exhaust.fan_curve.at, exhaust.speeds, "speed")
    ventilator = form.ventilator
    whole = not faults.beneath(("ventilator", "speeds"))
    if whole and ventilator is not None and ventilator.fan_curve is not None:
        _known(faults, ("ventilator", "fan curve", "at"), ventilator.fan_curve.at, ventilator.speeds, "speed")


def _speed_names(form: HouseForm, faults: Faults) -> None:
    """The states say off for a machine that stands, so that no speed bears that name."""
    named: list[Path] = [
        ("exhausts", name, "speeds", speed) for name, e in form.exhausts.items() for speed in e.speeds or ()
    ]
    named += [("ventilator", "speeds", speed) for speed in (form.ventilator.speeds if form.ventilator else ())]
    for path in named:
        if path[-1] in ("off", "any speed"):
            faults.add(path, f"{path[-1]!r} is no name for a speed", "low, medium, high, on, boost ...", at_key=True)


def _ways_out(form: HouseForm, faults: Faults) -> None:
    ways_out = [name for name, opening in form.openings.items() if OUTDOORS in opening.between]
    if len(ways_out) > MOST_WAYS_OUT:
        allowed = f"up to {MOST_WAYS_OUT}; leave out windows that stay shut"
        faults.add(("openings",), f"{len(ways_out)} openings lead to outdoors", allowed, at_key=True)


def _inside(form: HouseForm, faults: Faults) -> None:
    """There is a room inside the envelope, and leaks lead out of it."""
    if faults.beneath(("rooms",)):
        return
    inside = {name for name, room in form.rooms.items() if room.kind == "room"}
    if not inside:
        faults.add(
            ("rooms",), "no room inside the envelope: all are beside the house", "a room without kind", at_key=True
        )
    for name, leak in form.envelope.leaks.items():
        if leak.to in inside:
            spaces = [OUTDOORS, *(room for room in form.rooms if room not in inside)]
            faults.add(("envelope", "leaks", name, "to"), f"{leak.to!r} lies inside the envelope", ", ".join(spaces))


def _walls(form: HouseForm, faults: Faults) -> None:
    for name, opening in form.openings.items():
        rooms = [form.rooms.get(room) for room in opening.between]
        one, other = rooms
        if one is None or other is None or one.level != other.level or opening.lies:
            continue
        first, second = floor_outline(one), floor_outline(other)
        gap = outline_gap(first, second) if first and second else 0.0
        if gap > WALL_TOLERANCE:
            problem = f"{' and '.join(opening.between)} have no common wall: {gap / FOOT:.1f} ft lie between them"
            faults.add(("openings", name, "between"), problem, "rooms that stand side by side on the plan", at_key=True)


def untouched(form: HouseForm, inside: bool) -> list[str]:
    """Rooms that no opening, machine, grille or leak names.

    Parameters
    ----------
    form : HouseForm
        the file's content [-]
    inside : bool
        those inside the envelope, else the spaces beside the house [-]
    """
    touched = {name for _, name, _ in _room_mentions(form)}
    touched |= {a.into or a.room or only_room(form) or "" for a in (form.make_up_air or {}).values()}
    return [name for name, room in form.rooms.items() if (room.kind == "room") is inside and name not in touched]


def _untouched(form: HouseForm, faults: Faults) -> None:
    """Among several rooms, one that nothing touches takes no part in the house's air."""
    blocks = ("openings", "ventilator", "exhausts", "make-up air", "rooms", "envelope")
    if (
        any(faults.beneath((block,)) for block in blocks)
        or sum(room.kind == "room" for room in form.rooms.values()) < 2
    ):
        return
    for name in untouched(form, inside=True):
        allowed = "an opening that leads to it, a machine or grille in it, or a leak that names it"
        problem = "nothing touches this room: no opening, machine, grille or leak"
        faults.add(("rooms", name), problem, allowed, at_key=True)
