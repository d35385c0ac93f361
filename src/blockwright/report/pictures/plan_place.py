"""Where everything lies in a plan of the engine: cylinders by bank, throws and mains along the crank, front end at the left.

Bores keep their proportion to their spacing. Seen from above with the front at the left, the left side of the engine lies below the crank. A
cylinder lies over its throw; mains lie between throws, evenly where there are fewer or more of them than throws leave places for.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

from blockwright.engine.layout import Engine, FirstBank, Layout
from blockwright.report.pictures.shapes import Block, Disc

BETWEEN_THROWS, SHARED_SPACING = 84.0, 126.0
"""Pixels from throw to throw where each has its own cylinder in one of two banks, and from bore to bore elsewhere."""
USUAL_SPACING, LEAST_SPACING = 1.12, 1.03
"""Bores from axis to axis: taken where it is not given (an assumption of the drawing alone), and the least that is drawn."""
SIDE, LANE, WORDS = 34.0, 126.0, 46.0
"""Pixels: room at both ends, height of the crank's lane, and of the words under a bore."""
MAIN_WIDE, MAIN_TALL, THROW_WIDE, THROW_TALL = 30.0, 50.0, 28.0, 30.0


@dataclass(frozen=True)
class PlacedBank:
    """One bank: its side in words, where its name stands, and its cylinders by number."""

    name: str
    y: float
    cylinders: dict[int, Disc]


@dataclass(frozen=True)
class Plan:
    """Where everything lies; `width` and `height` enclose it, `crank_y` is the crank's line."""

    width: float
    height: float
    crank_y: float
    banks: tuple[PlacedBank, ...]
    throws: tuple[Block, ...]
    mains: tuple[Block, ...]


def planned(engine: Engine) -> Plan:
    """The plan of an engine, its top left corner at 0, 0."""
    spacing = 2 * BETWEEN_THROWS if _own_throws(engine) else SHARED_SPACING
    r = 0.5 * spacing * engine.bore_m / drawn_spacing_m(engine)
    places = _cylinder_places(engine, spacing)
    throws = [places[on[0]] for on in engine.throws]
    mains = _main_places(throws, engine.main_count, spacing)
    shift = SIDE - min(min(throws) - r, mains[0] - MAIN_WIDE / 2)
    width = shift + max(max(throws) + r, mains[-1] + MAIN_WIDE / 2) + SIDE
    row = 2 * r + WORDS + 26.0
    above, below = _rows(engine)
    crank_y = row + LANE / 2 + 4
    tops = [(above, 0.0), (below, crank_y + LANE / 2)]
    banks = tuple(
        PlacedBank(_bank_name(engine, i), top + 20, {k: Disc(places[k] + shift, top + 28 + r, r) for k in engine.numbering[i]})
        for i, top in tops if i is not None
    )  # fmt: skip
    height = crank_y + LANE / 2 + (row if below is not None else 0.0)
    return Plan(
        width, height, crank_y, banks,
        tuple(Block(x + shift, crank_y, THROW_WIDE, THROW_TALL) for x in throws),
        tuple(Block(x + shift, crank_y, MAIN_WIDE, MAIN_TALL) for x in mains),
    )  # fmt: skip


def drawn_spacing_m(engine: Engine) -> float:
    """Distance between bore axes that the drawing keeps to: as given, or the usual one."""
    least = LEAST_SPACING * engine.bore_m
    return max(least, engine.bore_spacing_m or USUAL_SPACING * engine.bore_m)


def _own_throws(engine: Engine) -> bool:
    """Whether cylinders of two banks have a throw each, so that banks lie half a spacing apart along the crank."""
    return len(engine.numbering) == 2 and all(len(on) == 1 for on in engine.throws)


def _cylinder_places(engine: Engine, spacing: float) -> dict[int, float]:
    stagger = spacing / 2 if _own_throws(engine) else 0.0
    return {
        number: row * spacing + index * stagger
        for index, bank in enumerate(engine.numbering)
        for row, number in enumerate(bank)
    }


def _main_places(throws: list[float], count: int, spacing: float) -> list[float]:
    pitch = min((b - a for a, b in itertools.pairwise(throws)), default=spacing)
    between = [throws[0] - pitch / 2, *((a + b) / 2 for a, b in itertools.pairwise(throws)), throws[-1] + pitch / 2]
    if count == 1:
        return between[-1:]
    if count <= len(between):
        return [between[round(i * (len(between) - 1) / (count - 1))] for i in range(count)]
    more = count - len(between)
    first = [between[0] - BETWEEN_THROWS * (i + 1) for i in reversed(range(more // 2))]
    return [*first, *between, *(between[-1] + BETWEEN_THROWS * (i + 1) for i in range(more - more // 2))]


def _rows(engine: Engine) -> tuple[int, int | None]:
    """Indices of the bank above and of the bank below the crank."""
    if len(engine.numbering) == 1:
        return 0, None
    return (1, 0) if engine.first_bank is FirstBank.LEFT else (0, 1)


def _bank_name(engine: Engine, index: int) -> str:
    if engine.layout is Layout.INLINE:
        return "cylinders"
    left = (index == 0) is (engine.first_bank is FirstBank.LEFT)
    return f"{'left' if left else 'right'} bank"
