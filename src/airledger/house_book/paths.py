"""Paths within a house's folder: none leads out of it."""

from __future__ import annotations

import re
from pathlib import PurePosixPath

from airledger.errors import InputError

LONGEST = 200
DEVICES = re.compile(r"^(con|prn|aux|nul|com\d|lpt\d)(\..*)?$", re.IGNORECASE)


def checked_path(path: str) -> str:
    """A path as it is kept: forward slashes, below the house's folder.

    Parameters
    ----------
    path : str
        as somebody named it [-]

    Raises
    ------
    InputError
        it is empty, too long, absolute, leads upwards, or holds what a file name cannot.
    """
    plain = path.replace("\\", "/")
    parts = plain.split("/")
    bad = (
        not plain
        or len(plain) > LONGEST
        or plain.startswith("/")
        or re.match(r"^[A-Za-z]:", plain)
        or any(part in ("", ".", "..") or part != part.strip() or DEVICES.match(part) for part in parts)
        or re.search(r'[\x00-\x1f<>:"|?*]', plain)
    )
    if bad:
        raise InputError(f"{path[:80]!r} cannot be the path of a file in a house's folder")
    return str(PurePosixPath(plain))
