"""Do to a bench what may happen to it, on purpose, and count what became of the readings.

    python tools/fault_trials.py --trials 200 --seed 1 [--database sqlite|postgresql] [--fault kill|full-disk|read-only|locked|restart]

Without --fault every fault of the database is tried, one after another. Everything happens on this machine's own address, in a folder that is
taken away again. Ends with 1 where a reading was lost or kept twice or a book does not hold together, with 3 where only the telling was bad.
"""

from __future__ import annotations

import argparse
import contextlib
import sys
import tempfile
import time
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import Any

from trials import disks, kills, restarts
from trials.judging import Outcome
from trials.looking import Looker
from trials.served import Postgres, Server, clean_environment

FAULTS = {
    "sqlite": ("kill", "full-disk", "read-only", "locked"),
    "postgresql": ("kill", "read-only", "locked", "restart"),
}
CLIENTS = 5
HARMED, BADLY_TOLD = 1, 3
HEADS = ("fault", "trials", "readings", "acknowledged", "unanswered", "told no", "of these 503 with a mend", "longest wait for a no, s", "kept unheard", "lost",
         "twice", "strays", "books unsound", "back, s (median, longest)")  # fmt: skip
DISKS = {"full-disk": disks.full, "read-only": disks.read_only, "locked": disks.locked}
ON_SERVER = {"read-only": restarts.read_only, "locked": restarts.locked}


@contextlib.contextmanager
def a_bench(data: Path, database: str = "") -> Iterator[tuple[Server, Looker]]:
    """A bench, not yet started, and what looks into its ledger; both are ended."""
    server, looker = Server(data, database), Looker(data, database, clean_environment())
    try:
        yield server, looker
    finally:
        server.stop()
        looker.close()


def on_sqlite(fault: str, trials: int, how: dict[str, Any], home: Path) -> Iterator[Outcome]:
    if fault == "kill":
        with a_bench(home / "data") as (server, looker):
            yield from kills.killed(server, looker, trials=trials, **how)
            yield from unsound(fault, looker)
        return
    for trial in range(trials):
        with disks.small_disk(home / f"{fault}-{trial}") as (disk, mounted), a_bench(disk / "data") as (server, looker):
            if not mounted:
                how["say"](f"{fault}: no disk of its own could be mounted; a limit on files, or rights, take its place")
            yield DISKS[fault](server, looker, mounted, **{**how, "seed": how["seed"] + trial})


def on_postgresql(fault: str, trials: int, how: dict[str, Any], home: Path) -> Iterator[Outcome]:
    (home / "server").mkdir()
    home.chmod(0o755)
    postgres = Postgres(home / "server")
    try:
        with a_bench(home / "data", postgres.address) as (server, looker):
            if fault == "kill":
                yield from kills.killed(server, looker, trials=trials, **how)
            for trial in range(trials if fault != "kill" else 0):
                seeded = {**how, "seed": how["seed"] + trial}
                if fault == "restart":
                    yield from (restarts.restarted(server, looker, postgres, each, **seeded) for each in restarts.WAYS)
                else:
                    yield ON_SERVER[fault](server, looker, postgres, **seeded)
            yield from unsound(fault, looker)
    finally:
        with contextlib.suppress(RuntimeError):
            postgres.stop("immediate")


def unsound(fault: str, looker: Looker) -> Iterator[Outcome]:
    """The whole ledger at the end: one more outcome where anything is wrong with it."""
    found = looker.verify()
    if found:
        yield Outcome(f"{fault}, the whole ledger", 0, 0, 0, 0, 0, 0, (), (), (), tuple(found))


def cells(name: str, found: list[Outcome]) -> list[str]:
    def total(of: str) -> str:
        values = [getattr(each, of) for each in found]
        return str(sum(value if isinstance(value, int) else len(value) for value in values))

    back = sorted(each.back_s for each in found)
    told = [total(of) for of in ("sent", "acknowledged", "unanswered", "refused", "well_told")]
    harm = [total(of) for of in ("late", "lost", "twice", "strays", "chain")]
    slowest = f"{max(each.slowest_no_s for each in found):.1f}"
    return [name, str(len(found)), *told, slowest, *harm, f"{back[len(back) // 2]:.1f}, {back[-1]:.1f}"]


def table(outcomes: list[Outcome]) -> Iterator[str]:
    rows = [list(HEADS), ["---"] * len(HEADS)]
    for name in dict.fromkeys(each.fault for each in outcomes):
        rows.append(cells(name, [each for each in outcomes if each.fault == name]))
    yield from ("| " + " | ".join(row) + " |" for row in rows)


def remarks(outcomes: list[Outcome]) -> Iterator[str]:
    for each in outcomes:
        for what in ("lost", "twice", "strays", "chain", "badly_told"):
            yield from (f"{each.fault}: {what.replace('_', ' ')}: {one}" for one in getattr(each, what)[:5])


def asked() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument(
        "--trials", type=int, default=200, help="trials of each fault; a kill takes some 4 s, the others up to a minute"
    )
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--clients", type=int, default=CLIENTS)
    parser.add_argument("--database", choices=sorted(FAULTS), default="sqlite")
    parser.add_argument("--fault", choices=sorted({each for some in FAULTS.values() for each in some}))
    given = parser.parse_args()
    if given.fault and given.fault not in FAULTS[given.database]:
        parser.error(f"--fault {given.fault} is not for {given.database}: {', '.join(FAULTS[given.database])}")
    return given


def main() -> int:
    given = asked()
    how = {"clients": given.clients, "seed": given.seed, "say": partial(print, file=sys.stderr, flush=True)}
    run = on_sqlite if given.database == "sqlite" else on_postgresql
    begun = time.monotonic()
    outcomes: list[Outcome] = []
    for fault in [given.fault] if given.fault else FAULTS[given.database]:
        with tempfile.TemporaryDirectory(prefix="blockwright-trials-") as home:
            outcomes += run(fault, given.trials, how, Path(home))
    print(f"{given.database}, seed {given.seed}, {given.clients} clients, {time.monotonic() - begun:.0f} s\n")
    print("\n".join(table(outcomes)))
    print("\n".join(dict.fromkeys(remarks(outcomes))))
    if any(each.harmed for each in outcomes):
        return HARMED
    return BADLY_TOLD if any(each.badly_told for each in outcomes) else 0


if __name__ == "__main__":
    sys.exit(main())
