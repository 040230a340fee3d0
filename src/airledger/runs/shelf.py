"""House files into a house book and out of it: a file with all it refers to, a parcel, a folder kept in step."""

from __future__ import annotations

import getpass
import json
from collections.abc import Iterator, Mapping
from pathlib import Path

from airledger.errors import AirledgerError, InputError
from airledger.house.house import House
from airledger.house_book import Book, Change, EditClash, Listed
from airledger.house_book.backup import is_backup, put_back
from airledger.house_book.parcel import HOUSE_FILES, house_file_of, packed, unpacked
from airledger.house_book.paths import checked_path
from airledger.io.house_file import file_bytes, read
from airledger.io.safe_write import folder as folder_at
from airledger.io.safe_write import write_bytes

LARGEST_PARCEL = 50_000_000
PARCEL = ".zip"
IN_STEP = ".airledger-in-step.json"
"""Written into a folder that is kept in step: which file is which house, at which revision."""


def whoever() -> str:
    """Who is at the keyboard, as the machine knows them."""
    try:
        return getpass.getuser()
    except (OSError, KeyError, ImportError):
        return "somebody"


def gathered(path: str | Path) -> dict[str, bytes]:
    """A house file and every file that it refers to, by path from its folder; the house file comes first.

    Parameters
    ----------
    path : str or Path
        the house file; one with faults comes alone [-]

    Raises
    ------
    InputError
        a file is not there, or lies outside the house file's folder.
    """
    house_file = Path(path)
    files = {checked_path(house_file.name): file_bytes(house_file)}
    try:
        house = read(house_file).house
    except AirledgerError:
        return files
    for name in referred(house):
        for one in _within(house_file.parent, name):
            files[checked_path(one)] = file_bytes(house_file.parent / one, LARGEST_PARCEL)
    return files


def referred(house: House) -> tuple[str, ...]:
    """The files and folders that a house file names.

    Parameters
    ----------
    house : House
        any [-]
    """
    tests = tuple(file for _, files in house.envelope.tested for file in files)
    return tuple(dict.fromkeys(name for name in (house.prices, house.start_up, house.local_rules, *tests) if name))


def _within(folder: Path, name: str) -> Iterator[str]:
    if not (folder / name).is_dir():
        yield name
        return
    for one in sorted((folder / name).rglob("*")):
        if one.is_file() and not one.name.startswith("."):
            yield one.relative_to(folder).as_posix()


def bring_in(book: Book, path: str | Path, by: str, why: str = "") -> list[Listed]:
    """Houses into a book: a house file, a parcel (.zip), a folder of house files, or a backup into an empty book.

    Parameters
    ----------
    book : Book
        where to [-]
    path : str or Path
        what [-]
    by : str
        who [-]
    why : str
        what for; nothing names the file [-]

    Raises
    ------
    InputError
        it is none of these, or cannot be read; then nothing was taken.
    """
    source = Path(path)
    if source.is_dir():
        found = [(gathered(one), one) for one in house_files_in(source)]
        if not found:
            raise InputError(f"{path}: no house file is in this folder")
        return [book.add(files, next(iter(files)), by, why or f"from {one.name}") for files, one in found]
    if source.suffix.lower() == PARCEL:
        files, house_file = received(file_bytes(source, LARGEST_PARCEL), str(path))
        return [book.add(files, house_file, by, why or f"from {source.name}")]
    if source.suffix.lower() in HOUSE_FILES:
        files = gathered(source)
        return [book.add(files, next(iter(files)), by, why or f"from {source.name}")]
    if source.is_file() and is_backup(source):
        put_back(book, source)
        return book.houses(most=book.count())
    file_bytes(source, LARGEST_PARCEL)
    raise InputError(f"{path}: neither a house file (.yaml), a parcel (.zip), a folder of them, nor a backup")


def received(data: bytes, name: str) -> tuple[dict[str, bytes], str]:
    """The files of a house that was handed over as one file, and which of them is the house file.

    Parameters
    ----------
    data : bytes
        a house file alone, or a parcel [-]
    name : str
        of the file, which tells what it is [-]

    Raises
    ------
    InputError
        it is neither, too large, or a parcel that would do harm.
    """
    if len(data) > LARGEST_PARCEL:
        raise InputError(f"{name}: at most {LARGEST_PARCEL // 1_000_000} MB are taken")
    kind = Path(name).suffix.lower()
    if kind == PARCEL:
        files = unpacked(data, name)
        return files, house_file_of(files, name)
    if kind in HOUSE_FILES:
        return {name: data}, name
    raise InputError(f"{name}: a house file (.yaml) or a parcel (.zip) is wanted")


