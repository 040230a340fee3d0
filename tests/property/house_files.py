"""Random house files: one to eight rooms, buffer spaces, levels, every kind of opening and machine, random states."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

SITES = (
    "elevation: {feet} ft, summer: {{outdoors: 93 F, dew point: 76 F, indoors: 75 F, humidity: 50 %}}",
    "elevation: {feet} ft, winter: {{outdoors: -5 F, dew point: -12 F, indoors: 70 F, humidity: 30 %}}, "
    "summer: {{outdoors: 84 F, dew point: 66 F, indoors: 76 F, humidity: 50 %}}",
    "elevation: {feet} ft",
)
WIND = ", wind: {speed: 0 to 25 mph, from: any}, surroundings: open fields, north: 30 deg"
CURVE = "fan curve: {{at: high, points: [[0 cfm, 1.6 inwc], [{most:.0f} cfm, 0.8 inwc], [{free:.0f} cfm, 0.1 inwc]]}}"
DUCTS = (
    "8 in round, made of: galvanized",
    "8 in round, made of: flex, compressed: 15 %",
    "12 in x 8 in, made of: galvanized",
)
COMPASS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")


@dataclass
class Draft:
    """A house file in the making: blocks of lines, and what its states may say."""

    random: np.random.Generator
    blocks: dict[str, list[str]] = field(default_factory=dict)
    ways: dict[str, tuple[str, ...]] = field(default_factory=dict)
    taped: list[str] = field(default_factory=list)

    def chance(self, share: float) -> bool:
        return bool(self.random.random() < share)

    def pick(self, words: tuple[str, ...]) -> str:
        return words[int(self.random.integers(0, len(words)))]

    def between(self, low: float, high: float) -> float:
        return float(self.random.uniform(low, high))

    def add(self, block: str, line: str) -> None:
        self.blocks.setdefault(block, []).append(line)

    def text(self, head: str) -> str:
        """The file: its head, then its blocks."""
        return head + "".join(
            f"{name}:\n" + "".join(f"  {line}\n" for line in lines) for name, lines in self.blocks.items()
        )


def house_file(seed: int) -> str:
    """The text of a house file; the same seed gives the same text."""
    draft = Draft(np.random.default_rng(seed))
    rooms = [f"room {number}" for number in range(1, int(draft.random.integers(1, 9)) + 1)]
    area = _rooms(draft, rooms)
    _doors(draft, rooms)
    leakage = draft.between(0.5, 4.0) * area * 8 / 60  # cfm at 50 Pa
    _ventilator(draft, rooms)
    _exhausts(draft, rooms, leakage)
    _make_up(draft, rooms)
    windy = draft.chance(0.5)
    seasons = _site(draft, windy)
    _states(draft, windy, seasons)
    exponent = "" if draft.chance(0.3) else f"exponent: {draft.between(0.5, 0.9):.3f}, "
    head = f"house: random {seed}\n" + draft.blocks.pop("site")[0] + "\n"
    head += (
        f"envelope:\n  tightness: {leakage:.3f} cfm50\n  {exponent.rstrip(', ')}\n"
        if exponent
        else (f"envelope:\n  tightness: {leakage:.3f} cfm50\n")
    )
    head += f"  taped at the test: [{', '.join(draft.taped)}]\n"
    leaks = draft.blocks.pop("leaks")
    head += "  leaks:\n" + "".join(f"    {line}\n" for line in leaks)
    if "make-up air" not in draft.blocks:
        head += "make-up air: none\n"
    return draft.text(head)


def _rooms(draft: Draft, rooms: list[str]) -> float:
    """Rooms, buffer spaces, levels, leaks; floor area [ft2]."""
    upstairs = draft.chance(0.4) and len(rooms) > 1
    if upstairs:
        draft.add("levels", "ground: {floor: 0 ft}")
        draft.add("levels", "upper: {floor: 10 ft}")
    total = 0.0
    for number, room in enumerate(rooms):
        level = f"level: {'upper' if number % 2 else 'ground'}, " if upstairs else ""
        area = draft.between(60, 900)
        total += area
        air = ", air: {summer: 82 F}" if draft.chance(0.15) else ""
        draft.add("rooms", f"{room}: {{{level}area: {area:.2f} ft2, ceiling: {draft.between(7.5, 12):.2f} ft{air}}}")
    shares = draft.random.dirichlet(np.ones(4)) * 99
    buffer = ""
    if draft.chance(0.6):
        buffer = draft.pick(("attic", "garage", "crawl space"))
        level = f"level: {'upper' if buffer == 'attic' else 'ground'}, " if upstairs else ""
        vents = f", vents: {draft.between(0.1, 5):.2f} ft2" if draft.chance(0.7) else ""
        draft.add("rooms", f"{buffer}: {{kind: {buffer}, {level}area: 500 ft2{vents}}}")
    whole = [round(float(share), 3) for share in shares[:3]]
    draft.add("leaks", f"low: {{share: {whole[0]} %, height: 0.5 ft}}")
    draft.add("leaks", f"middle: {{share: {whole[1]} %, height: 4 ft}}")
    draft.add("leaks", f"one room: {{share: {whole[2]} %, height: 2 ft, rooms: [{rooms[-1]}]}}")
    to = f", to: {buffer}" if buffer else ""
    draft.add("leaks", f"high: {{share: {round(100 - sum(whole), 3)} %, height: 7 ft{to}}}")
    if buffer and draft.chance(0.5):
        draft.add("openings", f"hatch: {{between: [{rooms[0]}, {buffer}], leaf: 30 in x 80 in, undercut: 1/8 in}}")
        draft.taped.append("hatch")
        draft.ways["hatch"] = ("open", "shut")
    return total


def _doors(draft: Draft, rooms: list[str]) -> None:
    """A tree of ways between the rooms, some more, doors and windows to outdoors."""
    for number, room in enumerate(rooms[1:], 1):
        other = rooms[int(draft.random.integers(0, number))]
        kind = draft.pick(("door", "door", "arch", "stairs"))
        name = f"{kind} {number}"
        if kind == "door":
            leaf = "leaf: 30 in x 80 in, " + draft.pick(
                ("undercut: 3/4 in", "undercut: 1/4 in", "swings: in", "closer: 3 lbf")
            )
            draft.add("openings", f"{name}: {{between: [{other}, {room}], {leaf}}}")
            draft.ways[name] = ("open", "shut", "6 in")
        elif kind == "stairs":
            flat = f"lies: flat, clear: 3 ft x 8 ft, door: leaf {number}"
            draft.add("openings", f"{name}: {{between: [{other}, {room}], {flat}}}")
            draft.ways[f"leaf {number}"] = ("open", "shut")
        else:
            draft.add("openings", f"{name}: {{between: [{other}, {room}], clear: 48 in x 84 in}}")
        if draft.chance(0.2):
            grille = "grille: 14 in x 8 in, free: 65 %, height: 7 ft"
            draft.add("openings", f"grille {number}: {{between: [{other}, {room}], {grille}}}")
    for number in range(int(draft.random.integers(0, 3))):
        room, faces = rooms[int(draft.random.integers(0, len(rooms)))], draft.pick(COMPASS)
        window = f"sash: 36 in x 48 in, sill: 3 ft, opens up to: 20 in, faces: {faces}"
        draft.add("openings", f"window {number}: {{between: [{room}, outdoors], {window}}}")
        draft.ways[f"window {number}"] = ("open", "shut", "2 in", "10 in")
    draft.add(
        "openings", f"entry: {{between: [{rooms[0]}, outdoors], leaf: 36 in x 80 in, swings: out, closer: 2 lbf}}"
    )
    draft.ways["entry"] = ("open", "shut")


def _ventilator(draft: Draft, rooms: list[str]) -> None:
    if draft.chance(0.35):
        return
    low, high = draft.between(30, 90), draft.between(120, 250)
    uneven = draft.between(0.8, 1.2)
    share = round(draft.between(5, 95), 2)
    draft.blocks["ventilator"] = [
        f"kind: {draft.pick(('erv', 'hrv'))}",
        f"speeds: {{low: {low:.1f} cfm, boost: {{supply: {high:.1f} cfm, exhaust: {high * uneven:.1f} cfm}}}}",
        *(["off: {core leaks: 8 cfm at 25 Pa}"] if draft.chance(0.5) else []),
        *(["recovery: {sensible: 70 %, latent: 40 %, at: 100 cfm}"] if draft.chance(0.5) else []),
        "filter: {outdoor side: {clean: 0.05 inwc at 160 cfm, dirty: 0.2 inwc at 160 cfm}}",
        f"supplies: {{{rooms[-1]}: {share} %, {rooms[0]}: {round(100 - share, 2)} %}}"
        if len(rooms) > 1 else f"supplies: {{{rooms[0]}: 100 %}}",
        f"takes from: {{{rooms[len(rooms) // 2]}: 100 %}}",
    ]  # fmt: skip
    draft.taped.append("ventilator")
    draft.ways |= {
        "ventilator": ("off", "low", "boost"),
        "outdoor filter": ("clean", "dirty"),
        "ventilator supply": ("blocked", "clear"),
    }


def _exhausts(draft: Draft, rooms: list[str], leakage: float) -> None:
    """A hood by curve or stiff, a stiff fan; together never past what the envelope gives at some 400 Pa."""
    flow = draft.between(0.5, 2.2) * leakage
    room = rooms[int(draft.random.integers(0, len(rooms)))]
    speeds = f"speeds: {{low: {0.3 * flow:.1f} cfm, high: {flow:.1f} cfm}}"
    if draft.chance(0.6):
        curve = CURVE.format(most=0.7 * flow + 1, free=1.1 * flow + 2)
        flap = draft.pick(("wall cap: {loss: 1.5, flap opens at: 5 Pa, leaks shut: 4 cfm at 25 Pa}", "loss: 1.5"))
        rise = draft.pick((" up", " down", ""))
        run = f"run: [straight: 9 ft{rise}, elbow: {{angle: 90 deg, loss: 0.3}}, {flap}]"
        draft.add("exhausts", f"hood: {{room: {room}, {speeds}, {curve}, duct: {{size: {draft.pick(DUCTS)}}}, {run}}}")
    else:
        draft.add("exhausts", f"hood: {{room: {room}, {speeds}}}")
    draft.taped.append("hood")
    draft.ways["hood"] = ("off", "low", "high", "high", "high")
    fan = draft.between(0.05, 0.8) * leakage
    draft.add("exhausts", f"fan: {{room: {rooms[-1]}, speeds: {{on: {fan:.1f} cfm}}}}")
    draft.ways["fan"] = ("off", "on")


def _make_up(draft: Draft, rooms: list[str]) -> None:
    for number in range(int(draft.random.integers(0, 3))):
        name, room = f"opening {number}", rooms[int(draft.random.integers(0, len(rooms)))]
        kind = draft.pick(("none", "motorized", "gravity", "powered"))
        dirt = "filter: {clean: 0.08 inwc at 400 cfm, dirty: 0.3 inwc at 400 cfm}, "
        run = f"run: [wall cap: {{loss: 1.2}}, {dirt}straight: {draft.between(2, 25):.1f} ft]"
        damper = {
            "none": "damper: none",
            "gravity": "damper: {gravity: {opens at: 12 Pa, leaks shut: 5 cfm at 25 Pa}}",
        }.get(kind, "damper: {kind: motorized, leaks shut: 5 cfm at 25 Pa}")
        more = ", starts with: {hood: any speed}" if kind in ("motorized", "powered") else ""
        more += ", fan: {speeds: {on: 150 cfm}, mismatch: +-10 %}" if kind == "powered" else ""
        duct = f"duct: {{size: {draft.pick(DUCTS)}}}"
        draft.add("make-up air", f"{name}: {{into: {room}, {duct}, {run}, {damper}{more}}}")
        draft.taped.append(name)
        draft.ways[f"{name} filter"] = ("clean", "dirty")
        if kind in ("motorized", "gravity"):
            draft.ways[name] = ("stuck shut",)
        if kind == "powered":
            draft.ways[name] = ("stuck shut", "fan dead")


def _site(draft: Draft, windy: bool) -> tuple[str, ...]:
    feet = int(draft.random.integers(0, 8000))
    which = int(draft.random.integers(0, len(SITES)))
    draft.blocks["site"] = ["site: {" + SITES[which].format(feet=feet) + (WIND if windy else "") + "}"]
    if which == 2 or (which == 0 and "summer: 82 F" not in str(draft.blocks["rooms"])):
        draft.blocks["rooms"] = [line.replace(", air: {summer: 82 F}", "") for line in draft.blocks["rooms"]]
    return (("summer",), ("winter", "summer"), ())[which]


def _states(draft: Draft, windy: bool, seasons: tuple[str, ...]) -> None:
    draft.add("states", "rest: {}")
    for number in range(6):
        said = {name: draft.pick(words) for name, words in draft.ways.items() if draft.chance(0.55)}
        if windy and draft.chance(0.6):
            said["wind"] = f"{draft.between(2, 25):.1f} mph from {draft.pick(COMPASS)}"
        if seasons and draft.chance(0.5):
            said["season"] = draft.pick(seasons)
        draft.add("states", f"state {number}: {{{', '.join(f'{what}: {how}' for what, how in said.items())}}}")
