"""Files of a book: photos and what else lies in the `attachments` of its folder. Each content is kept once, under its SHA-256 digest."""

from __future__ import annotations

import mimetypes
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256

from django.db import transaction

from blockwright.jobfile.attachments import BEGINNINGS, MOST_BYTES
from blockwright.ledger.faults import told
from blockwright.ledger.models import Attachment, Book, BookAttachment
from blockwright.ledger.models.book import LONGEST_NAME
from blockwright.problems import BlockwrightError, Place, Problem, excerpt

FOLDER = "attachments"
MEDIA = {"png": "image/png", "jpg": "image/jpeg"}
ANY_BYTES = "application/octet-stream"


@dataclass(frozen=True)
class File:
    """One file of a book."""

    name: str
    digest: str
    media_type: str
    content: bytes


def keep_file(book: Book, name: str, content: bytes) -> str:
    """Keep a file of a book under its name in `attachments`, and give its digest; the same again changes nothing.

    Raises BlockwrightError where the name will not do, or stands for another content already, or where the database did not keep it.
    """
    _check(name, content)
    digest = sha256(content).hexdigest()
    with told("The file was NOT kept"), transaction.atomic():
        media_type, size = _media_type(name, content), len(content)
        Attachment.objects.get_or_create(
            digest=digest, defaults={"media_type": media_type, "size": size, "content": content}
        )
        there, _ = BookAttachment.objects.get_or_create(book=book, name=name, defaults={"digest_id": digest})
        if there.digest_id != digest:
            what = "another file has this name already, and nothing on record is written over."
            raise BlockwrightError(
                Problem("attachment-name", what, "Give the file another name.", Place(excerpt(name)))
            )
    return digest


def file_of(book: Book, name: str) -> File | None:
    """A file by its name; None where the book has none so called."""
    with told("The file cannot be read from the ledger"):
        found = BookAttachment.objects.filter(book=book, name=name).select_related("digest").first()
    return _file(found) if found else None


def files_of(book: Book) -> Mapping[str, bytes]:
    """The content of every file of a book, by its name."""
    with told("The files cannot be read from the ledger"):
        return {
            each.name: bytes(each.digest.content)
            for each in BookAttachment.objects.filter(book=book).select_related("digest")
        }


def _file(found: BookAttachment) -> File:
    kept = found.digest
    return File(found.name, kept.digest, kept.media_type, bytes(kept.content))


def _media_type(name: str, content: bytes) -> str:
    """By how the content begins, else by what the name says."""
    kind = next((kind for kind, beginning in BEGINNINGS.items() if content.startswith(beginning)), None)
    return MEDIA[kind] if kind else mimetypes.guess_type(name)[0] or ANY_BYTES


def _check(name: str, content: bytes) -> None:
    place = Place(excerpt(name))
    if (
        not name
        or len(name) > LONGEST_NAME
        or not name.isprintable()
        or name.startswith(".")
        or set(name) & set("/\\:")
    ):
        what = f"this is no name for a file: at most {LONGEST_NAME} signs, no stroke or colon, no point at its start."
        raise BlockwrightError(Problem("attachment-name", what, "Give the file another name.", place))
    if len(content) > MOST_BYTES:
        what = f"it is larger than {MOST_BYTES // 1_000_000} MB."
        raise BlockwrightError(Problem("attachment-large", what, "Make it smaller, then try again.", place))
