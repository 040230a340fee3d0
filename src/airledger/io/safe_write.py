"""Files written whole or not at all: first under a temporary name in the same folder, then put in place."""

from __future__ import annotations

import contextlib
import os
import tempfile
from pathlib import Path

from airledger.errors import InputError


def write_text(path: str | Path, text: str) -> Path:
    """Writes a text in UTF-8; the path written.

    Parameters
    ----------
    path : str or Path
        the file [-]
    text : str
        its content [-]
    """
    return write_bytes(path, text.encode("utf-8"))


def write_bytes(path: str | Path, data: bytes) -> Path:
    """Writes a file whole or not at all; a reader sees the old content or the new, never a part. The path written.

    Parameters
    ----------
    path : str or Path
        the file; a link is followed, so that the file behind it changes [-]
    data : bytes
        its content [-]

    Raises
    ------
    InputError
        a folder stands there, the folder around it is missing or closed, or the disk is full.
    """
    target = Path(path)
    if target.is_dir():
        raise InputError(f"{path}: a folder, not a file")
    try:
        target = target.resolve()
        kept = target.stat().st_mode & 0o777 if target.exists() else 0o666 & ~_umask()
        handle, temporary = tempfile.mkstemp(prefix=f".{target.name[:40]}.", suffix=".part", dir=target.parent)
    except (OSError, ValueError) as problem:
        raise InputError(_words(path, problem)) from None
    try:
        with contextlib.ExitStack() as scrap:  # Ctrl-C too leaves none
            scrap.callback(Path(temporary).unlink, missing_ok=True)
            with os.fdopen(handle, "wb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            os.chmod(temporary, kept)
            os.replace(temporary, target)
    except OSError as problem:
        raise InputError(_words(path, problem)) from None
    return target


def folder(path: str | Path) -> Path:
    """A folder that is there after the call, made if it was not.

    Parameters
    ----------
    path : str or Path
        the folder [-]

    Raises
    ------
    InputError
        a file stands there, or it cannot be made.
    """
    try:
        Path(path).mkdir(parents=True, exist_ok=True)
    except (FileExistsError, NotADirectoryError):
        raise InputError(f"{path}: a file stands there, not a folder") from None
    except (OSError, ValueError) as problem:
        raise InputError(_words(path, problem)) from None
    return Path(path)


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def _words(path: str | Path, problem: OSError | ValueError) -> str:
    """Why a file cannot be written, in words."""
    if isinstance(problem, FileNotFoundError):
        return f"{path}: the folder is not there"
    if isinstance(problem, PermissionError):
        return f"{path}: may not be written"
    return f"{path}: cannot be written ({getattr(problem, 'strerror', None) or problem})"
