"""A bench as a program of its own, started as a user starts it; and a PostgreSQL server of its own, from the system's binaries."""

from __future__ import annotations

import os
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path
from typing import IO

HOST = "127.0.0.1"
WITHIN_S = 60.0
USER = "postgres"
HOMES = ("usr/lib/postgresql/*/bin", "usr/local/pgsql/bin", "opt/homebrew/opt/postgresql*/bin")
COMMAND = (sys.executable, "-c", "from blockwright.cli.main import main; main()")


def free_port() -> int:
    with socket.socket() as asked:
        asked.bind((HOST, 0))
        return int(asked.getsockname()[1])


def clean_environment() -> dict[str, str]:
    """Without what this process itself runs on; one core a process."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("BLOCKWRIGHT", "DJANGO"))}
    return {**kept, "OPENBLAS_NUM_THREADS": "1"}


class Server:
    """`blockwright bench` on a data folder, in a group of processes of its own; killed and started again at the same port."""

    def __init__(self, data: Path, database: str = "", *, before: Iterable[str] = ()) -> None:
        self.data, self.database, self.before, self.port = data, database, tuple(before), free_port()
        self.process: subprocess.Popen[bytes] | None = None
        self._log: IO[bytes] | None = None

    def start(self) -> float:
        """Start it; seconds until it answers."""
        words = ["bench", "--data", str(self.data), "--port", str(self.port), "--no-open", "--log", "warning"]
        words += ["--database", self.database] if self.database else []
        self._log = tempfile.TemporaryFile()  # noqa: SIM115 - open as long as the bench
        begun = time.monotonic()
        self.process = subprocess.Popen(
            [*self.before, *COMMAND, *words],
            env=clean_environment(),
            stdout=subprocess.DEVNULL,
            stderr=self._log,
            start_new_session=True,
        )
        while not self.alive():
            if self.process.poll() is not None or time.monotonic() - begun > WITHIN_S:
                raise RuntimeError(f"the bench did not start: {self.said()}")
            time.sleep(0.02)
        return time.monotonic() - begun

    def alive(self, path: str = "/healthz", timeout: float = 2.0) -> bool:
        try:
            with urllib.request.urlopen(f"http://{HOST}:{self.port}{path}", timeout=timeout) as answer:
                return bool(answer.status == 200)
        except OSError:
            return False

    def said(self) -> str:
        """What it wrote to standard error."""
        if self._log is None:
            return ""
        self._log.seek(0)
        return self._log.read().decode(errors="replace")

    def kill(self) -> None:
        """Every process of it at once, as the kernel does when memory runs out; back when the port is free."""
        self._end(signal.SIGKILL)

    def stop(self) -> None:
        """In order."""
        self._end(signal.SIGTERM)

    def _end(self, sign: signal.Signals) -> None:
        if self.process is None:
            return
        with suppress(ProcessLookupError):
            os.killpg(self.process.pid, sign)
        with suppress(subprocess.TimeoutExpired):
            self.process.wait(15.0)
        with suppress(ProcessLookupError):
            os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()
        self.process = None
        if self._log is not None:
            self._log.close()
            self._log = None
        until = time.monotonic() + WITHIN_S
        while self._listens() and time.monotonic() < until:
            time.sleep(0.01)

    def _listens(self) -> bool:
        with socket.socket() as tried:
            tried.settimeout(0.5)
            return tried.connect_ex((HOST, self.port)) == 0


def binaries() -> Path | None:
    """The folder of the newest PostgreSQL's programs; None where there is none."""
    found = [each for home in HOMES for each in Path("/").glob(home) if (each / "initdb").exists()]
    if found:
        return max(found, key=lambda each: [int(part) for part in each.parts if part.isdecimal()] or [0])
    there = shutil.which("initdb")
    return Path(there).resolve().parent if there else None


class Postgres:
    """A PostgreSQL server of its own, with fsync as it comes. It refuses to run as root, so root lends it a user."""

    def __init__(self, home: Path) -> None:
        found = binaries()
        if found is None:
            raise RuntimeError("there is no PostgreSQL on this machine: install the package postgresql")
        self.bin, self.home, self.port = found, home, free_port()
        self.as_user: list[str] = []
        if os.geteuid() == 0:
            shutil.chown(home, USER, USER)
            self.as_user = ["setpriv", f"--reuid={USER}", f"--regid={USER}", "--clear-groups"]
        self._run("initdb", "-A", "trust", "-U", USER, "--no-sync", "--encoding=UTF8", "--locale=C")
        self.start()

    @property
    def address(self) -> str:
        return f"postgresql://{USER}@{HOST}:{self.port}/postgres"

    def start(self) -> None:
        options = f"-c listen_addresses={HOST} -c port={self.port} -c unix_socket_directories={self.home}"
        self._run("pg_ctl", "-w", "-l", str(self.home / "log"), "-o", options, "start")

    def stop(self, how: str) -> None:
        self._run("pg_ctl", "-w", "-m", how, "stop")

    def ask(self, *statements: str) -> None:
        """Statements that no transaction may hold."""
        import psycopg

        with psycopg.connect(self.address, autocommit=True) as connection:
            for each in statements:
                connection.execute(each)

    def _run(self, program: str, *words: str) -> None:
        asked = [*self.as_user, str(self.bin / program), "-D", str(self.home / "data"), *words]
        done = subprocess.run(
            asked, cwd=self.home, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, check=False
        )
        if done.returncode:
            raise RuntimeError(f"{program}: {done.stderr}")
