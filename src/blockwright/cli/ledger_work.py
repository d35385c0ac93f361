"""What the commands of `blockwright ledger` do: start the ledger, one use, and what came of it in words."""

from __future__ import annotations

import getpass
from pathlib import Path

from blockwright.cli.terminal import console, paragraph
from blockwright.ledger.start import start
from blockwright.problems import BlockwrightError, Problem, excerpt, printable


def show_list(data: Path | None, database: str) -> None:
    """A line a book, the newest first."""
    start(data, database)
    from blockwright.ledger.faults import told
    from blockwright.ledger.models import Book

    out = console()
    with told("The ledger cannot be read"):
        books = list(Book.objects.all())
    if not books:
        paragraph(out, "No books yet. 'blockwright ledger import FOLDER' brings a job in.")
    for book in books:
        events = _count(book.head_number, "event")
        put_away = ", put away" if book.archived else ""
        paragraph(out, f"{excerpt(book.title)}, {events}{put_away}", first=f"{book.slug}  ")


def bring_in(folder: Path, by: str, data: Path | None, database: str) -> None:
    """A folder brought in, and what was left out of it."""
    start(data, database)
    from blockwright.ledger.folders import import_folder

    found = import_folder(folder, by or _user())
    out, called = console(), f"{excerpt(found.book.title)} ({found.book.slug})"
    if found.new:
        paragraph(out, f"Brought in as a new book: {called}, {_count(found.events, 'event')}.")
    elif found.events:
        paragraph(out, f"What was changed in the folder is now on record as one event of {called}.")
    else:
        paragraph(out, f"Nothing new: {called} says the same.")
    if found.left_out:
        paragraph(out, f"Left out, since it is no part of a job: {printable(', '.join(found.left_out))}.")


def give_out(called: str, to: Path, data: Path | None, database: str) -> None:
    """A book written as a folder."""
    start(data, database)
    from blockwright.ledger.books import find_book
    from blockwright.ledger.folders import export_folder

    book = find_book(called)
    files = export_folder(book, to)
    paragraph(console(), f"{excerpt(book.title)} ({book.slug}): {_count(files, 'file')} written to {to}.")


def look_through(called: str, data: Path | None, database: str) -> int:
    """Each book with what is wrong with it; 1 where anything is."""
    start(data, database)
    from blockwright.ledger.books import find_book
    from blockwright.ledger.verify import verify

    found = verify(find_book(called) if called else None)
    out = console()
    for book in found.books:
        holds = f"{_count(book.events, 'event')}, {_count(book.attachments, 'attachment')}"
        word = "not sound" if book.problems else "sound"
        paragraph(out, f"{excerpt(book.title)}: {holds}: {word}", first=f"{book.slug}  ")
        for problem in book.problems:
            paragraph(out, printable(str(problem)), indent=4)
    for problem in found.problems:
        paragraph(out, printable(str(problem)))
    if not found.books:
        paragraph(out, "No books yet: there is nothing to look through.")
    return 0 if found.sound else 1


def back_up(file: Path, data: Path | None, database: str) -> None:
    """Everything in one file."""
    start(data, database)
    from blockwright.ledger.backup import backup

    paragraph(console(), f"{backup(file).words} written to {file}.")


def bring_back(file: Path, data: Path | None, database: str) -> None:
    """A backup brought back."""
    if not file.is_file():
        raise BlockwrightError(Problem("backup-read", f"there is no file {file}.", "Give the path of a backup."))
    start(data, database)
    from blockwright.ledger.restore import restore

    paragraph(console(), f"{restore(file).words} brought back, looked through and found sound.")


def _count(number: int, of: str) -> str:
    return f"{number} {of}" if number == 1 else f"{number} {of}s"


def _user() -> str:
    try:
        return getpass.getuser()
    except (OSError, KeyError):
        return "command line"
