"""Rows of several cells in a terminal: what does not fit its column goes on below, and no row is broken."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest
from textwrap import wrap

from rich.console import Console
from rich.text import Text

from blockwright.cli.letters import spelled

GAP = 2
"""Blanks between two columns."""


def columns(
    out: Console, cells: Sequence[str], widths: Sequence[int], *, indent: int = 2, gap: int = GAP, style: str = ""
) -> None:
    """Print one row; a width below nil is of a column that is set to the right."""
    lines = [wrap(spelled(cell), abs(width), break_on_hyphens=False) for cell, width in zip(cells, widths, strict=True)]
    for parts in zip_longest(*lines, fillvalue=""):
        told = (
            f"{part:>{-width}}" if width < 0 else f"{part:<{width}}" for part, width in zip(parts, widths, strict=True)
        )
        out.print(Text(" " * indent + (" " * gap).join(told).rstrip(), style=style))
