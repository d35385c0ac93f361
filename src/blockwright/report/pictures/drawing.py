"""What every picture is drawn with: a document with title and description, and text that is safe and stays within its room.

No font is shipped with a picture, so widths are reckoned for a wide sans-serif; a narrower one leaves room over.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

from blockwright.report.colours import INK, PAPER

NARROW, WIDE, SIGN, CAPITAL = 0.41, 1.02, 0.84, 0.80
PLAIN, LARGEST = 0.64, 1.10
BOLD = 1.17
"""Widths of signs in parts of the size of type, and how much wider bold is: those of a wide sans-serif, rounded up."""
ELLIPSIS = "…"


def document(width: float, height: float, said: tuple[str, str], drawn: Iterable[str], *, name: str) -> str:
    """An SVG document of `width` by `height`; `said` are title and description for those who cannot see it, `name` tells its ids apart."""
    title, described = said
    return "\n".join(
        (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {n(width)} {n(height)}" width="{n(width)}" height="{n(height)}" '
            f'role="img" aria-labelledby="{name}-title {name}-desc" font-family="sans-serif" font-size="13" fill="{INK}">',
            f'<title id="{name}-title">{safe(title)}</title>',
            f'<desc id="{name}-desc">{safe(described)}</desc>',
            f'<rect width="{n(width)}" height="{n(height)}" fill="{PAPER}"/>',
            *drawn,
            "</svg>\n",
        )
    )


def text(
    x: float, y: float, said: str, *, size: float = 13, bold: bool = False, fill: str = INK, anchor: str = "start"
) -> str:
    """One line of text with its foot at `y`."""
    weight = ' font-weight="700"' if bold else ""
    placed = f'x="{x:.1f}" y="{y:.1f}" font-size="{size:g}" fill="{fill}" text-anchor="{anchor}"{weight}'
    return f"<text {placed}>{safe(said)}</text>"


def path(line: str, *, stroke: str = INK, width: float = 1.0, fill: str = "none", dash: str = "") -> str:
    """A line or an outline."""
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    return f'<path d="{line}" fill="{fill}" stroke="{stroke}" stroke-width="{n(width)}"{dashes}/>'


def safe(said: str) -> str:
    """Text that is safe in XML: markup escaped, signs that XML does not allow replaced."""
    return escape("".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in said), quote=False)


def text_width(said: str, size: float = 13, *, bold: bool = False) -> float:
    """How wide a line is at most, in pixels."""
    return size * (BOLD if bold else 1.0) * sum(map(_share, said))


def fitted(said: str, room: float, size: float = 13, *, bold: bool = False) -> str:
    """The text, without its middle where it is too wide for `room`; its end often tells it from the next."""
    kept = len(said)
    shown = said
    while kept > 1 and text_width(shown, size, bold=bold) > room:
        kept -= 1
        shown = shortened(said, kept)
    return shown


def shortened(said: str, most: int) -> str:
    """A long text without its middle: at most so many signs."""
    tail = most // 3
    return said if len(said) <= most else f"{said[: most - 1 - tail]}{ELLIPSIS}{said[len(said) - tail :]}"


def wrapped(said: str, room: float, size: float = 13, *, bold: bool = False) -> list[str]:
    """The text in lines that stay within `room`; a word that is too wide for a line loses its middle."""
    lines: list[str] = []
    for word in said.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, size, bold=bold) <= room:
            lines[-1] = longer
        else:
            lines.append(fitted(word, room, size, bold=bold))
    return lines


def column(
    x: float, y: float, lines: Sequence[str], *, size: float = 13, fill: str = INK, bold: bool = False
) -> list[str]:
    """Lines under each other, the foot of the first at `y`."""
    return [text(x, y + leading(size) * i, line, size=size, fill=fill, bold=bold) for i, line in enumerate(lines)]


def leading(size: float) -> float:
    """From line to line."""
    return 1.38 * size


def n(pixels: float) -> str:
    """A number of pixels, to a hundredth."""
    return f"{pixels:.2f}".rstrip("0").rstrip(".")


def _share(sign: str) -> float:
    """Width of a sign in parts of the size of type."""
    if sign in "ijlI.,:;'|! ()[]ft-/":
        return NARROW
    if sign in "mwMW@%–—":
        return WIDE
    if sign in "#&+<=>^~{}±°µ×·−":
        return SIGN
    if not sign.isascii():
        return LARGEST
    return CAPITAL if sign.isupper() else PLAIN
