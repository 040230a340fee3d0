"""Everything airledger raises, as one tree.

    AirledgerError
    ├── InputError            what was handed in cannot be read            exit code 2
    │   ├── QuantityError     a quantity as typed: what stands there, what is allowed
    │   └── HouseFileError    a file: all its faults at once, each with line and column
    │       └── ReadingsFileError   readings taken on site
    └── CannotCompute         what was asked has no trustworthy answer     exit code 3
        ├── OutOfRange        a value outside a method's range
        ├── NotConverged      a state left unsolved, with the residual and the worst room
        ├── NoWayForAir       a forced flow into or out of rooms that have no path to outdoors
        └── StiffFan          a fixed-flow fan that would pull a room past 1,000 Pa

What is wrong with a *house* is no exception: it is a `Finding`.
"""

from __future__ import annotations

from dataclasses import dataclass


class AirledgerError(Exception):
    """Root of every error that airledger raises on purpose."""

    exit_code = 3


class InputError(AirledgerError):
    """Something handed in cannot be read; the message says what, where and what is allowed."""

    exit_code = 2


class QuantityError(InputError):
    """A quantity as typed cannot be read."""

    def __init__(self, text: str, expected: str) -> None:
        self.text = text
        self.expected = expected
        super().__init__(f"cannot read {text!r}: {expected}")


@dataclass(frozen=True)
class Fault:
    """One fault of a file: where it stands, what is wrong there and what is allowed."""

    line: int
    column: int
    key: str
    problem: str
    allowed: str = ""
    nearest: str = ""
    source_line: str = ""

    def text(self, file: str) -> str:
        """The fault as printed: place, key, problem, the line with a caret, what is allowed."""
        parts = [f"{file}:{self.line}:{self.column}: {self.key}: {self.problem}"]
        if self.source_line:
            parts += [f"    {self.source_line}", "    " + " " * (self.column - 1) + "^"]
        if self.nearest:
            parts.append(f"    did you mean {self.nearest!r}?")
        if self.allowed:
            parts.append(f"    allowed: {self.allowed}")
        return "\n".join(parts)


class HouseFileError(InputError):
    """A house file that cannot be used; carries every fault found, in file order."""

    def __init__(self, file: str, faults: list[Fault] | tuple[Fault, ...]) -> None:
        self.file = file
        self.faults = tuple(sorted(faults, key=lambda fault: (fault.line, fault.column)))
        super().__init__("\n".join(fault.text(file) for fault in self.faults))


class ReadingsFileError(HouseFileError):
    """A file of readings that cannot be used; carries every fault found, in file order."""


class CannotCompute(AirledgerError):
    """What was asked has no answer that could be trusted."""


class OutOfRange(CannotCompute):
    """A value lies outside the range in which a method is known to hold."""

    def __init__(self, quantity: str, value: float, low: float, high: float, unit: str) -> None:
        self.quantity, self.value, self.low, self.high, self.unit = quantity, value, low, high, unit
        super().__init__(f"{quantity} {value:g} {unit} is outside {low:g} to {high:g} {unit}, where the method holds")


class NotConverged(CannotCompute):
    """A state was left unsolved."""

    def __init__(self, state: str, room: str, residual: float) -> None:
        self.state, self.room, self.residual = state, room, residual
        super().__init__(f"{state}: not solved; worst room {room}, relative imbalance {residual:.2e}")


class NoWayForAir(CannotCompute):
    """A fan pushes or pulls air where no opening leads to outdoors."""

    def __init__(self, state: str, room: str) -> None:
        self.state, self.room = state, room
        super().__init__(f"{state}: a fan moves air in {room}, but no opening joins it to outdoors")


class StiffFan(CannotCompute):
    """A fan taken as holding its flow would pull a room past 1,000 Pa."""

    def __init__(self, state: str, room: str, pressure: float) -> None:
        self.state, self.room, self.pressure = state, room, pressure
        super().__init__(
            f"{state}: {room} would reach {pressure:.0f} Pa because a fan is taken as holding its flow; "
            "no such fan exists: give its curve (flow against pressure)"
        )
