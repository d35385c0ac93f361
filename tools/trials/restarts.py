"""PostgreSQL restarted, made read-only or held by somebody else while clients post readings to the bench."""

from __future__ import annotations

import random
import time
from collections.abc import Callable
from typing import Any

from .clients import Load, send_again
from .disks import WITHIN_S, wait_for, wait_for_no
from .judging import Outcome, outcome
from .looking import Looker
from .served import Postgres, Server

Say = Callable[[str], Any]
WAYS = {"fast": ("fast", 3, 1.0), "immediate": ("immediate", 3, 0.2), "down for long": ("fast", 1, 13.0)}
"""How it is stopped, how often in one trial, and for how long (s): as a service manager does it, as a crash leaves it, longer than the bench waits."""


def restarted(
    server: Server, looker: Looker, postgres: Postgres, way: str, *, clients: int, seed: int, say: Say
) -> Outcome:
    """The server stopped and started as one of `WAYS` says, at moments that come from the seed."""
    mode, times, down_s = WAYS[way]
    rng = random.Random(f"{way}{seed}")

    def restart() -> None:
        for _ in range(times):
            time.sleep(rng.uniform(0.3, 1.2))
            postgres.stop(mode)
            time.sleep(down_s)
            postgres.start()

    mark = f"{way.replace(' ', '-')}.{seed}"
    return _under(
        server, looker, f"restart, {way}", restart, lambda: None, clients=clients, after_s=0.3, say=say, mark=mark
    )


def read_only(server: Server, looker: Looker, postgres: Postgres, *, clients: int, seed: int, say: Say) -> Outcome:
    """The server takes no more writing, as one that only follows another."""

    def switch(to: str) -> None:
        postgres.ask(f"ALTER SYSTEM SET default_transaction_read_only = {to}", "SELECT pg_reload_conf()")

    def do() -> None:
        switch("on")

    def undo() -> None:
        import psycopg

        with psycopg.connect(
            postgres.address, autocommit=True, options="-c default_transaction_read_only=off"
        ) as connection:
            connection.execute("ALTER SYSTEM SET default_transaction_read_only = off")
            connection.execute("SELECT pg_reload_conf()")

    return _under(
        server,
        looker,
        "read-only",
        do,
        undo,
        clients=clients,
        after_s=0.5,
        say=say,
        mark=f"ro.{seed}",
        told=2 * clients,
    )


def locked(server: Server, looker: Looker, postgres: Postgres, *, clients: int, seed: int, say: Say) -> Outcome:
    """Another program holds the books, for longer than the bench waits."""
    import psycopg

    held: list[psycopg.Connection[Any]] = []

    def do() -> None:
        held.append(psycopg.connect(postgres.address))
        held[0].execute("SELECT 1 FROM ledger_book FOR UPDATE")

    def undo() -> None:
        held[0].rollback()
        held[0].close()

    return _under(
        server, looker, "locked", do, undo, clients=clients, after_s=0.5, say=say, mark=f"lock.{seed}", told=clients
    )


def _under(
    server: Server, looker: Looker, fault: str, do: Callable[[], Any], undo: Callable[[], Any], *,
    clients: int, after_s: float, say: Say, mark: str, told: int = 0,
) -> Outcome:  # fmt: skip
    """The fault under load; then the same bench must keep readings by itself."""
    slug = looker.open_books(1)[0]
    words = looker.words(slug)
    if server.process is None:
        server.start()
    load = Load(server.port, slug, words, clients=clients, mark=mark, pause_s=0.05)
    time.sleep(after_s)
    do()
    if told:
        _, alive = wait_for_no(server, lambda: load.count(kept=False) >= told)
        say(f"{fault}: {alive} meanwhile")
    undo()
    ended, kept = time.monotonic(), load.count(kept=True)
    back = wait_for(lambda: load.count(kept=True) > kept, WITHIN_S)
    back_s = time.monotonic() - ended
    time.sleep(0.5)
    load.end()
    say(f"{fault}: {f'back after {back_s:.1f} s by itself' if back else 'NOT back by itself'}")
    before = {each.key for each in load.waiting}
    at_once = looker.look(slug)
    send_again(load)
    return outcome(fault, load.sent, before, at_once, looker.look(slug), back_s)
