"""The clocking picture: one cylinder's crown from above, front at the top, each ring a circle with its gap where it is to lie.

Drawn twice from one layout: `clocking_svg` for pages and sheet, `clocking_lines` for the terminal. Every gap has its letter, so that nothing
hangs on colour.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from html import escape

from blockwright.choices.clocking.frame import PIN_DEG, THRUST_DEG, bottom_deg, major_thrust_deg
from blockwright.choices.clocking.rules import CLEAR_OF_BOTTOM_DEG, CLEAR_OF_PIN_AND_THRUST_DEG, Pattern
from blockwright.choices.clocking.whole import Clocked
from blockwright.engine.layout import Engine
from blockwright.engine.pack import Element
from blockwright.report.colours import BLUE, INK, PAPER, SHADE, SOFT, VERMILION

LETTER = {
    Element.TOP: "T",
    Element.SECOND: "S",
    Element.UPPER_RAIL: "U",
    Element.EXPANDER: "E",
    Element.LOWER_RAIL: "L",
    Element.OIL: "O",
    Element.SUPPORT: "R",
}
SIZE, CENTRE, OUTER, STEP = 420.0, 210.0, 150.0, 19.0
LEGEND, PER_LINE = 18.0, 2
"""Height of a line of the legend, and pieces on it."""
HALF_GAP = 14.0
"""Half the gap as drawn, so that it shows on both sides of its letter."""
ROWS, COLUMNS = 17, 41


@dataclass(frozen=True)
class Crown:
    """What both pictures draw."""

    number: int
    pattern: Pattern
    major_deg: float
    bottom_deg: float | None
    faulty: frozenset[Element]


def crown(engine: Engine, number: int, pattern: Pattern, faulty: frozenset[Element] = frozenset()) -> Crown:
    """The layout of one cylinder; pieces in `faulty` break a rule and are marked."""
    return Crown(number, pattern, major_thrust_deg(engine), bottom_deg(engine, number), faulty)


def clocked_svg(engine: Engine, clocked: Clocked) -> str:
    """SVG of a cylinder's clocking; pieces that break a rule are ringed."""
    faulty = frozenset(piece for fault in clocked.faults if not fault.wish for piece in fault.elements)
    return clocking_svg(crown(engine, clocked.number, clocked.pattern, faulty))


