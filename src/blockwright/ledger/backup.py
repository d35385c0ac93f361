"""One file that holds the whole ledger, made while it is in use: every book's events, attachments, people.

A zip of plain files: `manifest.json` names each of the others with its size and SHA-256 digest; `books/<book>.jsonl` holds events, a line each;
`attachments/<digest>` the files; `tables.json` books and people (passwords, PINs and tokens only as the hashes that the ledger holds);
`attachments.json` what the files are. Sessions and tries to get in are left out: after bringing it back everyone signs in again.
"""

from __future__ import annotations

import contextlib
import datetime as dt
import json
import os
import stat
import tempfile
import zipfile
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

from django.contrib.auth import get_user_model
from django.core import serializers
from django.core.serializers.json import DjangoJSONEncoder
from django.db import models

from blockwright import __version__
from blockwright.acts.event import event_line
from blockwright.ledger.faults import told
from blockwright.ledger.models import ApiToken, Attachment, Book, BookAttachment, EventRow, Hand, Seat, Tablet
from blockwright.ledger.rows import event_of
from blockwright.ledger.snapshot import snapshot
from blockwright.problems import BlockwrightError, Problem

FORMAT = "blockwright backup 1"
MANIFEST, TABLES, FILES = "manifest.json", "tables.json", "attachments.json"
CHUNK = 8


class ExactTimes(DjangoJSONEncoder):
    """Times to the last microsecond, as the tables hold them."""

    def default(self, o: Any) -> Any:
        """A time as text; anything else as ever."""
        return o.isoformat() if isinstance(o, dt.datetime) else super().default(o)


@dataclass(frozen=True)
class Backup:
    """What a backup holds."""

    made_at: str
    program: str
    books: int
    events: int
    attachments: int
    hands: int

    @property
    def words(self) -> str:
        """What it holds, in words."""
        counts = ((self.books, "book", "books"), (self.events, "event", "events"),
                  (self.attachments, "attachment", "attachments"), (self.hands, "hand", "hands"))  # fmt: skip
        return ", ".join(f"{count} {one if count == 1 else more}" for count, one, more in counts)


def tables() -> tuple[type[models.Model], ...]:
    """The tables that are kept whole, in the order in which they can be brought back."""
    return (get_user_model(), Hand, Book, Attachment, BookAttachment, Seat, Tablet, ApiToken)


def backup(to: Path) -> Backup:
    """Write the whole ledger, as it is at one moment, into one file. Raises BlockwrightError where it cannot be, or where the file is there."""
    if to.exists():
        raise BlockwrightError(Problem("backup-there", f"{to} is there already.", "Give the backup another name."))
    with told("No backup was made"), _fresh(to) as part, snapshot():
        return _write(part)


def _write(part: Path) -> Backup:
    digests: dict[str, dict[str, Any]] = {}
    with zipfile.ZipFile(part, "w", zipfile.ZIP_DEFLATED) as archive:
        counts = Backup(dt.datetime.now(dt.UTC).isoformat(timespec="seconds"), __version__, Book.objects.count(),
                        EventRow.objects.count(), Attachment.objects.count(), Hand.objects.count())  # fmt: skip
        for name, data in _files():
            archive.writestr(name, data)
            digests[name] = {"size": len(data), "sha256": sha256(data).hexdigest()}
        said = {"format": FORMAT, "holds": asdict(counts), "files": digests}
        archive.writestr(MANIFEST, json.dumps(said, indent=1, sort_keys=True))
    return counts


def _files() -> Iterator[tuple[str, bytes]]:
    """Every file of the backup but the manifest, one after the other."""
    whole = [row for table in tables() if table is not Attachment for row in table._default_manager.order_by("pk")]
    yield TABLES, serializers.serialize("json", whole, indent=1, cls=ExactTimes).encode()
    for book in Book.objects.order_by("pk"):
        rows = EventRow.objects.filter(book=book).order_by("number").iterator()
        yield f"books/{book.slug}.jsonl", "".join(f"{event_line(event_of(row))}\n" for row in rows).encode()
    kinds = dict(Attachment.objects.order_by("digest").values_list("digest", "media_type"))
    yield FILES, json.dumps(kinds, indent=1).encode()
    for kept in Attachment.objects.order_by("digest").iterator(chunk_size=CHUNK):
        yield f"attachments/{kept.digest}", bytes(kept.content)


@contextlib.contextmanager
def _fresh(to: Path) -> Iterator[Path]:
    """A file beside the one that is wanted, for its owner's eyes only; it takes its name when it is complete on the disk."""
    try:
        handle, name = tempfile.mkstemp(dir=to.absolute().parent, prefix=f".{to.name}.")
        os.close(handle)
        part = Path(name)
        try:
            yield part
            part.chmod(stat.S_IRUSR | stat.S_IWUSR)
            with part.open("rb") as written:
                os.fsync(written.fileno())
            part.replace(to)
        finally:
            part.unlink(missing_ok=True)
    except OSError as fault:
        what = f"{to} cannot be written: {fault.strerror or 'the disk does not say why'}."
        raise BlockwrightError(Problem("backup-write", what, "No backup was made. Choose another place.")) from None
