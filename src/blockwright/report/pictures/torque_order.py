"""A field of bolts, numbered in the order in which they are tightened.

Bolts are counted from the front, row by row as they lie, those on a circle clockwise from the top; a pattern lists them in the order of tightening,
as `(5, 6, 4, 7)`. A pattern that no maker gave is marked as generated: in words, and by dashed bolts.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from blockwright.choices.route.torque import tightening
from blockwright.engine.fasteners import Joint
from blockwright.engine.job import Job
from blockwright.report.colours import INK, LINE, PAPER, SOFT, STEEL
from blockwright.report.pictures.drawing import column, document, leading, n, path, text, wrapped

ALONG, ACROSS = 84.0, 104.0
MARGIN, RADIUS, LEAST_WIDTH = 28.0, 23.0, 520.0
LEAST_CIRCLE = 84.0
ON_A_CIRCLE = (Joint.FLYWHEEL,)


@dataclass(frozen=True)
class Bolt:
    """Where a bolt lies, in steps: along the engine from the front, and across it from its right side (seen from above, front at the left)."""

    along: float
    across: float


@dataclass(frozen=True)
class BoltField:
    """Bolts of one joint, counted from 1 in the order listed; `circle` where they stand on one."""

    name: str
    bolts: tuple[Bolt, ...]
    circle: bool = False

    @property
    def rows(self) -> float:
        """How far the field reaches across, in steps."""
        return max(bolt.across for bolt in self.bolts)

    @property
    def columns(self) -> float:
        """How far the field reaches along, in steps."""
        return max(bolt.along for bolt in self.bolts)


def grid(name: str, rows: int, columns: int) -> BoltField:
    """Bolts in rows along the engine: counted from the front, row by row, beginning with the right side's."""
    if rows < 1 or columns < 1:
        raise ValueError(f"{rows} rows of {columns} are no field of bolts")
    return BoltField(name, tuple(Bolt(float(c), float(r)) for r in range(rows) for c in range(columns)))


def circle(name: str, count: int) -> BoltField:
    """Bolts on a circle, as of a flywheel: counted clockwise from the one at the top, looking at their heads."""
    if count < 1:
        raise ValueError(f"{count} bolts are no field of bolts")
    r = _radius(count)
    ways = [2 * math.pi * i / count for i in range(count)]
    placed = tuple(Bolt(r * (1 + math.sin(way)) / ALONG, r * (1 - math.cos(way)) / ACROSS) for way in ways)
    return BoltField(name, placed, circle=True)


def _radius(count: int) -> float:
    """So wide that neighbours on the circle stand as far apart as in a row."""
    return max(LEAST_CIRCLE, 0.5 * ALONG / math.sin(math.pi / max(count, 2)))


