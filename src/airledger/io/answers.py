"""The ten plain questions: what is asked, how an answer reads, and the answers file.

An answers file has a line for each question; all its faults are reported at once, each with line and column.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from airledger.errors import Fault, HouseFileError, InputError, QuantityError
from airledger.house.answers import Answers, Pull
from airledger.io import answer_words as words
from airledger.io import machine_words as machines
from airledger.io.fields import LONGEST_NAME, nearest
from airledger.io.house_file import file_bytes
from airledger.io.marks import Node, decode, source_line, tree

EXHAUST_LINES = {
    "hood": "hood", "range hood": "hood", "dryer": "dryer", "bath fan": "bath fan", "bath fans": "bath fan",
    "vacuum": "vacuum", "fireplace": "open fireplace", "exhaust fan": "exhaust",
}  # fmt: skip


@dataclass(frozen=True)
class Question:
    """One question: its key in the file, its words, an example, what no answer means ("" = it must be answered)."""

    key: str
    asked: str
    example: str
    default: str
    note: str = ""

    @property
    def needed(self) -> bool:
        """Whether there is no going on without an answer."""
        return not self.default


QUESTIONS = (
    Question("place", "Where is it? City or county, and state", "Homestead, Florida", "not known"),
    Question("floor area", "Floor area, all heated and cooled floors", "2480 ft2", ""),
    Question("ceiling", "Ceiling height, or the whole air volume", "9 ft 6 in", "9 ft"),
    Question("bedrooms", "Bedrooms", "4", "3"),
    Question("storeys", "Storeys above the lowest floor inside", "1", "1"),
    Question("tightness", "How tight do you usually get (ACH50)?", "0.7 to 1.2", "not known"),
    Question(
        "exhausts",
        "What blows air out?",
        "hood not picked up to 1200 cfm; dryer vented; 2 bath fans",
        "",
        "hood, dryer, bath fans, vacuum, fireplace; flows if you know them",
    ),
    Question(
        "appliances",
        "What burns inside, and how does it vent?",
        "none, all electric",
        "",
        "or: gas cooktop; gas water heater natural draft; gas fireplace sealed; wood stove",
    ),
    Question("ventilator", "ERV or HRV, or bath fans?", "ERV 70 / 150 cfm", "none"),
    Question("wall duct", "Round duct the wall can take for make-up air", "10 in", "not known"),
    Question("entry door swings", "Entry door swings in or out?", "out", "not known"),
)
KEYS = tuple(question.key for question in QUESTIONS)
NAME_KEY = "house"


def read_answer(key: str, text: str, area: float = 200.0) -> Any:
    """The value of one answer.

    Parameters
    ----------
    key : str
        which question [-]
    text : str
        what was said [-]
    area : float
        floor area, for a ceiling that is said as a volume [m2]

    Raises
    ------
    QuantityError
        the answer cannot be read, or has to be given.
    """
    question = next(question for question in QUESTIONS if question.key == key)
    said = text.strip()
    if question.needed and said.lower() in words.NOT_KNOWN:
        raise QuantityError(text, f"this has to be answered, for example {question.example}")
    if said.lower() in words.NOT_KNOWN and key != "ventilator":
        return "" if key == "place" else None
    readers: dict[str, Callable[[str], Any]] = {
        "place": words.place,
        "floor area": words.floor_area,
        "ceiling": lambda value: words.ceiling(value, area),
        "bedrooms": lambda value: words.whole(value, 0, 20, "3"),
        "storeys": lambda value: words.whole(value, 1, 4, "2"),
        "tightness": words.tightness,
        "exhausts": machines.exhausts,
        "appliances": machines.appliances,
        "ventilator": lambda value: machines.ventilator("none" if value.lower() in words.NOT_KNOWN else value),
        "wall duct": words.wall_duct,
        "entry door swings": words.swings,
    }
    return readers[key](said)


@dataclass(frozen=True)
class AskedBack:
    """A follow-up to an answer, asked only where it decides something. choices: the first is what Enter takes.

    key, place: which answer it is about, and which item of it.
    """

    key: str
    place: int
    asked: str
    choices: tuple[str, ...]

    def applied(self, value: Any, choice: str) -> Any:
        """The answer with the follow-up in it.

        Parameters
        ----------
        value : tuple
            what `read_answer` gave [-]
        choice : str
            one of the choices [-]
        """
        item = value[self.place]
        if self.key == "exhausts":
            item = (
                Pull(item.name, item.kind, vented="heat pump")
                if choice == "heat pump"
                else replace(item, vented=choice)
            )
        elif choice != "not known":
            item = replace(item, vents=choice)
        return (*value[: self.place], item, *value[self.place + 1 :])


def asked_back(key: str, value: Any) -> tuple[AskedBack, ...]:
    """The follow-ups of an answer: a dryer that may be a heat pump, a flue that nobody has told of.

    Parameters
    ----------
    key : str
        which question [-]
    value : object
        what `read_answer` gave [-]
    """
    if key == "exhausts":
        return tuple(
            AskedBack(
                key, place, f"Does the {pull.name} blow outdoors, or is it a heat pump?", ("to outdoors", "heat pump")
            )
            for place, pull in enumerate(value)
            if pull.kind == "dryer" and not pull.vented
        )
    if key == "appliances":
        vents = ("not known", "natural draft", "fan-assisted", "power vent", "direct vent", "sealed", "none")
        return tuple(
            AskedBack(key, place, f"How does the {appliance.name} vent? Fixed glass and two pipes: sealed", vents)
            for place, appliance in enumerate(value)
            if not appliance.vents
        )
    return ()


def house_name(name: str) -> str:
    """A name for the house as it may stand in a file.

    Parameters
    ----------
    name : str
        what was typed, empty if nothing [-]

    Raises
    ------
    InputError
        no such name can stand in a file.
    """
    said = " ".join(name.split())
    if name and (not said or len(said) > LONGEST_NAME or "/" in said or not said.isprintable()):
        raise InputError(f"{name[:60]!r} is no name: up to {LONGEST_NAME} characters without a slash")
    return said


def answers_of(values: Mapping[str, Any], name: str = "") -> Answers:
    """The answers as one value.

    Parameters
    ----------
    values : Mapping[str, Any]
        key -> what `read_answer` gave; a key left out was left open [-]
    name : str
        what to call the house; empty takes the place [-]

    Raises
    ------
    QuantityError
        something that has to be answered was not.
    """
    for question in QUESTIONS:
        if question.needed and values.get(question.key) is None:
            raise QuantityError("", f"{question.key} has to be answered, for example {question.example}")
    tightness = values.get("tightness")
    ventilator, bath_fans = values.get("ventilator") or (None, ())
    exhausts: tuple[Pull, ...] = tuple(values["exhausts"])
    if not any(pull.kind == "bath fan" for pull in exhausts):
        exhausts += tuple(bath_fans)
    return Answers(
        place=values.get("place") or "",
        floor_area=values["floor area"],
        exhausts=exhausts,
        appliances=tuple(values["appliances"]),
        ceiling=values.get("ceiling"),
        bedrooms=values.get("bedrooms"),
        storeys=values.get("storeys"),
        tightness=tightness[0] if tightness else None,
        tightness_unit=tightness[1] if tightness else "ach50",
        ventilator=ventilator,
        wall_duct=values.get("wall duct"),
        entry_door_swings=values.get("entry door swings"),
        name=name,
    )


def load_answers(path: str | Path) -> Answers:
    """The answers of a file.

    Parameters
    ----------
    path : str or Path
        the file [-]
    """
    return answers_from_text(decode(file_bytes(path), str(path)), str(path))


def answers_from_text(text: str, name: str) -> Answers:
    """The answers that a text gives.

    Parameters
    ----------
    text : str
        an answers file's content [-]
    name : str
        what to call it in messages [-]

    Raises
    ------
    HouseFileError
        the text cannot be used; carries all its faults.
    """
    root = tree(text, name)
    reading = _Reading(text, root)
    values = reading.values()
    house = reading.name()
    if reading.faults:
        raise HouseFileError(name, reading.faults)
    return answers_of(values, house)


class _Reading:
    """One answers file: its values and its faults."""

    def __init__(self, text: str, root: Node) -> None:
        self.text, self.root = text, root
        self.faults: list[Fault] = []

    def add(self, node: Node, key: str, problem: str, allowed: str = "", near: str = "") -> None:
        line = source_line(self.text, node.line)
        self.faults.append(Fault(node.line, node.column, key, problem, allowed, near, line))

    def values(self) -> dict[str, Any]:
        found: dict[str, Any] = {}
        area = 200.0
        for key, node in self.root.keys.items():
            if key not in (*KEYS, NAME_KEY):
                self.add(node, key, "no such question", ", ".join((NAME_KEY, *KEYS)), nearest(key, (NAME_KEY, *KEYS)))
        for question in QUESTIONS:
            entry = self.root.children.get(question.key)
            if entry is None or (entry.kind == "scalar" and entry.text is None):
                if question.needed:
                    place = self.root.keys.get(question.key, self.root)
                    self.add(place, question.key, "has to be answered", f"for example {question.example}")
                continue
            found[question.key] = self._value(question.key, entry, area)
            if question.key == "floor area":
                area = found["floor area"] or area
        return found

    def name(self) -> str:
        node = self.root.children.get(NAME_KEY)
        if node is None or node.text is None:
            return ""
        try:
            return house_name(node.text)
        except InputError:
            self.add(node, NAME_KEY, "is no name", f"a name of up to {LONGEST_NAME} characters without a slash")
            return ""

    def _value(self, key: str, node: Node, area: float) -> Any:
        if key == "exhausts" and node.kind != "scalar":
            return self._exhausts(node)
        if node.kind == "list":
            node = Node("scalar", node.start, node.end, node.line, node.column, "; ".join(self._texts(key, node)))
        if node.kind != "scalar" or node.text is None:
            self.add(node, key, "a single answer is wanted here, not a block", self._allowed(key))
            return None
        try:
            return read_answer(key, node.text, area)
        except QuantityError as problem:
            self.add(node, key, f"cannot read {node.text[:60]!r}", problem.expected)
            return None

    def _texts(self, key: str, node: Node) -> list[str]:
        texts = []
        for child in node.children.values():
            if child.kind != "scalar" or child.text is None:
                self.add(child, key, "a single answer is wanted here, not a block", self._allowed(key))
            else:
                texts.append(child.text)
        return texts

    @staticmethod
    def _allowed(key: str) -> str:
        return next(f"for example {question.example}" for question in QUESTIONS if question.key == key)

    def _exhausts(self, node: Node) -> tuple[Pull, ...]:
        """What blows air out: a list of items, or a machine a line."""
        found: list[Pull] = []
        for key, child in node.children.items():
            label = str(key) if node.kind == "mapping" else "exhausts"
            if child.kind != "scalar":
                self.add(child, label, "a single answer is wanted here, not a block", machines.EXHAUSTS_FORM)
                continue
            item = child.text or ""
            try:
                if node.kind == "mapping":
                    item = self._machine_line(label, node.keys[label], item)
                found += machines.exhausts(item) if item else ()
            except QuantityError as problem:
                self.add(child, label, f"cannot read {(child.text or '')[:60]!r}", problem.expected)
        return machines.numbered_pulls(found)

    def _machine_line(self, label: str, key: Node, text: str) -> str:
        """`bath fans: 2 at 80 cfm` as one item, `2 bath fans at 80 cfm`; empty where there is none."""
        plain = label.lower().rstrip("0123456789 ")
        if plain not in EXHAUST_LINES:
            self.add(key, label, "no such machine", ", ".join(EXHAUST_LINES), nearest(plain, tuple(EXHAUST_LINES)))
            return ""
        said = " ".join(text.lower().split())
        if said in words.NOTHING or said in words.NOT_KNOWN:
            return ""
        count, _, rest = said.partition(" ")
        if plain == "bath fans" and (count.isdigit() or count in words.COUNT_WORDS):
            return f"{count} bath fans {rest}"
        if plain == "fireplace":
            return f"{said} fireplace"
        return f"{plain} {text}"


def blank_form() -> str:
    """The text of an answers file with nothing answered, every line with its example."""
    width = max(len(question.key) for question in QUESTIONS) + 1
    lines = [
        "# Ten plain questions about a house. Answer what you know; a line left empty is assumed and listed as such.",
        "# Write quantities as you say them: 600 cfm, 9 ft 6 in, 2480 ft2. Then:  airledger ask --answers THIS FILE",
        f"{NAME_KEY + ':':<{width}}  # a name for it, if you like",
    ]
    for question in QUESTIONS:
        lines.append(f"# {question.asked}{' (has to be answered)' if question.needed else ''}")
        lines += [f"#   {question.note}"] if question.note else []
        lines.append(f"{question.key + ':':<{width}}  # for example  {question.example}")
    return "\n".join(lines) + "\n"
