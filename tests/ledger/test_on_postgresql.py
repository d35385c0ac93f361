"""The tests of the ledger once more, on a PostgreSQL server of their own; and backups from either database to the other.

Where the system has no server's binaries this is passed over, but not in CI.
"""

import contextlib
import os
import re
import shutil
import socket
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(bool(os.environ.get("BLOCKWRIGHT_DATABASE")), reason="this run is on a server already"),
]
HERE = Path(__file__).resolve().parent
HOMES = ("usr/lib/postgresql/*/bin", "usr/local/pgsql/bin", "opt/homebrew/opt/postgresql*/bin")
USER = "postgres"


def binaries() -> Path | None:
    """The folder of the newest server's programs; None where there is none."""
    found = [each for home in HOMES for each in Path("/").glob(home) if (each / "initdb").exists()]
    if found:
        return max(found, key=lambda each: [int(part) for part in each.parts if part.isdecimal()] or [0])
    there = shutil.which("initdb")
    return Path(there).resolve().parent if there else None


@contextlib.contextmanager
def served(bin_folder: Path) -> Iterator[str]:
    """The address of a server that holds nothing, without the name of a database. It refuses to run as root, so root lends it a user."""
    home = Path(tempfile.mkdtemp(prefix="blockwright-postgres-"))
    as_user: list[str] = []
    if os.geteuid() == 0:
        shutil.chown(home, USER, USER)
        as_user = ["setpriv", f"--reuid={USER}", f"--regid={USER}", "--clear-groups"]

    def run(program: str, *words: str) -> None:
        asked = [*as_user, str(bin_folder / program), "-D", str(home / "data"), *words]
        done = subprocess.run(
            asked, cwd=home, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, check=False
        )
        assert done.returncode == 0, done.stderr

    try:
        port = free_port()
        run("initdb", "-A", "trust", "-U", USER, "--no-sync", "--encoding=UTF8", "--locale=C")
        options = f"-c listen_addresses=127.0.0.1 -c port={port} -c unix_socket_directories={home} -c fsync=off"
        run("pg_ctl", "-w", "-l", str(home / "log"), "-o", options, "start")
        try:
            yield f"postgresql://{USER}@127.0.0.1:{port}"
        finally:
            run("pg_ctl", "-w", "-m", "immediate", "stop")
    finally:
        shutil.rmtree(home, ignore_errors=True)


def free_port() -> int:
    with socket.socket() as asked:
        asked.bind(("127.0.0.1", 0))
        return int(asked.getsockname()[1])


@pytest.fixture(scope="module")
def server() -> Iterator[str]:
    found = binaries()
    if found is None:
        assert not os.environ.get("CI"), "CI has no PostgreSQL: install the package postgresql"
        pytest.skip("no PostgreSQL on this machine")
    with served(found) as address:
        yield address


def test_every_test_of_the_ledger_passes_on_a_server(server: str) -> None:
    environment = {**os.environ, "BLOCKWRIGHT_DATABASE": f"{server}/postgres"}
    asked = [sys.executable, "-m", "pytest", str(HERE), "-q", "-p", "no:cacheprovider", "-p", "no:xdist"]
    done = subprocess.run(asked, capture_output=True, text=True, check=False, env=environment, cwd=HERE.parents[1])
    assert done.returncode == 0, done.stdout[-12000:] + done.stderr[-2000:]
    passed = re.search(r"(\d+) passed", done.stdout)
    assert passed, done.stdout
    assert int(passed[1]) > 100, done.stdout


def test_a_backup_goes_from_either_database_to_the_other(server: str, give, new_folder: Path, tmp_path: Path) -> None:
    import psycopg

    with psycopg.connect(f"{server}/postgres", autocommit=True) as connection:
        connection.execute("CREATE DATABASE other")
    first, last = ("--data", tmp_path / "first"), ("--data", tmp_path / "last")
    between = ("--data", tmp_path / "between", "--database", f"{server}/other")
    assert give("ledger", "import", new_folder, *first).code == 0
    for number, (source, target) in enumerate(((first, between), (between, last))):
        assert give("ledger", "backup", tmp_path / f"{number}.zip", *source).code == 0
        assert give("ledger", "restore", tmp_path / f"{number}.zip", *target).code == 0
        assert give("ledger", "verify", *target).code == 0
    for name, where in (("one", first), ("two", between), ("three", last)):
        assert give("ledger", "export", "bench 7", "--to", tmp_path / name, *where).code == 0
    files = [{file.name: file.read_bytes() for file in (tmp_path / name).iterdir()} for name in ("one", "two", "three")]
    assert files[0] == files[1] == files[2]
