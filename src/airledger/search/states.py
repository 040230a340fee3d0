"""Everything that may differ in a house while all of it works, as one listing of combinations.

A listing is a product of freedoms. A combination has a number; its settings are worked out from the number, so that a
listing of 200,000 combinations costs no memory until a chunk of it is solved. Machines come last and begin with "off":
the combination with all fans off, same doors and same weather, is found by arithmetic. Doors to outdoors stay as they
stand.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from airledger.house.house import House
from airledger.house.operating_state import Key, Settings, interlocked, standing
from airledger.search.freedoms import Choice, Freedom, freedoms_of, is_inner_door
from airledger.search.wording import series

Array = NDArray[np.float64]
Index = NDArray[np.intp]
Change = Callable[[dict[Key, Array]], dict[Key, Array]]

LARGEST_LISTING = 200_000
LARGEST_NUMBER = 2**60
CHUNK = 4_000


@dataclass(frozen=True)
class Listing:
    """Every combination of the freedoms of a house.

    fixed: how things stand otherwise · proof: "all", or "best found" with what was left out of the listing ·
    whole: how many combinations the house has, listed or not.
    """

    house: House
    fixed: Mapping[Key, float]
    freedoms: tuple[Freedom, ...]
    proof: str = "all"
    left_out: tuple[str, ...] = field(default_factory=tuple)
    whole: int = 0

    @property
    def size(self) -> int:
        """How many combinations there are."""
        return _product(self.freedoms)

    @cached_property
    def strides(self) -> tuple[int, ...]:
        """What one step of each freedom's choice adds to the number of a combination."""
        strides, stride = [], 1
        for freedom in reversed(self.freedoms):
            strides.append(stride)
            stride *= len(freedom.choices)
        return tuple(reversed(strides))

    @cached_property
    def fan_block(self) -> int:
        """How many combinations of fans there are: those that differ in fans only stand together in such blocks."""
        return _product(tuple(freedom for freedom in self.freedoms if freedom.is_fan))

    def digits(self, numbers: Index, freedom: int) -> Index:
        """Which choice of a freedom each combination takes.

        Parameters
        ----------
        numbers : Index
            numbers of combinations [-]
        freedom : int
            position among the freedoms [-]
        """
        taken: Index = (numbers // self.strides[freedom]) % len(self.freedoms[freedom].choices)
        return taken

    def columns(self, numbers: Index) -> dict[Key, Array]:
        """The settings of combinations as columns, before anything follows from anything else.

        Parameters
        ----------
        numbers : Index
            numbers of combinations [-]
        """
        columns: dict[Key, Array] = {}
        for position, values in enumerate(self._values):
            taken = self.digits(numbers, position)
            columns |= {key: of_choice[taken] for key, of_choice in values.items()}
        return columns

    @cached_property
    def _values(self) -> tuple[dict[Key, Array], ...]:
        """What each choice of each freedom makes of the settings that the freedom moves."""
        found = []
        for freedom in self.freedoms:
            said = [dict(choice.settings) for choice in freedom.choices]
            keys = dict.fromkeys(key for settings in said for key in settings)
            found.append({k: np.array([s.get(k, self.fixed.get(k, 0.0)) for s in said]) for k in keys})
        return tuple(found)

    def settings(self, numbers: Index, change: Change | None = None) -> Settings:
        """The settings of combinations, make-up dampers and fans following the machines they start with.

        Parameters
        ----------
        numbers : Index
            numbers of combinations [-]
        change : callable
            what an option or a fault makes different, columns to columns [-]
        """
        columns = self.columns(numbers)
        if change is not None:
            columns = change(columns)
        return Settings(interlocked(self.house, columns, len(numbers)), len(numbers))

    def chunks(self, numbers: Index | None = None) -> Iterator[Index]:
        """Numbers of combinations in chunks that keep memory flat.

        Parameters
        ----------
        numbers : Index
            which combinations; None takes all [-]
        """
        size = self.size if numbers is None else len(numbers)
        for first in range(0, size, CHUNK):
            last = min(size, first + CHUNK)
            yield np.arange(first, last, dtype=np.intp) if numbers is None else numbers[first:last]

    @cached_property
    def _inner_doors(self) -> tuple[str, ...]:
        return tuple(o.door or o.name for o in self.house.openings if is_inner_door(o, self.house))

    def choices(self, number: int) -> tuple[tuple[Freedom, Choice], ...]:
        """What each thing does in one combination.

        Parameters
        ----------
        number : int
            number of the combination [-]
        """
        places = zip(self.freedoms, self.strides, strict=True)
        return tuple((f, f.choices[number // stride % len(f.choices)]) for f, stride in places)

    def why(self, number: int) -> str:
        """One combination in words: what runs, which doors are shut, the weather and the tightness.

        Parameters
        ----------
        number : int
            number of the combination [-]
        """
        taken = self.choices(number)
        running = [c.words for f, c in taken if f.is_fan and (f.kind == "ventilator" or not c.words.endswith(" off"))]
        words = [", ".join(running) if running else "nothing running"]
        doors = [part for f, c in taken if f.kind == "door" for part in c.words.split(", ")]
        if any(f.kind == "door" for f, _ in taken):
            shut = [part.removesuffix(" shut") for part in doors if part.endswith(" shut")]
            words.append(_doors_in_words(self._inner_doors, shut))
        words += [c.words for f, c in taken if f.kind in ("window", "filter", "season", "tightness") and c.words]
        return "; ".join(words)

    def share_of_year(self, number: int) -> tuple[float, ...]:
        """Share of the year of each choice in a combination, to be multiplied.

        Parameters
        ----------
        number : int
            number of the combination [-]
        """
        return tuple(choice.share for _, choice in self.choices(number) if choice.share is not None)


def _product(freedoms: tuple[Freedom, ...]) -> int:
    size = 1
    for freedom in freedoms:
        size *= len(freedom.choices)
    return size


def _doors_in_words(doors: tuple[str, ...], shut: list[str]) -> str:
    if not shut:
        return "inner doors open"
    if len(shut) < 4 and (len(shut) < len(doors) or len(doors) == 1):
        return series(shut) + " shut"
    open_ones = [door for door in doors if door not in shut]
    if len(open_ones) > 3:
        return f"{len(shut)} of {len(doors)} inner doors shut"
    return "all inner doors shut" + (f" but {series(open_ones)}" if open_ones else "")


def product(steps: Sequence[Sequence[int]], most: int) -> Index | None:
    """Sums of one step of each kind, the first kind slowest; None where there are more than wanted.

    Parameters
    ----------
    steps : sequence of sequences of int
        what each choice of each kind adds to the number of a combination [-]
    most : int
        how many sums there may be [-]
    """
    found = np.zeros(1, dtype=np.intp)
    for own in steps:
        if len(found) * len(own) > most:
            return None
        found = (found[:, None] + np.array(own, dtype=np.intp)[None, :]).ravel()
    return found


def whole_listing(house: House) -> Listing | None:
    """Every combination of a house in which nothing has failed, however many; None where they cannot be numbered.

    Parameters
    ----------
    house : House
        what the file says [-]
    """
    freedoms = freedoms_of(house)
    size = _product(freedoms)
    return Listing(house, standing(house), freedoms, "all", (), size) if size < LARGEST_NUMBER else None


def normal_listing(house: House, largest: int = LARGEST_LISTING) -> Listing:
    """Every combination of a house in which nothing has failed; thinned out, and said so, where there are too many.

    Parameters
    ----------
    house : House
        what the file says [-]
    largest : int
        combinations that may be listed [-]
    """
    freedoms = freedoms_of(house)
    left_out: list[str] = []
    for thin, words in _THINNINGS:
        if _product(freedoms) <= largest:
            break
        thinner = thin(freedoms)
        if _product(thinner) < _product(freedoms):
            freedoms = thinner
            left_out.append(words)
    proof, whole = "best found" if left_out else "all", _product(freedoms_of(house))
    return Listing(house, standing(house), freedoms, proof, tuple(left_out), whole)


def _off_or_top(freedoms: tuple[Freedom, ...]) -> tuple[Freedom, ...]:
    return tuple(Freedom(f.name, f.kind, (f.choices[0], f.choices[-1])) if f.kind == "machine" else f for f in freedoms)


def _windows_shut(freedoms: tuple[Freedom, ...]) -> tuple[Freedom, ...]:
    return tuple(f for f in freedoms if f.kind != "window")


def _filters_together(freedoms: tuple[Freedom, ...]) -> tuple[Freedom, ...]:
    return _together(freedoms, "filter", one_by_one=False)


def _doors_by_pattern(freedoms: tuple[Freedom, ...]) -> tuple[Freedom, ...]:
    return _together(freedoms, "door", one_by_one=True)


def _machines_by_pattern(freedoms: tuple[Freedom, ...]) -> tuple[Freedom, ...]:
    return _together(freedoms, "machine", one_by_one=True)


def _doors_alike(freedoms: tuple[Freedom, ...]) -> tuple[Freedom, ...]:
    return _first_two(freedoms, "inner doors")


def _machines_alike(freedoms: tuple[Freedom, ...]) -> tuple[Freedom, ...]:
    return _first_two(freedoms, "machines")


def _first_two(freedoms: tuple[Freedom, ...], name: str) -> tuple[Freedom, ...]:
    """A freedom of patterns with two of them: all at their first choice, all at their last."""
    return tuple(Freedom(f.name, f.kind, f.choices[:2]) if f.name == name else f for f in freedoms)


def _together(freedoms: tuple[Freedom, ...], kind: str, one_by_one: bool) -> tuple[Freedom, ...]:
    """Freedoms of a kind as one: all at their first choice, all at their last, and each alone against the others."""
    group = [f for f in freedoms if f.kind == kind]
    if len(group) < 2:
        return freedoms
    patterns = [(0,) * len(group), (1,) * len(group)]
    if one_by_one:
        for other in (0, 1):
            patterns += [tuple(1 - other if i == j else other for j in range(len(group))) for i in range(len(group))]
    choices = tuple(_joined(group, pattern) for pattern in dict.fromkeys(patterns))
    joined = Freedom({"door": "inner doors", "machine": "machines"}.get(kind, kind + "s"), kind, choices)
    first = next(i for i, f in enumerate(freedoms) if f.kind == kind)
    return tuple(joined if i == first else f for i, f in enumerate(freedoms) if i == first or f.kind != kind)


def _joined(group: list[Freedom], pattern: tuple[int, ...]) -> Choice:
    taken = [freedom.choices[-1 if last else 0] for freedom, last in zip(group, pattern, strict=True)]
    share = 1.0
    for choice in taken:
        share *= choice.share if choice.share is not None else 1.0
    told = [choice.words for choice in taken if choice.words and not choice.words.endswith((" off", " open"))]
    words = ", ".join(told) or ("machines off" if group[0].is_fan else "")
    return Choice(words, tuple(pair for choice in taken for pair in choice.settings), share)


_THINNINGS = (
    (_off_or_top, "machines are off or at their top speed, not between"),
    (_windows_shut, "windows are shut"),
    (_filters_together, "filters are all clean or all dirty"),
    (_doors_by_pattern, "inner doors are all open, all shut, or one differs from the others"),
    (_machines_by_pattern, "machines are all off, all on, or one differs from the others"),
    (_doors_alike, "inner doors are all open or all shut"),
    (_machines_alike, "machines are all off or all on"),
)
