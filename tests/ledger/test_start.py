"""Getting going: tables from nothing to the latest, by one program or several at once; never by an older one."""

from collections.abc import Callable
from pathlib import Path

import pytest
from django.core.management import call_command
from django.db import connection

from blockwright.ledger.place import BUSY_S

Child = Callable[..., "object"]


@pytest.mark.django_db(transaction=True)
def test_the_models_are_as_the_migrations_make_them() -> None:
    call_command("makemigrations", "--check", "--dry-run", verbosity=0)


SHOW = """
from django.core.management import call_command
from django.db.migrations.executor import MigrationExecutor
from blockwright.ledger.place import BUSY_S
executor = MigrationExecutor(connection)
print(executor.migration_plan(executor.loader.graph.leaf_nodes()), Book.objects.count(), connection.vendor)
call_command("migrate", "ledger", "zero", verbosity=0)
call_command("migrate", "ledger", verbosity=0)
print(Book.objects.count())
"""


def test_from_nothing_to_the_latest_and_back(place, child, request) -> None:
    out, err = child(place, SHOW).communicate(timeout=120)
    assert err == ""
    assert out.splitlines() == [f"[] 0 {'postgresql' if place.database else 'sqlite'}", "0"]


def test_several_may_start_at_once(place, child) -> None:
    started = [child(place, "print(Book.objects.count())") for _ in range(3)]
    assert [each.communicate(timeout=120) for each in started] == [("0\n", "")] * 3


NEWER = """
connection.cursor().execute("INSERT INTO django_migrations (app, name, applied) VALUES ('ledger', '9999_later', CURRENT_TIMESTAMP)")
"""


def test_a_newer_ledger_is_left_alone(place, child, give) -> None:
    assert child(place, NEWER).communicate(timeout=120)[1] == ""
    done = give("ledger", "list", *place.words)
    assert done.code == 2
    assert "made by a newer Blockwright" in done.err


def test_a_pragma_is_what_it_should_be(place, child) -> None:
    if place.database:
        asked, wanted = "SHOW lock_timeout", f"('{BUSY_S}s',)"
    else:
        asked, wanted = "PRAGMA journal_mode", "('wal',)"
    out, err = child(place, f"print(connection.cursor().execute('{asked}').fetchone())").communicate(timeout=120)
    assert (out.strip(), err) == (wanted, "")


def test_the_clock_of_the_machine_is_not_moved(place, child, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TZ", "Asia/Tokyo")
    out, err = child(place, "print(dt.datetime.now().astimezone().utcoffset())").communicate(timeout=120)
    assert (out, err) == ("9:00:00\n", "")


def test_another_ledger_in_the_same_process_is_refused(place, child, tmp_path: Path) -> None:
    code = "try: start(Path(words[0]))\nexcept RuntimeError as fault: print(fault)"
    out, err = child(place, code, str(tmp_path / "other")).communicate(timeout=120)
    assert (out, err) == ("the ledger was started with another data folder; one process serves one ledger\n", "")


@pytest.mark.parametrize(
    ("url", "words"),
    [("postgresql://nobody@127.0.0.1:1/none", "cannot be reached"), ("oracle://x/y", "only postgresql:// is known")],
)
def test_a_server_that_is_not_there_is_told_without_a_traceback(tmp_path: Path, give, url: str, words: str) -> None:
    done = give("ledger", "list", "--data", tmp_path / "data", "--database", url)
    assert done.code == 2
    assert words in " ".join(done.err.split())
    assert "Traceback" not in done.err


def test_the_tests_leave_the_users_own_ledger_alone(db: None) -> None:
    name = str(connection.settings_dict["NAME"])
    assert "memory" in name or name.startswith("test_")
