"""Several programs write one book at once: nothing is lost, numbers have no gaps, and a backup taken meanwhile is of one moment."""

from collections import Counter

import pytest

pytestmark = pytest.mark.slow

EACH = 100
WRITE = """
name, count, rows = words[0], int(words[1]), words[2:]
for number in range(count):
    event = store.keep("reading taken", {"row": rows[number % len(rows)], "value": str(number), "unit": "um"}, by=name, at=at, key=f"{name}-{number}")
    print(event.number, flush=True)
"""
LOOK = """
from blockwright.acts.event import check_chain
events = store.events()
book.refresh_from_db()
assert check_chain(events) == ()
assert (book.head_number, book.head_digest) == (events[-1].number, events[-1].digest)
for event in events[1:]:
    print(event.number, event.key)
print("taken", sum(1 for row in store.kept().job.readings if row.text))
"""


def test_three_write_a_hundred_readings_each(place, child, give, new_folder, rows: list[str]) -> None:
    assert give("ledger", "import", new_folder, *place.words).code == 0
    writers = {name: child(place, WRITE, name, str(EACH), *rows) for name in ("one", "two", "three")}
    acknowledged = {}
    for name, writer in writers.items():
        out, err = writer.communicate(timeout=500)
        assert err == ""
        acknowledged |= {f"{name}-{index}": int(number) for index, number in enumerate(out.split())}
    assert sorted(acknowledged.values()) == list(range(2, 2 + 3 * EACH))

    out, err = child(place, LOOK).communicate(timeout=120)
    assert err == ""
    *events, taken = out.splitlines()
    assert {key: int(number) for number, key in map(str.split, events)} == acknowledged
    assert Counter(key.partition("-")[0] for key in acknowledged) == dict.fromkeys(writers, EACH)
    assert taken == f"taken {3 * EACH}"
    assert give("ledger", "verify", *place.words).code == 0


def test_a_key_that_several_send_at_once_is_kept_once(place, child, give, new_folder, rows: list[str]) -> None:
    assert give("ledger", "import", new_folder, *place.words).code == 0
    writers = [child(place, WRITE, "same", "15", *rows) for _ in range(3)]
    answers = [writer.communicate(timeout=300) for writer in writers]
    assert answers == [("".join(f"{number}\n" for number in range(2, 17)), "")] * 3


def test_backups_while_somebody_writes(place, new_place, child, give, new_folder, rows: list[str], tmp_path) -> None:
    """And the writer is killed in the end: all that it was told is kept is on record."""
    assert give("ledger", "import", new_folder, *place.words).code == 0
    writer = child(
        place, WRITE.replace("    print", "    import time; time.sleep(0.05)\n    print"), "one", "100000", *rows
    )
    sizes, acknowledged = [], 0
    for number in range(2):
        acknowledged = int(writer.stdout.readline())
        done = give("ledger", "backup", tmp_path / f"{number}.zip", *place.words)
        assert done.code == 0, done.err
        assert give("ledger", "verify", *place.words).code == 0
        sizes.append(int(done.out.split(", ")[1].split()[0]))
        assert sizes[-1] >= acknowledged
        assert writer.poll() is None, writer.stderr.read()
    writer.kill()
    acknowledged = int(writer.communicate()[0].split()[-1])
    assert sizes == sorted(set(sizes))
    for number, size in enumerate(sizes):
        other = new_place()
        assert give("ledger", "restore", tmp_path / f"{number}.zip", *other.words).code == 0
        assert f", {size} events" in give("ledger", "list", *other.words).out
    done = give("ledger", "verify", *place.words)
    assert done.code == 0
    assert int(done.out.partition(": ")[2].split()[0]) in (acknowledged, acknowledged + 1)
