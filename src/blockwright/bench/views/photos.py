"""Photos of an engine: sent in, cleaned and kept; handed out to whoever has a seat, by the names of this book alone."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse, JsonResponse

from blockwright.bench.addresses import Address, Need
from blockwright.bench.photos import keep_photo
from blockwright.bench.secure.uploads import MOST_BYTES, photo_answer
from blockwright.jobfile.attachments import KEPT
from blockwright.ledger.attachments import file_of
from blockwright.ledger.models import Book
from blockwright.problems import BlockwrightError, Place, Problem


def photos(request: HttpRequest, book: Book) -> HttpResponse:
    """POST a form with the file `photo`: kept, and answered with the name by which an act calls it. Naming it in an act is a step of its own."""
    sent = request.FILES.get("photo")
    if sent is None:
        raise BlockwrightError(Problem("photo", "no photo was sent.", "Choose or take one.", Place(field="photo")))
    return JsonResponse({"photo": keep_photo(book, sent.read(MOST_BYTES + 1))}, status=201)


def photo(request: HttpRequest, book: Book, name: str) -> HttpResponse:
    """One photo of this book; one of another book is not here, whatever its name."""
    found = file_of(book, name) if (match := KEPT.fullmatch(name)) else None
    if found is None or match is None:
        raise Http404("This engine has no such photo.")
    return photo_answer(match[2], found.content, found.name)


ADDRESSES = (
    Address("e/<slug:book>/photos/", "photos", photos, None, Need.MEASURER),
    Address("e/<slug:book>/photos/<str:name>/", "photo", photo, Need.VIEWER),
)
