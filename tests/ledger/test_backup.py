"""One file that holds everything, brought back whole or not at all."""

import io
import json
import stat
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from django.apps import apps
from django.contrib.auth.models import User
from django.db import connection

from blockwright.acts.event import Event
from blockwright.ledger.attachments import files_of, keep_file
from blockwright.ledger.backup import MANIFEST, backup, tables
from blockwright.ledger.models import ApiToken, Book, EventRow, Hand, OneTimeCode, Seat, Tablet, Try
from blockwright.ledger.restore import restore
from blockwright.ledger.store import LedgerStore
from blockwright.ledger.verify import verify
from blockwright.problems import BlockwrightError

pytestmark = pytest.mark.django_db(transaction=True)
Take = Callable[..., Event]
PHOTO = b"\xff\xd8\xff a photo"


@pytest.fixture
def full(store: LedgerStore, take: Take) -> LedgerStore:
    take(store, 0)
    keep_file(store.book, "a.jpg", PHOTO)
    Book.objects.filter(pk=store.book.pk).update(opened_mark="3" * 64)
    user = User.objects.create_user("hand1")
    hand = Hand.objects.create(user=user, name="A. Hand", is_owner=True, pin_hash="hashed")
    Seat.objects.create(book=store.book, hand=hand, role=3)
    Tablet.objects.create(name="left", token_digest="1" * 64, paired_by=hand)
    ApiToken.objects.create(hand=hand, name="gauge", token_digest="2" * 64)
    Try.objects.create(door="pin", who="A. Hand")
    return store


def with_password(user: User) -> None:
    user.set_password("not a good one")
    user.save()


def empty_the_ledger() -> None:
    with connection.cursor() as cursor:
        for table in ("ledger_try", "ledger_apitoken", "ledger_tablet", "ledger_seat", "ledger_onetimecode", "ledger_hand",
                      "auth_user", "ledger_bookattachment", "ledger_attachment", "ledger_eventrow", "ledger_book"):  # fmt: skip
            cursor.execute(f"DELETE FROM {table}")


def everything() -> dict[str, list[dict[str, object]]]:
    return {table.__name__: [{**row, **({"content": bytes(row["content"])} if "content" in row else {})}
                             for row in table._default_manager.order_by("pk").values()]
            for table in (*tables(), EventRow)}  # fmt: skip


def without_row_ids(found: dict[str, list[dict[str, object]]]) -> dict[str, list[dict[str, object]]]:
    return {**found, "EventRow": [{**row, "id": 0} for row in found["EventRow"]]}


def test_every_table_is_in_the_backup_or_left_out_on_purpose() -> None:
    left_out = {Try, OneTimeCode}
    assert set(apps.get_app_config("ledger").get_models()) == {*tables(), EventRow} - {User} | left_out


def test_everything_comes_back(full: LedgerStore, tmp_path: Path) -> None:
    with_password(User.objects.get())
    before, events = everything(), full.events()
    made = backup(tmp_path / "all.zip")
    assert made.words == "1 book, 2 events, 1 attachment, 1 hand"
    empty_the_ledger()
    assert restore(tmp_path / "all.zip") == made
    assert without_row_ids(everything()) == without_row_ids(before)
    assert all(len(rows) == 1 for name, rows in before.items() if name != "EventRow")
    again = LedgerStore(Book.objects.get())
    assert again.events() == events
    assert files_of(again.book) == {"a.jpg": PHOTO}
    assert User.objects.get().check_password("not a good one")
    assert verify().sound


def test_work_goes_on_after_bringing_back(full: LedgerStore, take: Take, tmp_path: Path, texts: dict[str, str]) -> None:
    """New rows get numbers of their own, on a server too."""
    from blockwright.ledger.books import open_book

    backup(tmp_path / "all.zip")
    empty_the_ledger()
    restore(tmp_path / "all.zip")
    assert take(LedgerStore(Book.objects.get()), 1).number == 3
    other = open_book(texts, "B. Hand", {"a.jpg": PHOTO})
    hand = Hand.objects.create(user=User.objects.create_user("hand2"), name="B. Hand")
    Seat.objects.create(book=other, hand=hand, role=1)
    assert Book.objects.count() == Hand.objects.count() == Seat.objects.count() == 2


def test_an_empty_ledger_can_be_backed_up(tmp_path: Path) -> None:
    assert backup(tmp_path / "none.zip").words == "0 books, 0 events, 0 attachments, 0 hands"
    restore(tmp_path / "none.zip")
    assert not Book.objects.exists()


def test_a_backup_is_for_its_owner_and_over_nothing(full: LedgerStore, tmp_path: Path) -> None:
    backup(tmp_path / "all.zip")
    assert stat.S_IMODE((tmp_path / "all.zip").stat().st_mode) == 0o600
    assert [each.name for each in tmp_path.iterdir()] == ["all.zip"]
    with pytest.raises(BlockwrightError, match="there already"):
        backup(tmp_path / "all.zip")
    with pytest.raises(BlockwrightError, match="cannot be written"):
        backup(tmp_path / "no such folder" / "all.zip")


