"""Studies that are broken off and gone on with: killed at random moments, shared by processes, far workers; always the same rows, each once."""

import json
import random
import signal
import subprocess
import sys
import time
from concurrent.futures.process import BrokenProcessPool
from pathlib import Path

import pytest

from blockwright.engine.job import Job
from blockwright.problems import BlockwrightError
from blockwright.running.sweep import plan, sharing
from blockwright.running.sweep.cases import Change, Ranges, cases
from blockwright.running.sweep.sharing import Hands, hands, shared
from blockwright.running.sweep.study import Swept, sweep

RANGES = Ranges(
    speed_rad_s=(280.0, 340.0), oil=("5W-30", "10W-40"), rod_film=tuple(Change(1e-5 * n, False) for n in (4, 5, 6)),
    second_gap=(Change(), Change(1e-4)),
)  # fmt: skip
DRIVER = """
import sys
from pathlib import Path
from importlib import resources
from blockwright.jobfile.folder import read_folder
from blockwright.running.sweep import plan
from blockwright.running.sweep.cases import Change, Ranges
from blockwright.running.sweep.study import sweep
if __name__ == "__main__":
    plan.DUTIES, plan.PART = 1, 2
    job = read_folder(Path(str(resources.files("blockwright.demos") / "harbour"))).job
    sweep(job, {ranges!r}, rings=True, into=Path(sys.argv[1]), processes=int(sys.argv[2]))
"""


@pytest.fixture
def small(monkeypatch: pytest.MonkeyPatch) -> None:
    """Small parts, so that there are many."""
    monkeypatch.setattr(plan, "DUTIES", 1)
    monkeypatch.setattr(plan, "PART", 2)


def whole(swept: Swept) -> list[object]:
    return list(swept.pairs)


def parts_in(folder: Path) -> int:
    return len(list((folder / "parts").glob("part-*.json")))


def descendants(pid: int) -> set[int]:
    found: set[int] = set()
    for task in Path(f"/proc/{pid}/task").glob("*/children"):
        for child in map(int, task.read_text().split()):
            found |= {child} | descendants(child)
    return found


def alive(pid: int) -> bool:
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


@pytest.mark.slow
@pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="looks for the processes that are left in /proc")
@pytest.mark.parametrize(("processes", "seed"), [(1, 1), (2, 2)])
def test_killed_at_random_moments_it_comes_to_the_same_rows(
    job: Job, small: None, tmp_path: Path, processes: int, seed: int
) -> None:
    chance = random.Random(seed)
    script = tmp_path / "driver.py"
    script.write_text(DRIVER.format(ranges=RANGES))
    broken, seen, kills = tmp_path / "broken", 0, 0
    while kills < 3:
        started = subprocess.Popen([sys.executable, str(script), str(broken), str(processes)])
        end = time.monotonic() + 120.0
        while started.poll() is None and parts_in(broken) <= seen + chance.randrange(3) and time.monotonic() < end:
            time.sleep(0.01)
        time.sleep(chance.uniform(0.0, 0.2))
        family = descendants(started.pid)
        started.send_signal(signal.SIGKILL)
        if started.wait() == 0:
            break
        kills, seen = kills + 1, parts_in(broken)
        end = time.monotonic() + 30.0
        while any(map(alive, family)) and time.monotonic() < end:
            time.sleep(0.05)
        assert not any(map(alive, family)), "a process went on without the one that started it"
    assert kills >= 2
    assert not (broken / "rows.parquet").exists() or parts_in(broken) == 12
    before = {path.name: path.read_bytes() for path in (broken / "parts").glob("part-*.json")}
    assert before
    resumed = sweep(job, RANGES, rings=True, into=broken)
    assert resumed.found == sum(len(json.loads(text)["rows"]) for text in before.values())
    assert {name: (broken / "parts" / name).read_bytes() for name in before} == before, "what was done is left as it is"
    straight = sweep(job, RANGES, rings=True, into=tmp_path / "straight")
    assert [case for case, _ in resumed.pairs] == [case for case, _ in straight.pairs]
    assert len({case for case, _ in resumed.pairs}) == RANGES.count == 24
    assert whole(resumed) == whole(straight)
    assert resumed.table is not None
    assert straight.table is not None
    assert resumed.table.read_bytes() == straight.table.read_bytes()


@pytest.mark.slow
def test_two_processes_come_to_the_rows_of_one(job: Job, small: None, tmp_path: Path) -> None:
    seen: list[tuple[int, int]] = []
    two = sweep(
        job, RANGES, processes=2, into=tmp_path / "two", progress=lambda done, count: seen.append((done, count))
    )
    assert whole(two) == whole(sweep(job, RANGES))
    assert seen[0] == (0, 24)
    assert seen[-1] == (24, 24)
    assert seen == sorted(seen)


@pytest.mark.slow
def test_a_study_that_is_done_is_only_read(
    job: Job, small: None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = sweep(job, RANGES, into=tmp_path)

    def never(*words: object, **named: object) -> None:
        raise AssertionError("worked out again")

    monkeypatch.setattr(sharing, "rows_of", never)
    monkeypatch.setattr(sharing, "states", never)
    again = sweep(job, RANGES, into=tmp_path)
    assert again.found == 24
    assert whole(again) == whole(first)


@pytest.mark.slow
def test_far_workers_come_to_the_same_rows(job: Job, small: None, tmp_path: Path) -> None:
    distributed = pytest.importorskip("distributed")
    with distributed.LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster:
        far = sweep(job, RANGES, scheduler=cluster.scheduler_address, into=tmp_path)
    assert whole(far) == whole(sweep(job, RANGES))


def test_a_scheduler_that_does_not_answer_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    pytest.importorskip("distributed")
    monkeypatch.setattr(sharing, "ANSWER_S", 0.2)
    for address in ("tcp://127.0.0.1:1", "nonsense://x"):
        with pytest.raises(BlockwrightError, match="no scheduler answers"), hands(scheduler=address):
            pass


def test_without_the_extra_a_scheduler_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sharing, "find_spec", lambda name: None)
    with pytest.raises(BlockwrightError, match=r"blockwright\[studies\]"), hands(scheduler="tcp://127.0.0.1:8786"):
        pass


def test_a_process_that_dies_is_said(job: Job, ground) -> None:  # type: ignore[no-untyped-def]
    def give(*words: object, **named: object) -> None:
        raise BrokenProcessPool

    part = plan.Part(0, 0, 1, 0)
    with pytest.raises(BlockwrightError, match="--processes 1"):
        list(shared(ground, cases(job, RANGES), [part], Hands(give, 1), rings=False))  # type: ignore[arg-type]


@pytest.mark.slow
def test_broken_off_by_hand_what_is_done_is_kept(job: Job, small: None, tmp_path: Path) -> None:
    def stop(done: int, count: int) -> None:
        if done >= 6:
            raise KeyboardInterrupt

    ranges = Ranges(rod_film=tuple(Change(1e-5 * n, False) for n in range(3, 13)))
    with pytest.raises(KeyboardInterrupt):
        sweep(job, ranges, into=tmp_path, progress=stop)
    assert parts_in(tmp_path) == 3
    resumed = sweep(job, ranges, into=tmp_path)
    assert resumed.found == 6
    assert whole(resumed) == whole(sweep(job, ranges))
