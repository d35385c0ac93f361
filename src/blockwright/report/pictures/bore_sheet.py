"""All bores side by side on one scale: what is out of the common is seen before a number is read."""

from __future__ import annotations

from collections.abc import Sequence

from blockwright.fits.bores import WAYS
from blockwright.quantities import Kind, show
from blockwright.report.colours import SOFT
from blockwright.report.pictures import bore_section as section
from blockwright.report.pictures.bore_map import described, small_unit, step_text, times_text
from blockwright.report.pictures.bore_seen import BoreSeen, unit_m
from blockwright.report.pictures.drawing import column, document, fitted, leading, n, path, text, wrapped
from blockwright.report.pictures.shapes import Block, shape
from blockwright.report.pictures.standing import summed_up

MARGIN, HEAD, CELL, MOST_IN_ROW = 28.0, 138.0, 168.0, 6
HALF, METAL, ROOM, TALL = 42.0, 74.0, 24.0, 190.0
WORD = 12.0


def bore_sheet(bores: Sequence[BoreSeen]) -> str:
    """SVG of all bores, at most six in a row, rows of one length as far as may be; at least one bore."""
    scale = section.scale_of(bores, ROOM, TALL, limits=False)
    in_row = -(-len(bores) // -(-len(bores) // MOST_IN_ROW))
    width = max(720.0, 2 * MARGIN + CELL * in_row)
    drawn, y = _heading(bores[0], scale, width), HEAD
    for start in range(0, len(bores), in_row):
        row = bores[start : start + in_row]
        for place, bore in enumerate(row):
            axis = (width - CELL * in_row) / 2 + CELL * (place + 0.5)
            drawn.append(_cell(section.Frame(axis, y + 42, HALF, METAL, scale), bore))
        y += 42 + TALL + 32 + leading(WORD) * max(len(_words(bore)) for bore in row)
    height = y
    said = " ".join(f"Bore {bore.number}: {described(bore)}" for bore in bores)
    return document(width, height, ("All bores on one scale", said), drawn, name="bores")


def _heading(bore: BoreSeen, scale: section.Scale, width: float) -> list[str]:
    unit = unit_m(small_unit(bore))
    step = section.round_step(18 / (scale.wall_per_m * unit)) * unit
    long = step * scale.wall_per_m
    about = show(scale.reference_m, Kind.LENGTH, bore.unit, u=5e-7)
    colours = section.LOOKS
    key = [("thrust", "across the engine"), ("axial", "along the crank")]
    drawn = [
        text(MARGIN, 44, "All bores on one scale", size=24, bold=True),
        text(MARGIN, 68, fitted(bore.engine_name, width - 2 * MARGIN, 14), size=14, fill=SOFT),
    ]
    x = MARGIN
    for way, words in key:
        drawn.append(path(f"M{n(x)} 92h28", stroke=colours[way][0], width=2.4, dash=colours[way][1]))
        drawn.append(text(x + 34, 96, words))
        x += 176
    drawn.append(path(f"M{n(x)} 86v8h{n(long)}v-8", width=1.6))
    drawn.append(text(x + long + 10, 96, f"{step_text(bore, step)} of diameter on each wall", size=13))
    state = f"Diameters at 20 °C{', ' + bore.state if bore.state else ''}. "
    words = f"{state}Walls drawn {times_text(scale, bore)}; upright grey line: {about}."
    drawn.append(text(MARGIN, 118, words, size=12, fill=SOFT))
    return drawn


def _cell(frame: section.Frame, bore: BoreSeen) -> str:
    """One bore: its number, both walls, and what is said of its form."""
    seen = summed_up(bore.results)
    left, foot = frame.axis - METAL, frame.deck + TALL
    parts = [
        shape(Block(left + 11, frame.deck - 22, 22, 16), seen, "", 1),
        text(left + 32, frame.deck - 16, f"bore {bore.number}", size=16, bold=True),
        section.metal(frame, bore, WAYS),
        section.reference(frame, bore),
        *(section.walls(frame, bore, way, dots=False) for way in WAYS),
    ]
    if not bore.diameters:
        parts.append(text(frame.axis, (frame.deck + foot) / 2, "not read", fill=SOFT, anchor="middle"))
    parts += column(left, foot + 22, _words(bore), size=WORD)
    return f'<g data-at="cylinder {bore.number}">{"".join(parts)}</g>'


def _words(bore: BoreSeen) -> list[str]:
    return wrapped(summed_up(bore.results).words, CELL - 22, WORD)
