"""A real PostgreSQL for the tests: its own cluster in a temporary folder, reached by a socket in it."""

import os
import pwd
import shutil
import subprocess
import tempfile
from contextlib import contextmanager
from pathlib import Path

QUICK = ("fsync=off", "full_page_writes=off", "listen_addresses=", "autovacuum=off", "max_connections=150")


def program(name):
    """A program of PostgreSQL, from the path or from where Debian keeps it."""
    places = [str(one) for one in sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True)]
    found = shutil.which(name) or shutil.which(name, path=os.pathsep.join(places))
    if found is None:
        raise FileNotFoundError(f"{name} is not there: make test installs it (Debian: postgresql)")
    return found


def owner():
    """Whom the server runs as: it refuses to run as root."""
    if os.geteuid() != 0:
        return {}
    names = {entry.pw_name for entry in pwd.getpwall()}
    return {"user": "postgres" if "postgres" in names else "nobody"}


@contextmanager
def running(durable=False):
    """A server that runs; its folder, which is also where its socket is."""
    folder = Path(tempfile.mkdtemp(prefix="airledger-pg-", dir="/tmp"))  # a socket's path may not be long
    given = {"env": {**os.environ, "LC_ALL": "C"}, "capture_output": True, "cwd": "/tmp", **owner()}
    try:
        if owner():
            shutil.chown(folder, owner()["user"])
        data = folder / "data"
        initdb = [program("initdb"), "-D", data, "-A", "trust", "-U", "airledger", "-E", "UTF8", "--no-sync"]
        subprocess.run(initdb, check=True, timeout=120, **given)
        settings = [f"-c {one}" for one in (QUICK[2:] if durable else QUICK)]
        start = [program("pg_ctl"), "-D", data, "-w", "-t", "60", "-l", folder / "log"]
        options = " ".join([*settings, f"-k {folder}"])
        subprocess.run([*start, "-o", options, "start"], check=True, timeout=120, **given | {"capture_output": False})
        yield folder
        subprocess.run([*start, "-m", "immediate", "stop"], check=True, timeout=120, **given)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def address(folder, database):
    """The address of a database of this server."""
    return f"postgresql+psycopg://airledger@/{database}?host={folder}"
