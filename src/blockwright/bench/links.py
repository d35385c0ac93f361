"""Addresses of pages, for pages: blank where a page is not part of this bench."""

from __future__ import annotations

from django.urls import NoReverseMatch, reverse

from blockwright.choices.next_steps import NextStep, Rank
from blockwright.fits.assessment import FitResult
from blockwright.ledger.models import Book


def link(name: str, **words: object) -> str:
    """The address of a page; blank where there is no such page."""
    try:
        return reverse(name, kwargs=words or None)
    except NoReverseMatch:
        return ""


def fit_link(book: Book, result: FitResult) -> str:
    """The page of one fit at one position."""
    return link("fit", book=book.slug, fit=result.fit.name, position=str(result.position))


def step_link(book: Book, step: NextStep) -> str:
    """Where a step is done: at the gauge for what is to be read, first or again, else at the fit."""
    if step.rank in (Rank.READ, Rank.READ_AGAIN) or not step.fits:
        return link("measure", book=book.slug)
    return fit_link(book, step.fits[0])
