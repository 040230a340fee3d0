"""A file is written whole or not at all, and what is in the way is said in words."""

from __future__ import annotations

import errno
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from airledger.errors import InputError
from airledger.io import safe_write


def test_a_text_is_written_and_written_over(tmp_path: Path) -> None:
    file = tmp_path / "house.yaml"
    safe_write.write_text(file, "house: é\n")
    assert file.read_bytes() == "house: é\n".encode()
    safe_write.write_text(file, "x")
    assert file.read_text(encoding="utf-8") == "x"
    assert os.listdir(tmp_path) == ["house.yaml"]


def test_permissions_stay_and_a_link_is_followed(tmp_path: Path) -> None:
    file, link = tmp_path / "house.yaml", tmp_path / "link.yaml"
    file.write_text("old", encoding="utf-8")
    file.chmod(0o640)
    link.symlink_to(file)
    safe_write.write_text(link, "new")
    assert link.is_symlink()
    assert file.read_text(encoding="utf-8") == "new"
    assert file.stat().st_mode & 0o777 == 0o640


@pytest.mark.parametrize("call", ["write", "fsync", "replace"])
def test_a_full_disk_leaves_the_old_file_and_no_scrap(
    call: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "house.yaml"
    file.write_text("old", encoding="utf-8")

    def full(*_: object, **__: object) -> object:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, {"write": "fdopen"}.get(call, call), full)
    with pytest.raises(InputError, match=r"house\.yaml: cannot be written \(No space left on device\)"):
        safe_write.write_text(file, "new")
    monkeypatch.undo()
    assert file.read_text(encoding="utf-8") == "old"
    assert os.listdir(tmp_path) == ["house.yaml"]


@pytest.mark.parametrize("call", ["fsync", "replace"])
def test_an_interrupted_write_leaves_the_old_file_and_no_scrap(
    call: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "house.yaml"
    file.write_text("old", encoding="utf-8")

    def interrupted(*_: object, **__: object) -> object:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, call, interrupted)
    with pytest.raises(KeyboardInterrupt):
        safe_write.write_text(file, "new")
    monkeypatch.undo()
    assert file.read_text(encoding="utf-8") == "old"
    assert os.listdir(tmp_path) == ["house.yaml"]


def test_a_program_that_is_killed_while_it_writes_leaves_the_old_file(tmp_path: Path) -> None:
    file = tmp_path / "house.yaml"
    file.write_text("old", encoding="utf-8")
    dies = (
        "import os, signal, sys\nfrom airledger.io import safe_write\n"
        "os.replace = lambda *_: os.kill(os.getpid(), signal.SIGKILL)\nsafe_write.write_text(sys.argv[1], 'new')\n"
    )
    done = subprocess.run([sys.executable, "-c", dies, str(file)], check=False)
    assert done.returncode == -signal.SIGKILL
    assert file.read_text(encoding="utf-8") == "old"


def test_what_is_in_the_way_is_said(tmp_path: Path) -> None:
    file = tmp_path / "file"
    file.write_text("x", encoding="utf-8")
    with pytest.raises(InputError, match="a folder, not a file"):
        safe_write.write_text(tmp_path, "x")
    with pytest.raises(InputError, match="the folder is not there"):
        safe_write.write_text(tmp_path / "none" / "house.yaml", "x")
    with pytest.raises(InputError, match="cannot be written"):
        safe_write.write_text(file / "house.yaml", "x")
    with pytest.raises(InputError, match="cannot be written"):
        safe_write.write_text("a\0b", "x")
    with pytest.raises(InputError, match="a file stands there, not a folder"):
        safe_write.folder(file)
    with pytest.raises(InputError, match="a file stands there, not a folder"):
        safe_write.folder(file / "below")


def test_a_closed_folder_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def closed(*_: object, **__: object) -> object:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))

    monkeypatch.setattr(safe_write.tempfile, "mkstemp", closed)
    with pytest.raises(InputError, match="may not be written"):
        safe_write.write_text(tmp_path / "house.yaml", "x")


def test_folders_are_made_down_to_the_last(tmp_path: Path) -> None:
    assert safe_write.folder(tmp_path / "a" / "b").is_dir()
    assert safe_write.folder(tmp_path / "a" / "b").is_dir()
