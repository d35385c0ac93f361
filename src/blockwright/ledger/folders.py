"""A job folder on disk ↔ a book."""

from __future__ import annotations

import os
import shutil
import tempfile
from dataclasses import dataclass
from pathlib import Path

from blockwright.acts.kept import EVENTS_FILE, events_of_folder
from blockwright.jobfile.attachments import MOST_BYTES
from blockwright.jobfile.folder import FILES, texts_of_folder
from blockwright.jobfile.textfile import read_bytes, read_text
from blockwright.ledger.attachments import FOLDER
from blockwright.ledger.books import book_of_events, bring_back, export_texts, open_book
from blockwright.ledger.models import Book
from blockwright.problems import BlockwrightError, Problem

MOST_EVENT_BYTES = 200_000_000


@dataclass(frozen=True)
class BroughtIn:
    """What became of a folder: its book, whether it is a new one, how many events were added, and what was left out."""

    book: Book
    new: bool
    events: int
    left_out: tuple[str, ...]


def import_folder(path: Path, by: str) -> BroughtIn:
    """Bring a job folder in: as a new book, or into the one that it was taken out of. Raises BlockwrightError where it is not sound."""
    texts = texts_of_folder(path)
    if (path / EVENTS_FILE).exists():
        texts[EVENTS_FILE] = read_text(path / EVENTS_FILE, MOST_EVENT_BYTES)
    files = _attachments(path / FOLDER)
    left_out = _left_out(path)
    book = book_of_events(events_of_folder(texts))
    if book is not None:
        event = bring_back(book, texts, by, files)
        return BroughtIn(book, False, 1 if event else 0, left_out)
    book = open_book(texts, by, files, name=path.resolve().name or "job")
    return BroughtIn(book, True, book.head_number, left_out)


def export_folder(book: Book, to: Path) -> int:
    """Write a book as a job folder, whole or not at all, and give the number of its files. Raises BlockwrightError where it cannot be."""
    files = export_texts(book)
    if to.exists() and (not to.is_dir() or any(to.iterdir())):
        raise BlockwrightError(
            Problem("export-there", f"{to} is there already, and not empty.", "Name a new folder with --to.")
        )
    try:
        to.absolute().parent.mkdir(parents=True, exist_ok=True)
        part = Path(tempfile.mkdtemp(dir=to.absolute().parent, prefix=f".{to.name}."))
        try:
            _write(part, files)
            if to.exists():
                to.rmdir()
            part.rename(to)
        finally:
            shutil.rmtree(part, ignore_errors=True)
    except OSError as fault:
        what = f"{to} cannot be written: {fault.strerror or 'the disk does not say why'}."
        raise BlockwrightError(Problem("export-write", what, "Choose another place.")) from None
    return len(files)


def _write(part: Path, files: dict[str, bytes]) -> None:
    part.chmod(0o755)
    for name, content in files.items():
        (part / name).parent.mkdir(exist_ok=True)
        with (part / name).open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())


def _attachments(folder: Path) -> dict[str, bytes]:
    if not folder.is_dir():
        return {}
    files = sorted(file for file in folder.iterdir() if file.is_file() and not file.name.startswith("."))
    return {file.name: read_bytes(file, MOST_BYTES) for file in files}


def _left_out(path: Path) -> tuple[str, ...]:
    """What lies in the folder and is none of a job's files."""
    known = {*FILES, EVENTS_FILE, FOLDER}
    within = (path / FOLDER).iterdir() if (path / FOLDER).is_dir() else ()
    strange = [f"{FOLDER}/{each.name}" for each in within if not each.is_file() or each.name.startswith(".")]
    return tuple(sorted([each.name for each in path.iterdir() if each.name not in known] + strange))
