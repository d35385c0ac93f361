"""Endpoints: the papers of an engine, and one of them as a file."""

from __future__ import annotations

from typing import Any, Literal

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from ninja import Field, Query, Router, Schema
from ninja.responses import Status

from blockwright.bench.api.answering import book_of
from blockwright.bench.api.refusing import RefusedError
from blockwright.bench.api.shapes import BeingMade, PaperTold
from blockwright.bench.papers.catalogue import BY_KEY, PAPERS, SIZES, Paper
from blockwright.bench.papers.handing import handed
from blockwright.bench.papers.making import maker
from blockwright.bench.papers.source import source
from blockwright.engine.job import Job
from blockwright.ledger.store import LedgerStore

FILES = {media: {"schema": {"type": "string", "format": "binary"}} for media in sorted({each.media for each in PAPERS})}

router = Router(tags=["papers"])


class Size(Schema):
    """The size of a paper."""

    paper: Literal["A4", "Letter"] = Field(SIZES[0], description="Of papers that are printed.")  # type: ignore[arg-type]


@router.get("/engines/{engine}/papers", response=list[PaperTold], summary="What can be printed and taken out")
def papers(request: HttpRequest, engine: str) -> Any:
    """Nothing is made for it."""
    book = book_of(request, engine)
    job = LedgerStore(book).kept().job
    return [_told(each, job, book.slug) for each in PAPERS]


@router.get(
    "/engines/{engine}/papers/{key}",
    response={200: None, 202: BeingMade},
    summary="One paper as a file",
    openapi_extra={"responses": {200: {"description": "The file.", "content": FILES}}},
)
def paper(request: HttpRequest, engine: str, key: str, words: Query[Size], response: HttpResponse) -> Any:
    """What takes longer than a moment is answered with 202 and Retry-After: ask again. The paper `folder` is the whole job as a zip."""
    book = book_of(request, engine)
    wanted = BY_KEY.get(key)
    if wanted is None:
        raise RefusedError(404, "There is no such paper.")
    of = source(book, whole=wanted.whole)
    made = maker.asked(wanted, of, words.paper if wanted.sized else SIZES[0])
    if made is None:
        response["Retry-After"] = "1"
        return Status(202, BeingMade(being=wanted.name))
    return handed(made, wanted.media, wanted.file_name(of.job, words.paper))


def _told(paper: Paper, job: Job, slug: str) -> PaperTold:
    return PaperTold(key=paper.key, name=paper.name, words=paper.words, media=paper.media, sized=paper.sized, lacking=paper.lacking(job),
                     href=reverse("api-1:paper", kwargs={"engine": slug, "key": paper.key}))  # fmt: skip