def clocking_svg(seen: Crown) -> str:
    """SVG of a crown with its legend, and with title and description for those who cannot see it."""
    height = SIZE + 4.0 + LEGEND * -(-len(seen.pattern) // PER_LINE)
    words = ", ".join(f"{piece} at {angle:.0f}°" for piece, angle in seen.pattern.items())
    rings = "".join(
        _ring(index, piece, angle, piece in seen.faulty) for index, (piece, angle) in enumerate(seen.pattern.items())
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {SIZE:.0f} {height:.0f}" role="img" font-family="sans-serif">'
        f"<title>Ring gaps of cylinder {seen.number}</title><desc>{escape(words, quote=False)}, clockwise from the front, seen on the crown.</desc>"
        f'<circle cx="{CENTRE}" cy="{CENTRE}" r="{OUTER + 16}" fill="{PAPER}" stroke="{INK}" stroke-width="2"/>'
        f"{_keep_outs(seen)}{_pin()}{rings}{_labels(seen)}{_legend(seen)}</svg>"
    )


def clocking_lines(seen: Crown) -> list[str]:
    """The same crown as lines of text, 41 columns wide."""
    grid = [[" "] * COLUMNS for _ in range(ROWS)]
    for degree in range(0, 360, 4):
        _put(grid, 1.0, float(degree), "·")
    for end in PIN_DEG:
        _put(grid, 0.25, end, "┃")
    for index, (piece, angle) in enumerate(seen.pattern.items()):
        _put_letter(grid, 0.86 - 0.12 * index, angle, LETTER[piece])
    lines = ["front".center(COLUMNS), *("".join(row) for row in grid)]
    middle = ROWS // 2 + 1
    right, left = ("MAJOR", "minor") if seen.major_deg == THRUST_DEG[0] else ("minor", "MAJOR")
    lines = [
        f"{left if i == middle else '':<5} {line} {right if i == middle else '':<5}".rstrip()
        for i, line in enumerate(lines)
    ]
    if seen.bottom_deg is not None:
        side = "right" if seen.bottom_deg == THRUST_DEG[0] else "left"
        lines.append(f"      this cylinder lies flat: down is on the {side}")
    return lines


def _put(grid: list[list[str]], radius: float, degree: float, mark: str) -> None:
    row, column = _cell(radius, degree)
    grid[row][column] = mark


def _put_letter(grid: list[list[str]], radius: float, degree: float, letter: str) -> None:
    """A letter at its place, or as near to it on the same ray as no other letter stands."""
    nudges = (sign * 0.02 * step for step in range(20) for sign in (-1.0, 1.0))
    cells = (_cell(radius + nudge, degree) for nudge in nudges if 0.1 < radius + nudge < 0.95)
    row, column = next(cell for cell in cells if grid[cell[0]][cell[1]] not in LETTER.values())
    grid[row][column] = letter


def _cell(radius: float, degree: float) -> tuple[int, int]:
    turn = math.radians(degree)
    return round((ROWS - 1) / 2 * (1 - radius * math.cos(turn))), round(
        (COLUMNS - 1) / 2 * (1 + radius * math.sin(turn))
    )


def _point(radius: float, degree: float) -> tuple[float, float]:
    turn = math.radians(degree)
    return CENTRE + radius * math.sin(turn), CENTRE - radius * math.cos(turn)


def _ring(index: int, piece: Element, angle: float, faulty: bool) -> str:
    radius = OUTER - STEP * index
    half = math.degrees(HALF_GAP / radius)
    (x0, y0), (x1, y1) = _point(radius, angle + half), _point(radius, angle - half)
    lx, ly = _point(radius, angle)
    width, colour = (2.2 if "rail" in piece else 5.0), INK if piece is not Element.EXPANDER else SOFT
    dash = ' stroke-dasharray="3 3"' if piece is Element.EXPANDER else ""
    box = f'<circle cx="{lx:.1f}" cy="{ly:.1f}" r="10" fill="{PAPER}" stroke="{BLUE}" stroke-width="1.6"/>'
    cross = (
        f'<circle cx="{lx:.1f}" cy="{ly:.1f}" r="13.5" fill="none" stroke="{VERMILION}" stroke-width="2.4"/>'
        if faulty
        else ""
    )
    return (
        f'<path d="M{x0:.2f} {y0:.2f}A{radius} {radius} 0 1 1 {x1:.2f} {y1:.2f}" fill="none" stroke="{colour}" stroke-width="{width}"{dash}/>'
        f'{box}{cross}<text x="{lx:.1f}" y="{ly + 4.5:.1f}" font-size="13" font-weight="700" '
        f'text-anchor="middle" fill="{BLUE}">{LETTER[piece]}</text>'
    )


def _keep_outs(seen: Crown) -> str:
    sectors = [_sector(where, CLEAR_OF_PIN_AND_THRUST_DEG) for where in (*PIN_DEG, *THRUST_DEG)]
    if seen.bottom_deg is not None:
        sectors.append(_sector(seen.bottom_deg, CLEAR_OF_BOTTOM_DEG))
    return f'<g fill="{SHADE}" fill-opacity=".45">{"".join(sectors)}</g>'


def _sector(where: float, half: float) -> str:
    (x0, y0), (x1, y1) = _point(OUTER + 15, where - half), _point(OUTER + 15, where + half)
    return f'<path d="M{CENTRE} {CENTRE}L{x0:.1f} {y0:.1f}A{OUTER + 15} {OUTER + 15} 0 0 1 {x1:.1f} {y1:.1f}Z"/>'


def _pin() -> str:
    return (
        f'<rect x="{CENTRE - 12}" y="{CENTRE - 44}" width="24" height="88" rx="5" fill="{PAPER}" stroke="{SOFT}"/>'
        f'<text x="{CENTRE}" y="{CENTRE + 5}" font-size="13" text-anchor="middle" fill="{SOFT}">pin</text>'
    )


def _labels(seen: Crown) -> str:
    major_right = seen.major_deg == THRUST_DEG[0]
    texts = [
        (CENTRE, 20.0, "middle", "front ▲"),
        (CENTRE, SIZE - 10.0, "middle", f"cylinder {seen.number}, seen on the crown"),
    ]
    parts = [f'<text x="{x}" y="{y}" font-size="14" text-anchor="{a}" fill="{INK}">{t}</text>' for x, y, a, t in texts]
    for right in (True, False):
        x = SIZE - 14.0 if right else 14.0
        word = "major thrust" if right is major_right else "minor thrust"
        down = seen.bottom_deg == (THRUST_DEG[0] if right else THRUST_DEG[1])
        parts.append(
            f'<text x="{x}" y="{CENTRE}" font-size="13" text-anchor="middle" fill="{SOFT}" transform="rotate({90 if right else -90} {x} {CENTRE})">'
            f"{word}{', down' if down else ''}</text>"
        )
    return "".join(parts)


def _legend(seen: Crown) -> str:
    """The letters in words, two to a line."""
    texts = []
    for index, (piece, angle) in enumerate(seen.pattern.items()):
        x, y = 60.0 + SIZE / PER_LINE * (index % PER_LINE), SIZE + 12.0 + LEGEND * (index // PER_LINE)
        texts.append(
            f'<text x="{x:.1f}" y="{y:.1f}" font-size="13" fill="{INK}"><tspan font-weight="700" fill="{BLUE}">{LETTER[piece]}</tspan>'
            f" {piece} {angle:.0f}°{' (!)' if piece in seen.faulty else ''}</text>"
        )
    return "".join(texts)