def test_no_password_is_in_it_as_it_is(full: LedgerStore, tmp_path: Path) -> None:
    with_password(User.objects.get())
    backup(tmp_path / "all.zip")
    with zipfile.ZipFile(tmp_path / "all.zip") as archive:
        said = b"".join(archive.read(name) for name in archive.namelist())
    assert b"not a good one" not in said
    assert b"argon2" in said


def test_a_ledger_that_is_not_empty_is_left_as_it_is(full: LedgerStore, tmp_path: Path) -> None:
    backup(tmp_path / "all.zip")
    before = everything()
    with pytest.raises(BlockwrightError, match="only into an empty one"):
        restore(tmp_path / "all.zip")
    assert everything() == before


def changed(file: Path, change: Callable[[dict[str, bytes]], object], *, with_manifest: bool) -> None:
    """The backup with some of its files changed; its list too, as a careful forger would."""
    from hashlib import sha256

    with zipfile.ZipFile(file) as archive:
        files = {name: archive.read(name) for name in archive.namelist()}
    change(files)
    if with_manifest:
        said = json.loads(files.pop(MANIFEST))
        said["files"] = {name: {"size": len(data), "sha256": sha256(data).hexdigest()} for name, data in files.items()}
        files[MANIFEST] = json.dumps(said).encode()
    with zipfile.ZipFile(file, "w") as archive:
        for name, data in files.items():
            archive.writestr(name, data)


def events_file(files: dict[str, bytes]) -> str:
    return next(name for name in files if name.endswith(".jsonl"))


def alter_event(files: dict[str, bytes]) -> None:
    files[events_file(files)] = files[events_file(files)].replace(b'"value":"3"', b'"value":"9"')


def cut_events(files: dict[str, bytes]) -> None:
    files[events_file(files)] = files[events_file(files)].split(b"\n")[0]


def alter_file(files: dict[str, bytes]) -> None:
    name = next(name for name in files if name.startswith("attachments/"))
    files[name] = files[name] + b"x"


def drop(name: str) -> Callable[[dict[str, bytes]], object]:
    return lambda files: files.pop(next(each for each in files if each.startswith(name)))


CHANGES: list[tuple[Callable[[dict[str, bytes]], object], bool, str]] = [
    (alter_event, False, "was altered after it was written"),
    (alter_event, True, "it was altered after it was recorded"),
    (cut_events, True, "missing from the end"),
    (alter_file, False, "was altered after it was written"),
    (alter_file, True, "its content does not fit its digest"),
    (drop("attachments/"), False, "does not hold the files"),
    (drop("books/"), True, "the backup lacks"),
    (drop("tables"), True, "the backup lacks"),
    (drop(MANIFEST), False, "no backup of a ledger"),
    (lambda files: files.update({"more": b"x"}), False, "does not hold the files"),
    (lambda files: files.update({MANIFEST: b"{}"}), False, "cannot be read"),
    (lambda files: files.update({MANIFEST: files[MANIFEST].replace(b"backup 1", b"backup 2")}), False, "another form"),
    (lambda files: files.update({"tables.json": files["tables.json"].replace(b"ledger.seat", b"auth.group")}), True, "cannot be read|none of ours"),
    (lambda files: files.update({"tables.json": files["tables.json"].replace(b'"is_owner"', b'"is_new"')}), True, "cannot be read"),
    (lambda files: files.update({"tables.json": b"["}), True, "cannot be read"),
]  # fmt: skip


@pytest.mark.parametrize(("change", "with_manifest", "words"), CHANGES)
def test_a_backup_that_is_not_whole_brings_nothing_back(
    full: LedgerStore, tmp_path: Path, change: Callable[[dict[str, bytes]], object], with_manifest: bool, words: str
) -> None:
    backup(tmp_path / "all.zip")
    empty_the_ledger()
    changed(tmp_path / "all.zip", change, with_manifest=with_manifest)
    with pytest.raises(BlockwrightError, match=words):
        restore(tmp_path / "all.zip")
    assert all(not rows for rows in everything().values())


@pytest.mark.parametrize("data", [b"", b"no zip", None], ids=["empty", "another kind", "cut"])
def test_what_is_no_zip_brings_nothing_back(full: LedgerStore, tmp_path: Path, data: bytes | None) -> None:
    file = tmp_path / "all.zip"
    backup(file)
    file.write_bytes(file.read_bytes()[:-200] if data is None else data)
    with pytest.raises(BlockwrightError, match="no whole backup"):
        restore(file)
    with pytest.raises(BlockwrightError, match="cannot be read"):
        restore(tmp_path / "no such file.zip")


def test_a_flipped_bit_is_found(full: LedgerStore, tmp_path: Path) -> None:
    file = tmp_path / "all.zip"
    backup(file)
    empty_the_ledger()
    data = bytearray(file.read_bytes())
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        at = archive.getinfo("tables.json").header_offset + 200
    data[at] ^= 16
    file.write_bytes(data)
    with pytest.raises(BlockwrightError, match="no whole backup"):
        restore(file)
