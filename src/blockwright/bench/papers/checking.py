"""Whether a build sheet that is sent in belongs to the job as it is now."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.core.files.uploadedfile import UploadedFile

from blockwright.ledger.models import Book
from blockwright.ledger.store import LedgerStore
from blockwright.problems import BlockwrightError, Place, Problem
from blockwright.report.sheet.digests import changes, digests_from, digests_of_texts

MOST_BYTES = 32 * 1024 * 1024
PLACE = Place(field="sheet")


@dataclass(frozen=True)
class Held:
    """A sheet held against a job: what became of each file since; nothing where the sheet belongs to it."""

    changes: tuple[str, ...]
    files: int

    @property
    def belongs(self) -> bool:
        """Whether the sheet is of the job as it is now."""
        return not self.changes


def held_against(book: Book, upload: UploadedFile[Any] | None) -> Held:
    """Hold a PDF against a book. Raises BlockwrightError (`sheet`) for what is no build sheet of ours, or was changed after it was made."""
    if upload is None:
        raise BlockwrightError(Problem("sheet-none", "no file was chosen.", "Choose the PDF of a build sheet.", PLACE))
    if (upload.size or 0) > MOST_BYTES:
        what = f"the file is larger than {MOST_BYTES // (1024 * 1024)} MB, and a build sheet is not."
        raise BlockwrightError(Problem("sheet-large", what, "Choose the PDF of a build sheet.", PLACE))
    try:
        carried = digests_from(upload.read())
    except BlockwrightError as error:
        raise BlockwrightError(_at_the_bench(each) for each in error.problems) from None
    now = digests_of_texts(LedgerStore(book).kept().texts())
    return Held(changes(carried, now), len(now.files))


def _at_the_bench(problem: Problem) -> Problem:
    """The same problem with what to do about it here, where no command is typed."""
    mend = "Choose a build sheet that was made here." if problem.code == "sheet-foreign" else problem.mend
    return Problem(problem.code, problem.what, mend, PLACE)
