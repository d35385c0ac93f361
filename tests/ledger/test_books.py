"""Books opened from files, found again, and given out without loss."""

import datetime as dt
from collections.abc import Callable
from pathlib import Path

import pytest
from django.db import connection

from blockwright.acts.event import Event, event_line
from blockwright.acts.kept import EVENTS_FILE
from blockwright.demos import __file__ as demos
from blockwright.jobfile.attachments import MOST_BYTES
from blockwright.jobfile.folder import texts_of_folder
from blockwright.ledger.attachments import file_of, files_of, keep_file
from blockwright.ledger.books import bring_back, export_texts, find_book, open_book, opened_with
from blockwright.ledger.folders import export_folder, import_folder
from blockwright.ledger.models import Attachment, Book
from blockwright.ledger.models.book import SIGNS, SLUG_LENGTH, new_slug
from blockwright.ledger.store import LedgerStore
from blockwright.problems import BlockwrightError

pytestmark = pytest.mark.django_db(transaction=True)
Take = Callable[..., Event]
DEMOS = sorted(each for each in Path(demos).parent.iterdir() if (each / "job.toml").exists())
PHOTO = b"\xff\xd8\xff a photo"
BOM = "\N{ZERO WIDTH NO-BREAK SPACE}"
AT = dt.datetime(2026, 5, 4, 9, 30, tzinfo=dt.UTC)


def bytes_of(folder: Path) -> dict[str, bytes]:
    return {file.relative_to(folder).as_posix(): file.read_bytes() for file in folder.rglob("*") if file.is_file()}


def empty_the_ledger() -> None:
    with connection.cursor() as cursor:
        for table in ("bookattachment", "attachment", "eventrow", "book"):
            cursor.execute(f"DELETE FROM ledger_{table}")


def write(folder: Path, files: dict[str, bytes]) -> Path:
    for name, content in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(content)
    return folder


def saved_by_a_spreadsheet(text: bytes) -> bytes:
    return b"\xef\xbb\xbf" + text.replace(b"\n", b"\r\n")


@pytest.mark.parametrize("demo", DEMOS, ids=lambda demo: demo.name)
def test_a_folder_comes_out_as_it_went_in(demo: Path, tmp_path: Path) -> None:
    found = import_folder(demo, "A. Hand")
    export_folder(found.book, tmp_path / "out")
    out = bytes_of(tmp_path / "out")
    assert out.pop(EVENTS_FILE).count(b"\n") == 1
    assert out == {name: data for name, data in bytes_of(demo).items() if "__pycache__" not in name}


def test_marks_line_ends_and_attachments_come_out_as_they_went_in(new_folder: Path, tmp_path: Path) -> None:
    files = bytes_of(new_folder)
    files["readings.csv"] = saved_by_a_spreadsheet(files["readings.csv"]).removesuffix(b"\r\n")
    files["gauges.toml"] = files["gauges.toml"].replace(b"\n", b"\r\n")
    files["attachments/0123456789abcdef.jpg"] = PHOTO
    files["attachments/a list, by hand.txt"] = b"\x00\r\nnot text"
    found = import_folder(write(tmp_path / "in", files), "A. Hand")
    export_folder(found.book, tmp_path / "out")
    out = bytes_of(tmp_path / "out")
    del out[EVENTS_FILE]
    assert out == files


def test_what_changes_is_written_in_the_layout_of_the_file(new_folder: Path, tmp_path: Path, take: Take) -> None:
    files = bytes_of(new_folder)
    files["readings.csv"] = saved_by_a_spreadsheet(files["readings.csv"])
    book = import_folder(write(tmp_path / "in", files), "A. Hand").book
    take(LedgerStore(book), 0, "7")
    before, after = files["readings.csv"].split(b"\r\n"), export_texts(book)["readings.csv"].split(b"\r\n")
    changed = [(old, new) for old, new in zip(before, after, strict=True) if old != new]
    assert len(changed) == 1
    assert b",7,um," in changed[0][1]
    assert after[0].startswith(b"\xef\xbb\xbf")


