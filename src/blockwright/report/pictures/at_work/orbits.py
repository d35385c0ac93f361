"""The path of each journal in its bearing's clearance: a panel a bearing, the smallest film marked with its value, its angle and the load on it.

Of a main bearing up is up in the engine (x) and right the way the crank moves at its top (y); a rod bearing's axes turn with its rod. The circle
is the clearance, drawn to one size for all: where a path would reach it, metal would meet metal.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from blockwright.report.colours import BLUE, INK, OCHRE, PAPER, SOFT, STEEL
from blockwright.report.pictures.at_work import amounts as told
from blockwright.report.pictures.at_work.axes import MARGIN, SMALL, WIDTH, Look, Point, curve, dot
from blockwright.report.pictures.at_work.labels import heading
from blockwright.report.pictures.drawing import document, fitted, leading, n, path, text
from blockwright.running.work.result import BearingTold, Work

MOST_LARGE = 9
"""So many bearings are drawn three in a row; more, smaller and four in a row."""
AXES = "Mains: up is up in the engine, right the way the crank moves at its top. Rods: up is along the rod to the piston, right the same way."
HEAD, ARROW = 9.0, 0.66
ROD = "rod bearing, cylinder "
UNSETTLED, UNREAD = "path not settled", "not measured"


@dataclass(frozen=True)
class _Grid:
    """How panels stand: so many in a row, circles so large, rows so tall."""

    across: int
    radius: float
    row: float

    @property
    def cell(self) -> float:
        return (WIDTH - 2 * MARGIN) / self.across


LARGE, SMALLER = _Grid(3, 72.0, 252.0), _Grid(4, 58.0, 240.0)


def orbits_picture(work: Work) -> str:
    """SVG of all bearings' orbits, three in a row."""
    bearings = work.bearings
    said = sentence(bearings)
    notes = [
        "Circle: the clearance; line: path of the journal's middle; dot: smallest film; arrow: load on the journal at that moment.",
        AXES,
    ]
    if any(not bearing.read for bearing in bearings):
        notes.append("Not measured: the middle of the limits is taken.")
    if len(bearings) > MOST_LARGE:
        notes.append("Rods are named by their cylinder.")
    head, y = heading("The journals in their clearances", said, *(notes if bearings else ()))
    grid = LARGE if len(bearings) <= MOST_LARGE else SMALLER
    panels = [
        _panel(bearing, grid, MARGIN + grid.cell * (i % grid.across + 0.5), y + 24 + grid.row * (i // grid.across))
        for i, bearing in enumerate(bearings)
    ]
    height = y + 24 + grid.row * math.ceil(len(bearings) / grid.across)
    return document(WIDTH, height, ("Orbits of the journals", said), [*head, *panels], name="work-orbits")


def sentence(bearings: Sequence[BearingTold]) -> str:
    """The smallest film of all in one sentence."""
    if not bearings:
        return "No bearing could be worked out."
    least = min(bearings, key=lambda bearing: bearing.film_m.value)
    unsettled = [bearing.name for bearing in bearings if not bearing.settled]
    more = f" Not settled: {', '.join(unsettled)}." if unsettled else ""
    return (
        f"The thinnest film of {len(bearings)} bearings: {least.name}, {film_words(least)} at "
        f"{told.degrees(least.film_at_deg)} of the crank.{more}"
    )


def film_words(bearing: BearingTold) -> str:
    """The smallest film with its spread, where it was drawn."""
    film = bearing.film_m
    low, high = (told.micron(each, film.sd).removesuffix(" µm") for each in (film.low, film.high))
    alone = told.micron(film.value, film.sd)
    return f"{alone} ({low} to {high})" if film.drawn else alone


def _panel(bearing: BearingTold, grid: _Grid, x: float, top: float) -> str:
    """One bearing: its name, circle and path, and what is said below."""
    cy = top + 26 + grid.radius
    drawn = [
        _line(x, top + 12, _name(bearing, grid), grid, bold=True),
        f'<circle cx="{n(x)}" cy="{n(cy)}" r="{n(grid.radius)}" fill="{STEEL}" stroke="{INK}" stroke-width="2"/>',
        path(f"M{n(x - 6)} {n(cy)}h12M{n(x)} {n(cy - 6)}v12", stroke=SOFT, width=1.0),
        *_orbit(bearing, grid.radius, x, cy),
    ]
    film, angle = told.micron(bearing.film_m.value, bearing.film_m.sd), f"at {told.degrees(bearing.film_at_deg)}"
    said = [f"{film} {angle}"] if grid is LARGE else [film, angle]
    doubts = ("" if bearing.settled else UNSETTLED, "" if bearing.read else UNREAD)
    for i, words in enumerate((*said, *filter(None, doubts))):
        foot = cy + grid.radius + 22 + leading(SMALL) * i
        drawn.append(_line(x, foot, words, grid, bold=i == 0))
    return f"<g>{''.join(drawn)}</g>"


def _name(bearing: BearingTold, grid: _Grid) -> str:
    """A bearing's name, shorter in a small panel: `rod 3` for the rod bearing of cylinder 3."""
    return bearing.name.replace("rod bearing, ", "rod, ") if grid is LARGE else bearing.name.replace(ROD, "rod ")


def _line(x: float, y: float, said: str, grid: _Grid, *, bold: bool = False) -> str:
    """A line about the panel's middle."""
    shown = fitted(said, grid.cell - 4, SMALL, bold=bold)
    return text(x, y, shown, size=SMALL, bold=bold, fill=INK if bold else SOFT, anchor="middle")


def _orbit(bearing: BearingTold, radius: float, x: float, y: float) -> list[str]:
    """The path, the place of the smallest film, and the load there."""
    places: list[Point] = [(x + radius * right, y - radius * up) for up, right in bearing.orbit]
    if not places:
        return [text(x, y - 16, "no path", size=SMALL, fill=SOFT, anchor="middle")]
    at = smallest(bearing)
    closed = [*places, places[0]] if bearing.settled else places
    return [
        curve(closed, Look(BLUE, "" if bearing.settled else "5 4", 2.0)),
        *_load(bearing, at, ARROW * radius, x, y),
        dot(*places[at], r=5.5),
    ]


def smallest(bearing: BearingTold) -> int:
    """Which point of the path lies nearest to the bearing's wall."""
    return max(range(len(bearing.orbit)), key=lambda i: math.hypot(*bearing.orbit[i]))


def _load(bearing: BearingTold, at: int, long: float, x: float, y: float) -> list[str]:
    """An arrow from the middle along the load on the journal, as it stands when the film is smallest."""
    if len(bearing.load_n) != len(bearing.orbit):
        return []
    up, right = bearing.load_n[at]
    force = math.hypot(up, right)
    if force <= 0.0:
        return []
    ux, uy = right / force, -up / force
    tip = x + long * ux, y + long * uy
    back = tip[0] - 1.6 * HEAD * ux, tip[1] - 1.6 * HEAD * uy
    wing = 0.75 * HEAD
    sides = [(back[0] - wing * uy, back[1] + wing * ux), (back[0] + wing * uy, back[1] - wing * ux)]
    head = "M" + "L".join(f"{n(a)} {n(b)}" for a, b in (tip, *sides)) + "z"
    shaft = f"M{n(x)} {n(y)}L{n(back[0])} {n(back[1])}"
    return [
        path(shaft, stroke=PAPER, width=5.0),
        path(shaft, stroke=OCHRE, width=2.6),
        path(head, stroke=PAPER, width=1.0, fill=OCHRE),
    ]
