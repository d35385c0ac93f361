"""The bench as it is served: how long a reading takes there and back, how long it is until the bench answers, and what its pages weigh.

A short run by itself; `BLOCKWRIGHT_BENCH_SECONDS=60` makes the figures for the documentation. Losing a reading fails, being slow does not.
"""

import os
import shutil
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from . import clients as at

SECONDS = float(os.environ.get("BLOCKWRIGHT_BENCH_SECONDS", "5"))
CLIENTS = (1, 10, 50)
AIM_P95_S, AIM_START_S = 0.100, 2.0
PAGES = (("engine", ""), ("measure", "measure/"), ("route", "route/"))
Say = Callable[[str], None]


@pytest.fixture(params=["sqlite", "postgresql"])
def database(request: pytest.FixtureRequest) -> Iterator[str]:
    """Blank for the file in the data folder, or the address of a server of its own."""
    if request.param == "sqlite":
        yield ""
        return
    from trials.served import Postgres, binaries

    if binaries() is None:
        pytest.skip("no PostgreSQL on this machine")
    home = Path(
        tempfile.mkdtemp(prefix="blockwright-postgres-")
    )  # pytest's own folders let no other user in, and root lends one
    postgres = Postgres(home)
    yield postgres.address
    postgres.stop("immediate")
    shutil.rmtree(home)


@pytest.fixture
def bench(database: str, tmp_path: Path) -> Iterator[tuple[at.Server, at.Looker]]:
    with at.a_bench(tmp_path / "bench", database) as running:
        yield running


def test_round_trips(bench: tuple[at.Server, at.Looker], database: str, say: Say) -> None:
    """Over real sockets, each client with one reading a second: none may be lost."""
    name = "PostgreSQL" if database else "SQLite"
    for count in CLIENTS:
        trip = at.round_trips(*bench, count, SECONDS)
        p50, p95, p99 = (1e3 * trip.at(share) for share in (0.50, 0.95, 0.99))
        say(
            f"a reading there and back, {name}, {count} clients, {len(trip.took_s)} readings: p50 {p50:.0f}, p95 {p95:.0f}, p99 {p99:.0f} ms; "
            f"begun late {trip.late}, told to come again {trip.put_off}, lost {len(trip.lost)}   aim: p95 under {1e3 * AIM_P95_S:.0f} ms, none lost"
        )
        assert not trip.lost, trip.lost[:5]


def test_start(tmp_path: Path, say: Say) -> None:
    """From the command to the first answer: the tables still to make, then with everything there."""
    server = at.Server(tmp_path / "bench")
    took = []
    for _ in range(4):
        took.append(server.start())
        server.stop()
    say(
        f"the bench from command to answer: first time {took[0]:.2f} s, then {sorted(took[1:])[1]:.2f} s   aim: under {AIM_START_S:.0f} s"
    )


@pytest.mark.skipif(at.CHROMIUM is None, reason="no chromium here")
def test_pages(tmp_path: Path, say: Say) -> None:
    with at.a_bench(tmp_path / "bench") as (server, looker):
        slug = looker.open_books(1)[0]
        for each in at.page_weights(server, slug, PAGES):
            say(
                f"page {each.page}: {each.requests} requests, {each.sent_bytes / 1e3:.0f} kB sent ({each.whole_bytes / 1e3:.0f} kB unpacked; "
                f"the page itself {'packed' if each.packed else 'NOT packed'}); answered after {1e3 * each.answered_s:.0f} ms, painted after "
                f"{1e3 * each.painted_s:.0f} ms; again {each.again_bytes / 1e3:.0f} kB, {1e3 * each.again_painted_s:.0f} ms"
            )
            assert each.requests > 1
