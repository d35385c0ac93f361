"""The terminal: width, colour and marks, the same for every command."""

from __future__ import annotations

from textwrap import wrap

from rich.console import Console
from rich.text import Text

from blockwright.cli.letters import plain, spelled
from blockwright.report.slot import Mark, block_mark

WIDE = 80
STYLE = {
    "conforms": "blue", "undecided": "yellow", "nonconforming": "bold red", "accepted": "magenta",
    "no limit given": "", "open": "dim",
}  # fmt: skip


def console() -> Console:
    """A console of at most 100 columns and at least 80; no colour where the output is not a terminal or NO_COLOR is set."""
    here = Console(highlight=False, markup=False, soft_wrap=False)
    width = min(max(here.width, WIDE), 100) if here.is_terminal else WIDE
    return Console(highlight=False, markup=False, width=width)


def mark_text(mark: Mark | None, width: int = 21) -> Text:
    """The slot-and-pin mark, coloured by its standing; blank where there is nothing to draw."""
    if mark is None:
        return Text(" " * width)
    return Text(block_mark(mark, width, ascii=plain()), style=STYLE[mark.standing])


def paragraph(out: Console, text: str, *, indent: int = 0, first: str = "", style: str = "") -> None:
    """Wrapped text; `first` stands before the first line, the others are set in as far."""
    room = out.width - indent - len(first)
    for number, line in enumerate(wrap(spelled(text), room, break_on_hyphens=False) or [""]):
        head = first if number == 0 else " " * len(first)
        out.print(Text(" " * indent + head) + Text(line, style=style))


def heading(out: Console, *parts: Text, indent: int = 4) -> None:
    """Parts of one line, each in its own style; what does not fit goes on, set in, on the next."""
    whole = Text().join(parts)
    if whole.cell_len <= out.width:
        out.print(whole)
        return
    for number, line in enumerate(whole.wrap(out, out.width - indent)):
        line.rstrip()
        out.print(Text(" " * indent * (number > 0)) + line)