def joint_order(job: Job, joint: Joint) -> str:
    """SVG of the order in which a joint's bolts are tightened; nothing where it has none, or its bolts do not stand in full rows."""
    how = tightening(job, joint)
    if how.told is None or not how.order or (joint not in ON_A_CIRCLE and len(how.order) % how.told.rows):
        return ""
    field = (
        circle(str(joint), len(how.order))
        if joint in ON_A_CIRCLE
        else grid(str(joint), how.told.rows, len(how.order) // how.told.rows)
    )
    return torque_order(field, how.order, generated=how.generated, source=how.told.source, stages=how.told.stages)


def torque_order(
    field: BoltField, pattern: tuple[int, ...], *, generated: bool, source: str = "", stages: Sequence[str] = ()
) -> str:
    """SVG of a field with its bolts numbered by `pattern`.

    `generated`: no maker gives the pattern; else `source` says who does. `stages` are written below, as given: `first 30 Nm`. Raises ValueError
    where the pattern does not name each bolt once.
    """
    if sorted(pattern) != list(range(1, len(field.bolts) + 1)):
        raise ValueError(f"the pattern {pattern} does not name each of {len(field.bolts)} bolts once")
    width = max(LEAST_WIDTH, 2 * MARGIN + ALONG * (field.columns + 1))
    left = (width - ALONG * field.columns) / 2
    heading, top = _heading(field, pattern, generated, source, width)
    spots = [(left + ALONG * bolt.along, top + 52 + ACROSS * bolt.across) for bolt in field.bolts]
    foot = top + 104 + ACROSS * field.rows
    steps, height = _stages(stages, width, foot + 30)
    drawn = [*heading, *_joint(field, spots), *_bolts(spots, pattern, generated), *steps]
    said = f"Tightening order: {field.name}", _described(field, pattern, generated, source)
    return document(width, height, said, drawn, name="torque-order")


def _heading(
    field: BoltField, pattern: tuple[int, ...], generated: bool, source: str, width: float
) -> tuple[list[str], float]:
    room = width - 2 * MARGIN
    names = wrapped(field.name, room, 20, bold=True)
    drawn = column(MARGIN, 40, names, size=20, bold=True)
    y = 40 + leading(20) * (len(names) - 1) + 26
    y += 8 if generated else 0
    said = _whose(generated, source)
    lines = wrapped(said, room - (20 if generated else 0), 14, bold=True)
    if generated:
        tall = leading(14) * len(lines) + 12
        drawn.append(
            f'<rect x="{n(MARGIN)}" y="{n(y - 19)}" width="{n(room)}" height="{n(tall)}" rx="4" fill="none" stroke="{INK}" '
            'stroke-width="1.6" stroke-dasharray="6 4"/>'
        )
    drawn += column(
        MARGIN + (10 if generated else 0), y, lines, size=14, bold=generated, fill=INK if generated else SOFT
    )
    y += leading(14) * len(lines) + 20
    if field.circle:
        y -= 22
    else:
        drawn.append(path(f"M{n(MARGIN)} {n(y - 5)}l14 -7v14z", stroke="none", width=0, fill=INK))
        drawn.append(text(MARGIN + 22, y, "front", size=14, bold=True))
    ways = f"{len(pattern)} bolt{'s' if len(pattern) > 1 else ''}: begin at the filled one; small numbers count them {_counted(field)}"
    lines = wrapped(ways, room, 13)
    drawn += column(MARGIN, y + 22, lines, size=13, fill=SOFT)
    return drawn, y + 22 + leading(13) * (len(lines) - 1) + 12


def _whose(generated: bool, source: str) -> str:
    if generated:
        return "Generated: no maker's pattern is given. If there is one, it goes before this."
    return f"Maker's pattern{': ' + source if source else ''}"


def _counted(field: BoltField) -> str:
    return "clockwise from the top, looking at their heads" if field.circle else "from the front"


def _joint(field: BoltField, spots: Sequence[tuple[float, float]]) -> list[str]:
    """The face that is bolted down."""
    if field.circle:
        (x, y), r = spots[0], _radius(len(spots))
        return [
            f'<circle cx="{n(x)}" cy="{n(y + r)}" r="{n(r + 46)}" fill="{STEEL}" stroke="{LINE}" stroke-width="1.6"/>'
        ]
    xs, ys = zip(*spots, strict=True)
    return [
        f'<rect x="{n(min(xs) - 34)}" y="{n(min(ys) - 36)}" width="{n(max(xs) - min(xs) + 68)}" '
        f'height="{n(max(ys) - min(ys) + 82)}" rx="10" fill="{STEEL}" stroke="{LINE}" stroke-width="1.6"/>'
    ]


def _bolts(spots: Sequence[tuple[float, float]], pattern: tuple[int, ...], generated: bool) -> list[str]:
    """Hexagons with their turn, the first one filled; where the pattern is generated, dashed outlines for the others."""
    drawn = []
    for turn, bolt in enumerate(pattern, 1):
        x, y = spots[bolt - 1]
        corners = "L".join(
            f"{n(x + RADIUS * math.cos(math.radians(60 * i)))} {n(y + RADIUS * math.sin(math.radians(60 * i)))}"
            for i in range(6)
        )
        ground, ink = (INK, PAPER) if turn == 1 else (PAPER, INK)
        drawn.append(
            f'<g data-bolt="{bolt}">{path(f"M{corners}z", width=2.2, fill=ground, dash="5 3" if generated and turn > 1 else "")}'
            f"{text(x, y + 7, str(turn), size=20, bold=True, fill=ink, anchor='middle')}"
            f"{text(x, y + RADIUS + 14, str(bolt), size=13, fill=SOFT, anchor='middle')}</g>"
        )
    return drawn


def _stages(stages: Sequence[str], width: float, y: float) -> tuple[list[str], float]:
    drawn = []
    for number, stage in enumerate(stages, 1):
        lines = wrapped(stage, width - 2 * MARGIN - 30, 15)
        drawn.append(text(MARGIN, y, f"{number}.", size=15, bold=True))
        drawn += column(MARGIN + 30, y, lines, size=15)
        y += leading(15) * len(lines) + 4
    return drawn, y if stages else y - 8


def _described(field: BoltField, pattern: tuple[int, ...], generated: bool, source: str) -> str:
    order = ", ".join(map(str, pattern))
    return f"{_whose(generated, source)} Bolts counted {_counted(field)} are tightened in this order: {order}."
