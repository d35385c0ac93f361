"""What was altered, lost or moved in the ledger, by whatever hand: events, the notes of which is the last, attachments.

Nothing is trusted that can be worked out again: digests are made anew, events are folded from the first on, and every file is read.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256

from blockwright.acts.event import Event, check_chain
from blockwright.acts.kept import Kept, fold
from blockwright.ledger.faults import told
from blockwright.ledger.models import Attachment, Book, BookAttachment, EventRow
from blockwright.ledger.rows import event_of
from blockwright.ledger.snapshot import snapshot
from blockwright.problems import BlockwrightError, Place, Problem, excerpt

PHOTO = "photo attached"
MEND = "Put back the last good backup."


@dataclass(frozen=True)
class BookFound:
    """One book looked through: how many events and files it has, and what is wrong with it."""

    slug: str
    title: str
    events: int
    attachments: int
    problems: tuple[Problem, ...]


@dataclass(frozen=True)
class Found:
    """The ledger looked through: each book, and what is wrong outside the books."""

    books: tuple[BookFound, ...]
    problems: tuple[Problem, ...]

    @property
    def sound(self) -> bool:
        """Whether nothing at all is wrong."""
        return not self.problems and not any(book.problems for book in self.books)


def verify(book: Book | None = None) -> Found:
    """Look through one book and its files, or without one through the whole ledger, as it is at one moment."""
    with told("The ledger cannot be looked through"), snapshot():
        if book is None:
            return look_through()
        return Found((_book(Book.objects.get(pk=book.pk)),), ())


def look_through() -> Found:
    """Look through the whole ledger. Within a transaction that nobody else writes to, or that is a snapshot."""
    return Found(tuple(_book(book) for book in Book.objects.all()), tuple(_loose()))


def _book(book: Book) -> BookFound:
    """One book: its chain, its end, its fold, its files."""
    rows = list(EventRow.objects.filter(book=book).order_by("number"))
    events, problems = _events(rows)
    problems += check_chain(events) if len(events) == len(rows) else ()
    problems += _end(book, rows)
    if not problems:
        problems += _unfolding(events)
    files = list(BookAttachment.objects.filter(book=book))
    problems += [problem for file in files for problem in _file(file)]
    problems += _photos(events, {file.name: file.digest_id for file in files})
    return BookFound(book.slug, book.title, len(rows), len(files), tuple(problems))


def attachment_problem(digest: str, size: int, content: bytes) -> Problem | None:
    """What is wrong with a file that is kept under a digest."""
    if sha256(content).hexdigest() == digest and len(content) == size:
        return None
    what = f"attachment {digest[:16]}: it was altered after it was kept: its content does not fit its digest."
    return Problem("attachment-altered", what, MEND)


def _events(rows: Sequence[EventRow]) -> tuple[list[Event], list[Problem]]:
    events: list[Event] = []
    problems: list[Problem] = []
    for row in rows:
        try:
            events.append(event_of(row))
        except BlockwrightError as error:
            problems += error.problems
    return events, problems


def _end(book: Book, rows: Sequence[EventRow]) -> list[Problem]:
    """Whether the book ends where its row says that it ends."""
    last = rows[-1].number if rows else 0
    digest = rows[-1].digest if rows else ""
    if last < book.head_number:
        missing = (
            f"event {book.head_number} is"
            if book.head_number == last + 1
            else f"events {last + 1} to {book.head_number} are"
        )
        return [Problem("event-end", f"{missing} missing from the end of the book.", MEND)]
    if last > book.head_number:
        what = f"event {last} stands after event {book.head_number}, which the book notes as its last: it was put in outside this program."
        return [Problem("event-end", what, MEND)]
    if digest != book.head_digest:
        what = f"event {last} is not the one that the book notes as its last: the end of the book was written anew."
        return [Problem("event-end", what, MEND)]
    return []


def _unfolding(events: Sequence[Event]) -> list[Problem]:
    """The first event that cannot be carried out on the job as the events before it made it."""
    kept: Kept | None = None
    for event in events:
        try:
            kept = fold((event,), kept)
        except Exception as fault:  # whatever a body that no act of ours made may bring about
            said = excerpt(str(fault) or type(fault).__name__)
            what = f"event {event.number} ({event.kind}): it does not fit the job as the events before it made it ({said})."
            return [Problem("event-fold", what, MEND)]
    return []


def _photos(events: Sequence[Event], digests: Mapping[str, str]) -> list[Problem]:
    """Photos that events say were attached: each is called by the first signs of its digest."""
    problems = []
    for event in events:
        name = str(event.body.get("photo", "")) if event.kind == PHOTO else ""
        if name and not digests.get(name, "").startswith(name.partition(".")[0] or " "):
            what = f"the photo of event {event.number} is missing from the book, or another one has its name."
            problems.append(Problem("attachment-missing", what, MEND, Place(name)))
    return problems


def _file(file: BookAttachment) -> Iterator[Problem]:
    kept = Attachment.objects.filter(digest=file.digest_id).first()
    if kept is None:
        what = f"attachment {file.digest_id[:16]} is missing."
        yield Problem("attachment-missing", what, MEND, Place(file.name))
        return
    problem = attachment_problem(kept.digest, kept.size, bytes(kept.content))
    if problem is not None:
        yield problem.at(file=file.name)


def _loose() -> Iterator[Problem]:
    """What belongs to no book."""
    books = set(Book.objects.values_list("pk", flat=True))
    for number in sorted(set(EventRow.objects.order_by().values_list("book_id", flat=True).distinct()) - books):
        yield Problem("book-missing", f"book {number} is missing, and its events are still there.", MEND)
    for kept in Attachment.objects.exclude(books__book__in=Book.objects.values("pk")).iterator(chunk_size=4):
        problem = attachment_problem(kept.digest, kept.size, bytes(kept.content))
        if problem is not None:
            yield problem
