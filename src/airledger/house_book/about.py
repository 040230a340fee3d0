"""What a list of houses shows of a house file: its name, its place, what it waits for, how many faults it has."""

from __future__ import annotations

from dataclasses import dataclass

from airledger.errors import AirledgerError, HouseFileError
from airledger.house.house import House, Stage
from airledger.house_book.entries import NEVER
from airledger.io.house_file import read_text
from airledger.io.marks import decode


@dataclass(frozen=True)
class About:
    """What a list shows of a house. decide_by: a date as 2027-03-02, or `NEVER`."""

    name: str
    place: str
    waits_for: str
    decide_by: str
    faults: int


def about(data: bytes, file_name: str) -> About:
    """What a list shows of a house file; of one that cannot be read its name and its faults.

    Parameters
    ----------
    data : bytes
        the file [-]
    file_name : str
        its name, used where it tells none [-]
    """
    plain = file_name.rpartition("/")[2].rpartition(".")[0].replace("-", " ") or file_name
    try:
        house = read_text(decode(data, file_name), file_name).house
    except HouseFileError as problem:
        return About(plain, "", "its faults to be mended", NEVER, max(1, len(problem.faults)))
    except AirledgerError:
        return About(plain, "", "its faults to be mended", NEVER, 1)
    waits_for, decide_by = _next(house)
    return About(house.name, house.site.place, waits_for, decide_by, 0)


def _next(house: House) -> tuple[str, str]:
    """What has to be decided next, and by when: the stage with the earliest date; else what is still open."""
    dated = sorted((stage for stage in house.stages if stage.decides), key=_date)
    if dated:
        return f"{dated[0].name}: {', '.join(dated[0].decides)}", _date(dated[0])
    if house.make_up_air is None:
        return "make-up air", NEVER
    if not house.envelope.tested:
        return "a blower-door test", NEVER
    return ("", NEVER) if house.start_up else ("start-up readings", NEVER)


def _date(stage: Stage) -> str:
    return stage.by if len(stage.by) == len(NEVER) else NEVER
