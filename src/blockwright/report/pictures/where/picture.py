"""The sketch of a spot as a whole picture: which sketch serves which feature."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import lru_cache

from blockwright.engine.features import LAND_UNDER
from blockwright.report.pictures.drawing import document
from blockwright.report.pictures.where import assembled, piston_parts, round_parts
from blockwright.report.pictures.where.sketch import TALL, WIDE

Sketch = Callable[[str], Iterator[str]]


def _of_ring(draw: Callable[[str], Iterator[str]], ring: str) -> Sketch:
    return lambda spot: draw(ring)


def _of_land(draw: Callable[[str, str], Iterator[str]], ring: str) -> Sketch:
    return lambda spot: draw(LAND_UNDER[ring], ring)


SKETCHES: Mapping[str, Sketch] = {
    "bore": round_parts.bore,
    "bore roughness": round_parts.bore_finish,
    "main housing": round_parts.housing,
    "main shelled bore": round_parts.shelled,
    "main journal": round_parts.journal,
    "rod journal": round_parts.journal,
    "main journal roughness": round_parts.journal_finish,
    "rod journal roughness": round_parts.journal_finish,
    "crank runout": round_parts.runout,
    "big end": round_parts.bore_of_rod,
    "big end shelled bore": round_parts.rod_shelled,
    "small end": round_parts.small_end,
    "pin": round_parts.pin,
    "pin length": round_parts.pin_length,
    "shell wall": round_parts.shell_wall,
    "shell crush": round_parts.shell_crush,
    "skirt": piston_parts.skirt,
    "pin bore": piston_parts.pin_bore,
    "pin room": piston_parts.pin_room,
    "deck hollow": assembled.deck,
    "tunnel step": assembled.tunnel,
    "crank end float": assembled.end_float,
    "rod side": assembled.rod_side,
    "piston to deck": assembled.piston_to_deck,
    "turning torque": assembled.turning,
    **{f"{ring} groove width": _of_ring(piston_parts.groove_width, ring) for ring in ("top", "second", "oil")},
    **{f"{ring} groove depth": _of_ring(piston_parts.groove_depth, ring) for ring in ("top", "second")},
    **{name: _of_land(piston_parts.land, ring) for ring, name in LAND_UNDER.items()},
    **{f"{name} height": _of_land(piston_parts.land_height, ring) for ring, name in LAND_UNDER.items()},
    **{f"{ring} gap": _of_ring(piston_parts.gap, ring) for ring in ("top", "second", "upper rail", "lower rail")},
    **{f"{ring} ring height": _of_ring(piston_parts.ring_height, ring) for ring in ("top", "second")},
    **{f"{ring} ring wall": _of_ring(piston_parts.ring_wall, ring) for ring in ("top", "second")},
    **{f"{ring} ring free opening": _of_ring(piston_parts.free_opening, ring) for ring in ("top", "second")},
}


@lru_cache(maxsize=256)
def where_picture(feature: str, spot: str, how: str, name: str = "where") -> str:
    """Where the gauge goes for a spot of a feature, as SVG; `how` is said to those who cannot see it. `name` tells its ids apart on a page."""
    title = f"{feature}, {spot}" if spot else feature
    return document(WIDE, TALL, (title, how), SKETCHES[feature](spot), name=name)
