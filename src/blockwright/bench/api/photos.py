"""Endpoints: a photo sent in and looked at. What it is of is said by an act that names it: `photo attached`, or `step signed`."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from ninja import Field, Router, Schema

from blockwright.bench.addresses import Need
from blockwright.bench.api.answering import book_of
from blockwright.bench.api.refusing import RefusedError
from blockwright.bench.photos import keep_photo
from blockwright.bench.secure.uploads import MEDIA, MOST_BYTES, photo_answer
from blockwright.jobfile.attachments import KEPT
from blockwright.ledger.attachments import file_of

PICTURES = {media: {"schema": {"type": "string", "format": "binary"}} for media in MEDIA.values()}

router = Router(tags=["record"])


class PhotoKept(Schema):
    """A photo that is kept."""

    photo: str = Field(description="The name by which an act calls it.")


@router.post(
    "/engines/{engine}/photos",
    response={201: PhotoKept},
    summary="Send a photo in",
    openapi_extra={"requestBody": {"required": True, "content": PICTURES}},
)
def new_photo(request: HttpRequest, engine: str, response: HttpResponse) -> Any:
    """The body is the picture itself. What it tells besides the picture (where, when, by which device) is taken off before it is kept.

    The same again changes nothing. For a measurer or higher. An act says what it is of: `photo attached` with its name, or `step signed`.
    """
    book = book_of(request, engine, Need.MEASURER)
    if request.content_type not in MEDIA.values():
        raise RefusedError(415, f"Send the photo itself as {' or '.join(MEDIA.values())}.")
    name = keep_photo(book, request.read(MOST_BYTES + 1))
    response["Location"] = f"{request.path.rstrip('/')}/{name}"
    return PhotoKept(photo=name)


@router.get(
    "/engines/{engine}/photos/{name}",
    response={200: None},
    summary="One photo",
    openapi_extra={"responses": {200: {"description": "The picture.", "content": PICTURES}}},
)
def photo(request: HttpRequest, engine: str, name: str) -> HttpResponse:
    """By the name under which it is kept. One of another engine is not here, whatever its name."""
    book = book_of(request, engine)
    found = file_of(book, name) if (match := KEPT.fullmatch(name)) else None
    if found is None or match is None:
        raise RefusedError(404, "This engine has no such photo.")
    return photo_answer(match[2], found.content, found.name)
