"""Tags for every template of the bench: the mark of a row, a picture in the page's colours, what tone a verdict has."""

from __future__ import annotations

from django import template
from django.utils.safestring import SafeString

from blockwright.bench import drawn
from blockwright.bench.links import fit_link
from blockwright.bench.tones import tone_of
from blockwright.fits.assessment import FitResult
from blockwright.ledger.models import Book
from blockwright.report.rows import Row

register = template.Library()


@register.filter
def mark(row: Row) -> SafeString:
    """The slot-and-pin mark of a row."""
    return drawn.mark(
        row.mark, f"{row.result.fit.name}, {row.at}: {row.words}" if row.at else f"{row.result.fit.name}: {row.words}"
    )


@register.filter
def tone(result: FitResult) -> str:
    """`good`, `doubt`, `out`, `signed`, `plain` or `open`: the class of a verdict."""
    return str(tone_of(result))


@register.filter
def picture(svg: str) -> SafeString:
    """A picture of ours in the page's colours."""
    return drawn.inline(svg)


@register.filter(is_safe=True)
def capital(said: object) -> str:
    """The first letter a capital; what was made fit for a page already stays so."""
    text = str(said)
    return text[:1].upper() + text[1:]


@register.simple_tag
def fit_page(book: Book, result: FitResult) -> str:
    """The address of a fit's own page; blank where there is none."""
    return fit_link(book, result)
