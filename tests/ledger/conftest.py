"""What the tests of the ledger share: a job with its readings still to take, books of it, and ledgers of their own for other programs.

The same tests run on SQLite and, by `test_on_postgresql`, on PostgreSQL: BLOCKWRIGHT_DATABASE says which.
"""

import datetime as dt
import os
import secrets
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import NamedTuple

import pytest

from blockwright.acts.event import Event
from blockwright.cli.main import main
from blockwright.jobfile.folder import read_folder, texts_of_folder
from blockwright.ledger.books import open_book
from blockwright.ledger.models import Book
from blockwright.ledger.store import LedgerStore

SERVER = os.environ.get("BLOCKWRIGHT_DATABASE", "")
AT = dt.datetime(2026, 5, 4, 9, 30, tzinfo=dt.timezone(dt.timedelta(hours=2)))
NEW = ("--no-ask", "--name", "Bench 7", "--bore", "86 mm", "--stroke", "86 mm", "--rod-length", "143 mm",
       "--main-journal", "55 mm", "--rod-journal", "48 mm", "--pin-diameter", "21 mm")  # fmt: skip


class Place(NamedTuple):
    """A ledger of its own: its data folder, and its database where it lies on a server."""

    data: Path
    database: str

    @property
    def words(self) -> list[str]:
        return ["--data", str(self.data), *(["--database", self.database] if self.database else [])]


class Done(NamedTuple):
    code: int
    out: str
    err: str


@pytest.fixture(scope="session")
def new_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A job folder whose readings are all still to take."""
    folder = tmp_path_factory.mktemp("jobs") / "new"
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sys, "argv", ["blockwright", "new", str(folder), *NEW])
        with pytest.raises(SystemExit) as leaving:
            main()
    assert not leaving.value.code
    return folder


@pytest.fixture(scope="session")
def texts(new_folder: Path) -> dict[str, str]:
    return texts_of_folder(new_folder)


@pytest.fixture(scope="session")
def rows(new_folder: Path) -> list[str]:
    """Ids of rows of a comparator, still to take."""
    return [each.id for each in read_folder(new_folder).job.readings if each.gauge == "BG1"]


@pytest.fixture
def book(texts: dict[str, str], transactional_db: None) -> Book:
    return open_book(texts, "A. Hand", name="new")


@pytest.fixture
def store(book: Book) -> LedgerStore:
    return LedgerStore(book)


@pytest.fixture
def take(rows: list[str]) -> Callable[..., Event]:
    """Take the reading of a planned row, by its place among the rows."""

    def taken(store: LedgerStore, index: int, value: str = "3", key: str = "") -> Event:
        words = {"row": rows[index], "value": value, "unit": "um"}
        return store.keep("reading taken", words, by="A. Hand", at=AT, key=key or secrets.token_hex(8))

    return taken


@pytest.fixture
def new_place(tmp_path: Path) -> Callable[[], Place]:
    """Makes ledgers of their own, on the database that these tests run on."""

    def make() -> Place:
        name = f"own_{secrets.token_hex(4)}"
        return Place(tmp_path / name, fresh_database(SERVER, name) if SERVER else "")

    return make


@pytest.fixture
def place(new_place: Callable[[], Place]) -> Place:
    return new_place()


@pytest.fixture
def give() -> Callable[..., Done]:
    """Run a command as a program of its own."""

    def given(*words: str | Path) -> Done:
        asked = [sys.executable, "-W", "error", "-c", "from blockwright.cli.main import main; main()", *map(str, words)]
        done = subprocess.run(asked, capture_output=True, text=True, check=False, env=clean_environment())
        return Done(done.returncode, done.stdout, done.stderr)

    return given


@pytest.fixture
def child() -> Iterator[Callable[..., "subprocess.Popen[str]"]]:
    """Start a Python program of its own on a ledger; `book`, `store` and `words` are at hand in it. None outlives the test."""
    all_of_them: list[subprocess.Popen[str]] = []

    def started(place: Place, code: str, *words: str) -> "subprocess.Popen[str]":
        asked = [sys.executable, "-W", "error", "-c", BEGINNING + code, str(place.data), place.database, *words]
        pipe = subprocess.PIPE
        each = subprocess.Popen(asked, stdout=pipe, stderr=pipe, text=True, env=clean_environment())
        all_of_them.append(each)
        return each

    yield started
    for each in all_of_them:
        if not (each.stdout and each.stdout.closed):
            each.kill()
            each.communicate()


BEGINNING = """
import datetime as dt, sys
from pathlib import Path
from blockwright.ledger.start import start
from blockwright.problems import BlockwrightError
start(Path(sys.argv[1]), sys.argv[2])
words = sys.argv[3:]
from django.db import connection
from blockwright.ledger.models import Book, EventRow
from blockwright.ledger.store import LedgerStore
book = Book.objects.first()
store = LedgerStore(book)
at = dt.datetime(2026, 5, 4, 9, 30, tzinfo=dt.timezone.utc)
"""


def clean_environment() -> dict[str, str]:
    """Without what these tests themselves run on."""
    return {name: value for name, value in os.environ.items() if not name.startswith(("BLOCKWRIGHT", "DJANGO"))}


def fresh_database(server: str, name: str) -> str:
    """A database that holds nothing, beside the one that is named."""
    import psycopg

    with psycopg.connect(server, autocommit=True) as connection:
        connection.execute(f'CREATE DATABASE "{name}"')
    return f"{server.rpartition('/')[0]}/{name}"
