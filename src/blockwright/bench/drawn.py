"""Pictures and marks put into a page: the same drawings as on paper, in the colours of the page, light or dark.

The drawings carry their inks as presentation attributes. Here each ink becomes a custom property of the style sheet, and falls back to itself.
"""

from __future__ import annotations

import re

from django.utils.safestring import SafeString, mark_safe

from blockwright.report import colours
from blockwright.report.slot import Mark, svg_mark

PROPERTY = {
    colours.INK: "--ink", colours.SOFT: "--soft", colours.PAPER: "--sheet", colours.LINE: "--line", colours.STEEL: "--steel",
    colours.PLATE: "--plate", colours.SHADE: "--shade", colours.BLUE: "--good", colours.OCHRE: "--doubt", colours.VERMILION: "--out",
}  # fmt: skip
"""The custom property that stands for each ink of a picture."""
_INK = re.compile('"(' + "|".join(PROPERTY) + ')"')
_SIZE = re.compile(r'^(<svg [^>]*?viewBox="0 0 (\S+) (\S+)") width="[^"]*" height="[^"]*"')


def inline(svg: str) -> SafeString:
    """A picture of ours for a page: as wide as its place, its inks those of the page, its type that of the page."""
    themed = _INK.sub(lambda found: f'"var({PROPERTY[found[1]]}, {found[1]})"', svg)
    fluid = _SIZE.sub(r'\1 class="drawn"', themed).replace(' font-family="sans-serif"', "")
    return mark_safe(fluid)


def mark(drawn: Mark | None, title: str = "", width: float = 190, height: float = 26) -> SafeString:
    """A slot-and-pin mark for a page; nothing where there is none."""
    if drawn is None:
        return mark_safe("")
    return inline_mark(svg_mark(drawn, width, height, title))


def inline_mark(svg: str) -> SafeString:
    """A mark keeps its own size."""
    themed = _INK.sub(lambda found: f'"var({PROPERTY[found[1]]}, {found[1]})"', svg)
    return mark_safe(themed.replace("<svg ", '<svg class="mark" ', 1))
