"""A photo that was sent in, by a page or by a program: checked and cleaned the same way, kept once, called by its digest."""

from __future__ import annotations

from hashlib import sha256

from blockwright.bench.secure.uploads import cleaned
from blockwright.jobfile.attachments import DIGITS
from blockwright.ledger.attachments import keep_file
from blockwright.ledger.models import Book


def keep_photo(book: Book, content: bytes) -> str:
    """Keep a photo and give the name by which an act calls it; naming it in an act is a step of its own. Raises BlockwrightError (`photo`)."""
    clean = cleaned(content)
    name = f"{sha256(clean.content).hexdigest()[:DIGITS]}.{clean.kind}"
    keep_file(book, name, clean.content)
    return name
