"""`blockwright pistons`: two pistons side by side in one bore."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest
from pathlib import Path
from textwrap import wrap

from rich.console import Console
from rich.text import Text

from blockwright.cli.letters import spelled
from blockwright.cli.terminal import console, paragraph
from blockwright.jobfile.folder import read_folder
from blockwright.report.piston_rows import NOTE, piston_rows
from blockwright.report.ring_words import PISTON_CAUTION

WIDE = 24


def compare(path: Path, first: str, second: str, number: int) -> None:
    """Print two pistons of a job side by side in the bore of a cylinder."""
    rows = piston_rows(read_folder(path).job, first, second, number)
    out = console()
    paragraph(out, PISTON_CAUTION, style="bold")
    out.print(Text(f"In cylinder {number}".ljust(30) + first.ljust(WIDE) + second, style="bold"))
    for row in rows:
        _print_row(out, row.name, row.cells)
    out.print()
    paragraph(out, NOTE, style="dim")


def _print_row(out: Console, name: str, cells: Sequence[str]) -> None:
    """A row of two columns; what does not fit goes on below."""
    lines = zip_longest(*(wrap(spelled(cell), WIDE - 1, break_on_hyphens=False) for cell in cells), fillvalue="")
    for number, line in enumerate(lines):
        out.print(Text(f"  {name if number == 0 else '':<28}{''.join(f'{part:<{WIDE}}' for part in line).rstrip()}"))
