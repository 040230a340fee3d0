"""A house as a parcel: its file and all it refers to in one zip, the same bytes every time, and back bit for bit."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping

from airledger.errors import InputError
from airledger.house_book.paths import checked_path

EPOCH = (2000, 1, 1, 0, 0, 0)
"""Time of every file in a parcel: a parcel holds no clock."""
MOST_FILES = 500
MOST_BYTES = 100_000_000
"""Files and unpacked bytes past which a parcel is refused."""
HOUSE_FILES = (".yaml", ".yml")


def packed(files: Mapping[str, bytes]) -> bytes:
    """Files as a zip.

    Parameters
    ----------
    files : Mapping[str, bytes]
        by path [-]
    """
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as parcel:
        for path in sorted(files):
            info = zipfile.ZipInfo(path, EPOCH)
            info.compress_type, info.external_attr = zipfile.ZIP_DEFLATED, 0o644 << 16
            parcel.writestr(info, files[path])
    return out.getvalue()


def unpacked(data: bytes, name: str = "parcel") -> dict[str, bytes]:
    """The files of a zip by path.

    Parameters
    ----------
    data : bytes
        the zip [-]
    name : str
        what to call it in messages [-]

    Raises
    ------
    InputError
        it is no zip, is damaged, holds too much, or a path that leads out of the folder.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as parcel:
            entries = [info for info in parcel.infolist() if not info.is_dir()]
            _refuse_too_much(entries, name)
            found: dict[str, bytes] = {}
            left = MOST_BYTES
            for info in entries:
                with parcel.open(info) as entry:
                    content = entry.read(left + 1)
                left -= len(content)
                if left < 0:
                    raise InputError(f"{name}: unpacks to more than {MOST_BYTES:,} bytes")
                found[checked_path(info.filename)] = content
            return found
    except (zipfile.BadZipFile, zipfile.LargeZipFile, NotImplementedError, RuntimeError, EOFError) as problem:
        raise InputError(f"{name}: is no zip that can be read: {problem}") from problem
    except (OSError, ValueError) as problem:
        raise InputError(f"{name}: is damaged: {problem}") from problem


def _refuse_too_much(entries: list[zipfile.ZipInfo], name: str) -> None:
    if len(entries) > MOST_FILES:
        raise InputError(f"{name}: holds {len(entries):,} files, at most {MOST_FILES} are taken")
    if sum(info.file_size for info in entries) > MOST_BYTES:
        raise InputError(f"{name}: unpacks to more than {MOST_BYTES:,} bytes")


def house_file_of(files: Mapping[str, bytes], name: str = "parcel") -> str:
    """Which of the files is the house file: the one YAML file at the top that begins as one.

    Parameters
    ----------
    files : Mapping[str, bytes]
        by path [-]
    name : str
        what to call the parcel in messages [-]

    Raises
    ------
    InputError
        there is none, or there are several.
    """
    found = [
        path
        for path, data in files.items()
        if path.endswith(HOUSE_FILES)
        and "/" not in path
        and any(line.startswith(b"house:") for line in data.splitlines())
    ]
    if len(found) != 1:
        told = f"there are {len(found)}: {', '.join(sorted(found))}" if found else "there is none"
        raise InputError(f"{name}: one house file is wanted at its top, {told}")
    return found[0]
