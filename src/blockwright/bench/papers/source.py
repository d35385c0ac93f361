"""What a paper is made from, gathered at once: the job judged, its files, the photos that are lost. Making it asks the ledger nothing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from blockwright.bench.state import Seen, seen
from blockwright.bench.work.held import result_of
from blockwright.choices.route.progress import Progress
from blockwright.choices.route.whole import route_progress
from blockwright.engine.job import Job
from blockwright.fits.assessment import Assessment
from blockwright.jobfile.attachments import lost_among
from blockwright.ledger.books import export_texts
from blockwright.ledger.models import Book, BookAttachment
from blockwright.report.sheet.digests import Digests, digests_of_texts
from blockwright.running.work.result import Work


@dataclass(frozen=True)
class Source:
    """One engine at one number of its book."""

    book_id: int
    seen: Seen
    lost: Mapping[str, str]
    folder: Mapping[str, bytes]

    @cached_property
    def work(self) -> Work | None:
        """The engine at work, where that is worked out for the job as it stands."""
        found = result_of(self.book_id, self.seen.kept)
        return found.work if found is not None and found.current else None

    @property
    def worked(self) -> str:
        """The mark of that result; blank where there is none."""
        return f"{self.work.digest} {self.work.samples} {self.work.seed}" if self.work is not None else ""

    @property
    def job(self) -> Job:
        """The job."""
        return self.seen.job

    @property
    def assessment(self) -> Assessment:
        """Every fit, judged."""
        return self.seen.assessment

    @cached_property
    def digests(self) -> Digests:
        """Fingerprints of the job's files, as the folder that is taken out has them."""
        return digests_of_texts(self.seen.kept.texts())

    @cached_property
    def progress(self) -> Progress:
        """How far the route has got."""
        return route_progress(self.job, self.lost)


def source(book: Book, *, whole: bool = False) -> Source:
    """What papers of a book are made from; with `whole`, the files of its folder too, photos and events among them."""
    now = seen(book)
    return Source(book.pk, now, _lost(book, now), export_texts(book) if whole else {})


def _lost(book: Book, now: Seen) -> Mapping[str, str]:
    if not any(signing.given.photos for signing in now.job.signings):
        return {}
    digests = dict(BookAttachment.objects.filter(book=book).values_list("name", "digest_id"))
    return lost_among(digests, now.job.signings)