def test_a_book_comes_back_with_the_same_events(store: LedgerStore, take: Take, tmp_path: Path) -> None:
    keep_file(store.book, "0123456789abcdef.jpg", PHOTO)
    events = (*store.events(), take(store, 0), take(store, 0, "4"), take(store, 1))
    export_folder(store.book, tmp_path / "out")
    head = Book.objects.get(pk=store.book.pk)
    empty_the_ledger()
    found = import_folder(tmp_path / "out", "B. Hand")
    again = LedgerStore(found.book)
    assert (found.new, found.events) == (True, 4)
    assert again.events() == events
    assert (found.book.head_number, found.book.head_digest) == (head.head_number, head.head_digest)
    assert again.kept().digest == events[-1].digest
    assert export_texts(found.book) == bytes_of(tmp_path / "out")


def test_signs_that_end_a_line_elsewhere_end_none_here(store: LedgerStore, tmp_path: Path, rows: list[str]) -> None:
    words = {"row": rows[0], "value": "3", "unit": "um"}
    event = store.keep(
        "reading taken",
        words,
        by="A.\N{NO-BREAK SPACE}H".replace("\xa0", " "),
        at=AT,
        key="k\N{COMBINING ACUTE ACCENT}",
    )
    lines = export_texts(store.book)[EVENTS_FILE].decode().split("\n")
    assert lines[1] == event_line(event)
    assert lines[2:] == [""]


def test_files_that_say_otherwise_than_the_events_add_one(store: LedgerStore, take: Take, tmp_path: Path) -> None:
    event = take(store, 0, "3")
    export_folder(store.book, tmp_path / "out")
    empty_the_ledger()
    readings = tmp_path / "out" / "readings.csv"
    readings.write_text(readings.read_text(encoding="utf-8").replace(",3,um,", ",4,um,", 1), encoding="utf-8")
    book = import_folder(tmp_path / "out", "B. Hand").book
    events = LedgerStore(book).events()
    assert [each.kind for each in events] == ["folder brought in", "reading taken", "folder brought in"]
    assert (events[1], events[2].by) == (event, "B. Hand")
    assert export_texts(book)["readings.csv"] == readings.read_bytes()


def test_a_folder_goes_back_into_its_own_book(store: LedgerStore, take: Take, tmp_path: Path) -> None:
    take(store, 0, "3")
    out = tmp_path / "out"
    export_folder(store.book, out)
    same = import_folder(out, "B. Hand")
    assert (same.book, same.new, same.events) == (store.book, False, 0)
    readings = out / "readings.csv"
    readings.write_text(readings.read_text(encoding="utf-8").replace(",3,um,", ",4,um,", 1), encoding="utf-8")
    changed = import_folder(out, "B. Hand")
    assert (changed.book, changed.new, changed.events) == (store.book, False, 1)
    assert Book.objects.count() == 1
    assert store.kept().texts()["readings.csv"] == readings.read_text(encoding="utf-8")


def test_a_folder_that_fell_behind_its_book_is_refused(store: LedgerStore, take: Take, tmp_path: Path) -> None:
    out = tmp_path / "out"
    export_folder(store.book, out)
    take(store, 0, "3")
    (out / "gauges.toml").write_text((out / "gauges.toml").read_text(encoding="utf-8") + "\n", encoding="utf-8")
    with pytest.raises(BlockwrightError, match="more was put on record"):
        import_folder(out, "B. Hand")
    assert len(store.events()) == 2


def broken(lines: list[str]) -> list[list[str]]:
    return [[lines[0], lines[2]], [lines[0], lines[2], lines[1]], [lines[0], lines[1].replace('"value":"3"', '"value":"9"'), lines[2]],
            [lines[0], lines[1][:-9], lines[2]]]  # fmt: skip


@pytest.mark.parametrize("way", range(4), ids=["one missing", "out of order", "altered", "cut"])
def test_events_that_were_tampered_with_are_refused(
    store: LedgerStore, take: Take, texts: dict[str, str], way: int
) -> None:
    take(store, 0, "3")
    take(store, 1, "3")
    lines = export_texts(store.book)[EVENTS_FILE].decode().splitlines()
    with pytest.raises(BlockwrightError):
        open_book({**texts, EVENTS_FILE: "\n".join(broken(lines)[way])}, "B. Hand")
    assert Book.objects.count() == 1


def test_files_that_make_no_job_open_no_book(texts: dict[str, str]) -> None:
    with pytest.raises(BlockwrightError) as refused:
        open_book({**texts, "readings.csv": texts["readings.csv"].replace("B1", "B9")}, "A. Hand")
    assert len(refused.value.problems) > 5
    assert not Book.objects.exists()


