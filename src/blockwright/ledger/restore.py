"""Bringing a backup back: into a ledger that holds nothing, whole or not at all, looked through before and after."""

from __future__ import annotations

import io
import json
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

from django.core import serializers
from django.core.management.color import no_style
from django.db import connection, transaction

from blockwright.acts.event import Event, check_chain, event_from
from blockwright.ledger.backup import FILES, FORMAT, MANIFEST, TABLES, Backup, tables
from blockwright.ledger.faults import told
from blockwright.ledger.models import Attachment, Book, EventRow
from blockwright.ledger.rows import row_of
from blockwright.ledger.verify import look_through
from blockwright.problems import BlockwrightError, Problem

MEND = "Nothing was brought back. Take another backup."
BATCH = 500


@dataclass(frozen=True)
class _Opened:
    """A backup whose files were all found to be as its manifest says."""

    archive: zipfile.ZipFile
    holds: Backup
    names: tuple[str, ...]

    def data(self, name: str) -> bytes:
        if name not in self.names:
            raise _unfit(f"the backup lacks {name}")
        return self.archive.read(name)

    def text(self, name: str) -> str:
        try:
            return self.data(name).decode()
        except UnicodeDecodeError:
            raise _unfit(f"{name} in the backup is no text") from None


def restore(file: Path) -> Backup:
    """Bring a backup back. Raises BlockwrightError where the ledger holds anything, or the backup is not whole and sound."""
    with _opened(file) as opened, told("The backup was not brought back", "Nothing was written."):
        with transaction.atomic(durable=True):
            _check_empty()
            _bring_tables(opened)
            _bring_files(opened)
            _bring_events(opened)
            _check_constraints()
            found = look_through()
            if not found.sound:
                problems = [problem for book in found.books for problem in book.problems]
                raise BlockwrightError([*found.problems, *problems])
        return opened.holds


@contextmanager
def _opened(file: Path) -> Iterator[_Opened]:
    try:
        with zipfile.ZipFile(file) as archive:
            yield _looked_at(archive, file.name)
    except OSError as fault:
        what = f"{file} cannot be read: {fault.strerror or 'the disk does not say why'}."
        raise BlockwrightError(Problem("backup-read", what, "Is it the right file?")) from None
    except (zipfile.BadZipFile, zlib.error, NotImplementedError, EOFError):
        raise _unfit(f"{file.name} is no whole backup: it was cut off, altered, or is another kind of file") from None


def _looked_at(archive: zipfile.ZipFile, called: str) -> _Opened:
    """Every file against the manifest: none more, none less, each as it was written."""
    if MANIFEST not in archive.namelist():
        raise _unfit(f"{called} is no backup of a ledger")
    try:
        said = json.loads(archive.read(MANIFEST))
        files: Mapping[str, Mapping[str, Any]] = said["files"]
        form, holds = said["format"], Backup(**said["holds"])
    except (ValueError, KeyError, TypeError):
        raise _unfit(f"the list of what {called} holds cannot be read") from None
    if form != FORMAT:
        raise _unfit(f"{called} is written in another form ({form}) than this Blockwright knows")
    if sorted(archive.namelist()) != sorted([*files, MANIFEST]):
        raise _unfit(f"{called} does not hold the files that its list names")
    for name, wanted in files.items():
        data = archive.read(name)
        if len(data) != wanted.get("size") or sha256(data).hexdigest() != wanted.get("sha256"):
            raise _unfit(f"{name} in {called} was altered after it was written")
    return _Opened(archive, holds, tuple(files))


def _check_empty() -> None:
    there = [table for table in tables() if table._default_manager.exists()]
    if there or EventRow.objects.exists():
        what = "this ledger is not empty, and a backup is brought back only into an empty one."
        raise BlockwrightError(
            Problem("restore-there", what, "Name a new data folder with --data, or an empty database with --database.")
        )


def _bring_tables(opened: _Opened) -> None:
    try:
        for row in serializers.deserialize("json", io.StringIO(opened.text(TABLES))):
            if type(row.object) not in tables():
                raise _unfit(f"it holds a table that is none of ours ({type(row.object).__name__})")
            row.save()
    except serializers.base.DeserializationError:
        raise _unfit("its books and people cannot be read; a newer Blockwright may have written it") from None
    for sql in connection.ops.sequence_reset_sql(no_style(), list(tables())):
        with connection.cursor() as cursor:
            cursor.execute(sql)


def _bring_files(opened: _Opened) -> None:
    try:
        kinds = dict(json.loads(opened.text(FILES)))
    except (ValueError, TypeError):
        raise _unfit("its list of attachments cannot be read") from None
    for digest, media_type in kinds.items():
        content = opened.data(f"attachments/{digest}")
        Attachment.objects.create(digest=digest, media_type=media_type, size=len(content), content=content)


def _bring_events(opened: _Opened) -> None:
    for book in Book.objects.all():
        events = tuple(event_from(line) for line in opened.text(f"books/{book.slug}.jsonl").split("\n") if line)
        problems = check_chain(events)
        if problems:
            raise BlockwrightError(problems)
        _add(book, events)


def _add(book: Book, events: tuple[Event, ...]) -> None:
    EventRow.objects.bulk_create([row_of(book, event) for event in events], batch_size=BATCH)


def _check_constraints() -> None:
    connection.check_constraints()


def _unfit(what: str) -> BlockwrightError:
    return BlockwrightError(Problem("backup-unfit", f"{what}.", MEND))
