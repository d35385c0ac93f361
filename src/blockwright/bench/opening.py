"""A new book on the bench: from an invented job, from a few sizes, or from files that somebody brings in."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import PurePosixPath
from typing import Any

from django.core.files.uploadedfile import UploadedFile

from blockwright.acts.kept import EVENTS_FILE
from blockwright.acts.roles import Role
from blockwright.bench.access import Actor
from blockwright.jobfile.folder import FILES
from blockwright.ledger.books import open_book, opened_with
from blockwright.ledger.models import Book, Seat
from blockwright.problems import BlockwrightError, Place, Problem, excerpt

TEXTS = (*FILES, EVENTS_FILE)
ATTACHMENTS = "attachments"
MOST_FILES, MOST_TEXT, MOST_ALL = 400, 16 * 1024 * 1024, 64 * 1024 * 1024
"""Files in one job, bytes of one text, and bytes of everything, unpacked."""


@dataclass(frozen=True)
class Brought:
    """The files of a job: texts by name, attachments by name."""

    texts: Mapping[str, str]
    attachments: Mapping[str, bytes]


def open_for(actor: Actor, brought: Brought, key: str = "") -> Book:
    """A book with a seat for whoever opens it; the same key again is the same book. Raises BlockwrightError with every problem of the files."""
    mark = _mark(actor, key)
    try:
        book = open_book(brought.texts, actor.name, brought.attachments, mark=mark)
    except BlockwrightError:
        earlier = opened_with(mark)
        if earlier is None:
            raise
        book = earlier
    if actor.hand_id is not None:
        Seat.objects.get_or_create(book=book, hand_id=actor.hand_id, defaults={"role": Role.OWNER})
    return book


def opened_before(actor: Actor, key: str) -> Book | None:
    """The book that this hand opened with this key; the same key of another hand is another."""
    return opened_with(_mark(actor, key))


def _mark(actor: Actor, key: str) -> str:
    return sha256(f"{actor.hand_id} {key}".encode()).hexdigest() if key else ""


def brought_in(uploads: Sequence[UploadedFile[Any]]) -> Brought:
    """The job in what was sent: one zip, or the files themselves. Raises BlockwrightError; nothing is written to the disk."""
    if not uploads:
        raise _fault("bring-none", "no file was chosen.", "Choose the zip of a job, or its files.")
    if sum(upload.size or 0 for upload in uploads) > MOST_ALL:
        raise _too_much()
    one = uploads[0]
    if len(uploads) == 1 and (one.name or "").lower().endswith(".zip"):
        return _sorted(_unzipped(one.read()))
    return _sorted((upload.name or "", upload.read()) for upload in uploads)


def _unzipped(content: bytes) -> Iterator[tuple[str, bytes]]:
    """Names and contents of a zip, which is read in memory and never unpacked to the disk."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            infos = [info for info in archive.infolist() if not info.is_dir()]
            if len(infos) > MOST_FILES or sum(info.file_size for info in infos) > MOST_ALL:
                raise _too_much()
            for info in infos:
                with archive.open(info) as opened:
                    yield info.filename, opened.read(info.file_size + 1)
    except (zipfile.BadZipFile, zipfile.LargeZipFile, NotImplementedError, RuntimeError, EOFError, OSError):
        raise _fault("bring-zip", "the zip cannot be read.", "Make it again, without a password.") from None


def _sorted(files: Iterable[tuple[str, bytes]]) -> Brought:
    """Texts and attachments; a folder around them is taken off, and what belongs to no job is left out."""
    texts: dict[str, str] = {}
    attachments: dict[str, bytes] = {}
    for name, content in files:
        path = PurePosixPath(name.replace("\\", "/"))
        if path.name in TEXTS and ATTACHMENTS not in path.parts:
            if path.name in texts:
                raise _fault("bring-twice", f"there are two files {path.name}.", "Bring in one job at a time.")
            texts[path.name] = _text(path.name, content)
        elif len(path.parts) > 1 and path.parts[-2] == ATTACHMENTS and path.name:
            attachments[path.name] = content
    if not texts:
        raise _fault("bring-no-job", "none of these files is a job's.", f"A job has {', '.join(FILES[:3])}.")
    return Brought(texts, attachments)


def _text(name: str, content: bytes) -> str:
    if len(content) > MOST_TEXT:
        raise _too_much()
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError:
        raise BlockwrightError(
            Problem(
                "text-encoding",
                "it is not UTF-8 text.",
                "Save it as UTF-8 and bring it in again.",
                Place(excerpt(name)),
            )
        ) from None


def _too_much() -> BlockwrightError:
    mend = f"A job may have {MOST_FILES} files and {MOST_ALL // (1024 * 1024)} MB. Leave out the largest photos."
    return _fault("bring-size", "that is more than a job may hold.", mend)


def _fault(code: str, what: str, mend: str) -> BlockwrightError:
    return BlockwrightError(Problem(code, what, mend, Place(field="files")))