def test_a_book_opens_with_its_attachments_or_not_at_all(texts: dict[str, str]) -> None:
    with pytest.raises(BlockwrightError, match="no name for a file"):
        open_book(texts, "A. Hand", {"good.jpg": PHOTO, "../bad.jpg": PHOTO})
    assert not Book.objects.exists()
    assert not Attachment.objects.exists()
    assert files_of(open_book(texts, "A. Hand", {"good.jpg": PHOTO})) == {"good.jpg": PHOTO}


def test_what_is_no_part_of_a_job_is_left_out_and_told(new_folder: Path, tmp_path: Path) -> None:
    files = {**bytes_of(new_folder), "notes.txt": b"x", "attachments/deep/x.jpg": PHOTO, "attachments/.hidden": b"x"}
    found = import_folder(write(tmp_path / "in", files), "A. Hand")
    assert found.left_out == ("attachments/.hidden", "attachments/deep", "notes.txt")


def test_a_file_is_kept_once_and_never_written_over(book: Book, texts: dict[str, str]) -> None:
    other = open_book(texts, "A. Hand")
    digest = keep_file(book, "a.jpg", PHOTO)
    assert keep_file(book, "a.jpg", PHOTO) == keep_file(other, "b.jpg", PHOTO) == digest
    assert Attachment.objects.count() == 1
    with pytest.raises(BlockwrightError, match="written over"):
        keep_file(book, "a.jpg", PHOTO + b"x")
    kept = file_of(book, "a.jpg")
    assert kept is not None
    assert (kept.content, kept.media_type) == (PHOTO, "image/jpeg")
    assert file_of(book, "b.jpg") is None


@pytest.mark.parametrize("name", ["", "..", "../a", "a/b", "a\\b", ".a", "a\nb", "n" * 201, "c:a"])
def test_a_file_needs_a_plain_name(book: Book, name: str) -> None:
    with pytest.raises(BlockwrightError, match="no name for a file"):
        keep_file(book, name, PHOTO)


def test_a_file_may_not_be_huge(book: Book) -> None:
    with pytest.raises(BlockwrightError, match="larger than 25 MB"):
        keep_file(book, "a.jpg", b"\xff\xd8\xff" + bytes(MOST_BYTES))


def test_a_full_folder_is_not_written_into(book: Book, tmp_path: Path) -> None:
    (tmp_path / "there.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(BlockwrightError, match="not empty"):
        export_folder(book, tmp_path)
    (tmp_path / "there.txt").unlink()
    export_folder(book, tmp_path)
    assert texts_of_folder(tmp_path) == LedgerStore(book).kept().texts()


def test_a_book_is_found_by_sign_beginning_or_title(book: Book, texts: dict[str, str]) -> None:
    assert find_book(book.slug) == find_book(book.slug[:6]) == find_book(" bench 7 ") == book
    open_book(texts, "A. Hand")
    with pytest.raises(BlockwrightError, match="may be any of"):
        find_book("Bench 7")
    for nothing in ("Bench 8", "", " "):
        with pytest.raises(BlockwrightError, match="there is no book"):
            find_book(nothing)


def test_a_sign_cannot_be_guessed() -> None:
    made = {new_slug() for _ in range(2000)}
    assert len(made) == 2000
    assert all(len(slug) == SLUG_LENGTH and slug.isalnum() for slug in made)
    assert len(SIGNS) ** SLUG_LENGTH > 2**69


def test_bringing_back_needs_events(book: Book, texts: dict[str, str]) -> None:
    with pytest.raises(BlockwrightError, match="no event"):
        bring_back(book, texts, "A. Hand")


def test_a_mark_opens_one_book_and_books_without_one_are_as_many_as_you_like() -> None:
    texts = texts_of_folder(DEMOS[0])
    assert opened_with("") is None
    assert opened_with("mine") is None
    for _ in range(2):
        open_book(texts, "A. Hand")
    marked = open_book(texts, "A. Hand", mark="mine")
    with pytest.raises(BlockwrightError, match="was NOT brought in"):
        open_book(texts, "A. Hand", mark="mine")
    assert opened_with("mine") == marked
    assert Book.objects.count() == 3
    assert not any(each.opened_mark for each in Book.objects.exclude(pk=marked.pk))
