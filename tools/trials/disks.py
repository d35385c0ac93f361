"""What a disk or another program can do to a bench on SQLite: no room, no right to write, the ledger held by somebody else."""

from __future__ import annotations

import contextlib
import os
import random
import shutil
import sqlite3
import subprocess
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from .clients import Load, send_again
from .judging import Outcome, outcome
from .looking import Looker
from .served import Server

FILE = "ledger.sqlite3"
DISK_MB = 12
WITHIN_S = 45.0
Say = Callable[[str], Any]


@contextlib.contextmanager
def small_disk(home: Path) -> Iterator[tuple[Path, bool]]:
    """A disk of its own in memory; where this user may not mount one, a plain folder (False)."""
    home.mkdir(parents=True, exist_ok=True)
    asked = ["mount", "-t", "tmpfs", "-o", f"size={DISK_MB}m", "tmpfs", str(home)]
    mounted = (
        os.geteuid() == 0
        and shutil.which("mount") is not None
        and subprocess.run(asked, capture_output=True, check=False).returncode == 0
    )
    try:
        yield home, mounted
    finally:
        if mounted:
            subprocess.run(["umount", "-l", str(home)], check=False)


def full(server: Server, looker: Looker, mounted: bool, *, clients: int, seed: int, say: Say) -> Outcome:
    """The disk is filled by a file that has nothing to do with the bench, and later emptied of it."""
    if not mounted:
        return _limited(server, looker, clients=clients, seed=seed, say=say)
    ballast = server.data.parent / "ballast"

    def fill() -> None:
        with contextlib.suppress(OSError), ballast.open("wb", buffering=0) as file:
            while True:
                file.write(bytes(4096))

    def top_up() -> None:
        """What the bench's own closing of files sets free is taken too."""
        with contextlib.suppress(OSError), ballast.open("ab", buffering=0) as file:
            while True:
                file.write(bytes(4096))

    return _under(server, looker, "full-disk", fill, ballast.unlink, clients=clients, seed=seed, say=say, again=top_up)


def _limited(server: Server, looker: Looker, *, clients: int, seed: int, say: Say) -> Outcome:
    """No file of the bench may grow over what it has: the nearest to a full disk that a user can do to himself (RLIMIT_FSIZE)."""
    import resource

    def limit(size: int) -> None:
        for child in _family(server):
            resource.prlimit(child, resource.RLIMIT_FSIZE, (size, resource.RLIM_INFINITY))

    ledger = server.data / FILE
    lift = lambda: limit(resource.RLIM_INFINITY)  # noqa: E731
    return _under(
        server, looker, "full-disk", lambda: limit(ledger.stat().st_size), lift, clients=clients, seed=seed, say=say
    )


def _family(server: Server) -> list[int]:
    assert server.process is not None
    children = Path(f"/proc/{server.process.pid}/task/{server.process.pid}/children").read_text().split()
    return [server.process.pid, *map(int, children)]


def read_only(server: Server, looker: Looker, mounted: bool, *, clients: int, seed: int, say: Say) -> Outcome:
    """The disk is made read-only between two requests, as the kernel does after a fault of the disk; without a mount, the folder's rights are taken."""
    home = server.data.parent

    def mount(how: str) -> bool:
        asked = ["mount", "-o", f"remount,{how}", str(home)]
        return wait_for(lambda: subprocess.run(asked, capture_output=True, check=False).returncode == 0, 4.0)

    def take() -> None:
        """Where the bench holds its files open the disk cannot be taken from under it: then it finds it so when it starts."""
        if mount("ro"):
            return
        server.kill()
        if not mount("ro"):
            raise RuntimeError("the disk could not be made read-only: something else holds files on it open")
        try:
            server.start()
        except RuntimeError as fault:
            say(f"read-only: started on such a disk: {str(fault)[-300:]}")
            server.kill()

    def give_back() -> None:
        mount("rw")
        if server.process is None:
            server.start()

    def rights(folder: int, file: int) -> None:
        for each in server.data.iterdir():
            each.chmod(file)
        server.data.chmod(folder)

    do, undo = (take, give_back) if mounted else (lambda: rights(0o500, 0o400), lambda: rights(0o700, 0o600))
    return _under(server, looker, "read-only", do, undo, clients=clients, seed=seed, say=say, quietly=True)


def locked(server: Server, looker: Looker, mounted: bool, *, clients: int, seed: int, say: Say) -> Outcome:
    """Another program begins to write and does not end, for longer than the bench waits."""
    held: list[sqlite3.Connection] = []

    def hold() -> None:
        connection = sqlite3.connect(server.data / FILE, timeout=30.0, isolation_level=None, check_same_thread=False)
        connection.execute("BEGIN IMMEDIATE")
        held.append(connection)

    def let_go() -> None:
        held[0].execute("ROLLBACK")
        held[0].close()

    return _under(server, looker, "locked", hold, let_go, clients=clients, seed=seed, say=say, rounds=1)


def _under(
    server: Server, looker: Looker, fault: str, do: Callable[[], Any], undo: Callable[[], Any], *,
    clients: int, seed: int, say: Say, quietly: bool = False, again: Callable[[], Any] = lambda: None, rounds: int = 3,
) -> Outcome:  # fmt: skip
    """The fault under load, until every client has been told no; then undone, and the same bench must keep readings by itself."""
    slug = looker.open_books(1)[0]
    words = looker.words(slug)
    server.start()
    load = Load(server.port, slug, words, clients=clients, mark=f"{fault}.{seed}", pause_s=0.05)
    time.sleep(random.Random(seed).uniform(0.3, 1.5))
    if quietly:
        load.hold()
        time.sleep(0.3)
    do()
    load.go_on()
    told, alive = wait_for_no(server, lambda: load.count(kept=False) >= rounds * clients or (again() or False))
    if quietly:
        load.hold()
        time.sleep(0.3)
    undo()
    ended = time.monotonic()
    kept = load.count(kept=True)
    load.go_on()
    wait_for(lambda: load.count(kept=True) > kept, WITHIN_S)
    back_s = time.monotonic() - ended
    time.sleep(0.3)
    load.end()
    say(f"{fault}: {'every client was told no' if told else 'NOT every client was told no'}; {alive} meanwhile")
    before = {each.key for each in load.waiting}
    at_once = looker.look(slug)
    send_again(load)
    return outcome(fault, load.sent, before, at_once, looker.look(slug), back_s)


def wait_for_no(server: Server, true: Callable[[], bool]) -> tuple[bool, str]:
    """Wait until it is so; and, in words, how often the bench said meanwhile, within a second, that it is alive."""
    asked = answered = 0
    until = time.monotonic() + WITHIN_S
    while not (told := true()) and time.monotonic() < until:
        asked += 1
        answered += server.alive(timeout=1.0)
        time.sleep(0.2)
    return told, f"alive {answered} of {asked} times when asked"


def wait_for(true: Callable[[], bool], seconds: float) -> bool:
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        if true():
            return True
        time.sleep(0.05)
    return False