def house_files_in(folder: Path) -> list[Path]:
    """The house files at the top of a folder, by name.

    Parameters
    ----------
    folder : Path
        any folder [-]
    """
    paths = (one for one in sorted(folder.iterdir()) if one.suffix.lower() in HOUSE_FILES and one.is_file())
    return [one for one in paths if any(line.startswith(b"house:") for line in file_bytes(one).splitlines())]


def hand_out(book: Book, house_id: str, target: str | Path, number: int = 0) -> list[Path]:
    """A house out of a book, bit for bit: a parcel where the target ends in .zip, else into a folder.

    Parameters
    ----------
    book : Book
        where from [-]
    house_id : str
        which house [-]
    target : str or Path
        a .zip, or a folder [-]
    number : int
        which revision; 0 is the newest [-]
    """
    files, place = book.house(house_id, number).files, Path(target)
    if place.suffix.lower() == PARCEL:
        return [write_bytes(place, packed(files))]
    return _put(folder_at(place), files)


def _put(folder: Path, files: Mapping[str, bytes]) -> list[Path]:
    for path in files:
        folder_at((folder / path).parent)
    return [write_bytes(folder / path, data) for path, data in sorted(files.items())]


def in_step(book: Book, folder: str | Path, by: str) -> list[str]:
    """One pass that brings a folder of house files and a book to the same state; what was done, in words.

    A file that changed becomes a revision, a revision made elsewhere is written to the file; where both changed, both
    changes are kept field by field. A clash changes neither and is told; so is a file that is gone, whose house stays.

    Parameters
    ----------
    book : Book
        any [-]
    folder : str or Path
        of house files [-]
    by : str
        who [-]

    Raises
    ------
    InputError
        the folder is not there.
    """
    place = Path(folder)
    if not place.is_dir():
        raise InputError(f"{folder}: no such folder")
    told, known = list[str](), _known(place)
    for file in house_files_in(place):
        if file.name not in known:
            listed = book.add(gathered(file), file.name, by, f"from {file.name}")
            known[file.name] = (listed.id, 1)
            told.append(f"{file.name}: taken in as {listed.name}")
    for name, (house_id, number) in sorted(known.items()):
        if not (place / name).exists():
            told.append(f"{name}: is gone from the folder; the house stays in the book")
            continue
        known[name] = (house_id, _one_in_step(book, place / name, (house_id, number), by, told))
    write_bytes(place / IN_STEP, json.dumps(known, indent=1, sort_keys=True).encode())
    return told


def _one_in_step(book: Book, file: Path, at: tuple[str, int], by: str, told: list[str]) -> int:
    """Brings one file and its house together; the revision that both are at."""
    house_id, number = at
    there, here = book.house(house_id, number), gathered(file)
    changed: dict[str, bytes | None] = {path: data for path, data in here.items() if there.files.get(path) != data}
    if changed:
        try:
            saved = book.save(house_id, Change(changed, number, by, f"{file.name} changed in its folder"))
        except EditClash as clash:
            told.append(f"{file.name}: {clash}; neither was changed, put one of both right")
            return number
        told.append(f"{file.name}: saved as revision {saved.number}" + (", merged" if saved.merged else ""))
    head = book.house(house_id)
    if any(here.get(path) != data for path, data in head.files.items()):
        _put(file.parent, head.files)
        told.append(f"{file.name}: written as revision {head.revision.number} has it")
    return head.revision.number


def _known(place: Path) -> dict[str, tuple[str, int]]:
    path = place / IN_STEP
    if not path.exists():
        return {}
    try:
        return {str(name): (str(one), int(number)) for name, (one, number) in json.loads(path.read_bytes()).items()}
    except (ValueError, TypeError, AttributeError) as problem:
        raise InputError(f"{path}: cannot be read; take it away and every file comes in anew: {problem}") from None
