"""Draw the bench's icons for a tablet's home screen: the slot and the pin, as pictures of 192 and 512 pixels and one that may be cut to any outline.

    python tools/draw_icons.py

writes PNG files beside `mark.svg` in src/blockwright/bench/static/bench/. The shapes are those of `mark.svg`, in its grid of 64.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator
from pathlib import Path

OUT = Path(__file__).parents[1] / "src" / "blockwright" / "bench" / "static" / "bench"
GRID, ROUND, SAMPLES = 64.0, 10.0, 4
GROUND, PLATE, PIN = (0x1D, 0x22, 0x26), (0xF3, 0xEF, 0xE4), (0x8F, 0xB9, 0xF5)
Colour = tuple[int, int, int]
BOXES: tuple[tuple[float, float, float, float, Colour], ...] = (
    (8, 26, 13, 26, PLATE), (43, 26, 13, 26, PLATE), (21, 46, 22, 6, PLATE),
    (26, 32, 11, 11, PIN), (30.5, 11, 3, 4, PLATE), (30.5, 18, 3, 4, PLATE),
)  # fmt: skip
"""Left, top, width, height and colour of each piece: the plate on both sides and under the slot, the pin, two dashes of the aim."""


def main() -> None:
    """Write the three pictures."""
    for name, pixels, inset, cut in (
        ("icon-192.png", 192, 0.0, True),
        ("icon-512.png", 512, 0.0, True),
        ("icon-whole-512.png", 512, 8.0, False),
    ):
        (OUT / name).write_bytes(png(pixels, inset, cut))


def png(pixels: int, inset: float, cut: bool) -> bytes:
    """A picture so many pixels wide; `inset` keeps the mark clear of the edge, `cut` rounds the corners off."""
    lines = b"".join(b"\0" + bytes(_line(y, pixels, inset, cut)) for y in range(pixels))
    head = struct.pack(">IIBBBBB", pixels, pixels, 8, 6, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + _piece(b"IHDR", head) + _piece(b"IDAT", zlib.compress(lines, 9)) + _piece(b"IEND", b"")
    )


def _piece(kind: bytes, held: bytes) -> bytes:
    return struct.pack(">I", len(held)) + kind + held + struct.pack(">I", zlib.crc32(kind + held))


def _line(y: int, pixels: int, inset: float, cut: bool) -> Iterator[int]:
    scale, shrink = GRID / pixels, GRID / (GRID - 2.0 * inset)
    offsets = [(i + 0.5) / SAMPLES for i in range(SAMPLES)]
    for x in range(pixels):
        taken = [_at((x + i) * scale, (y + j) * scale, inset, shrink, cut) for i in offsets for j in offsets]
        inked = [each for each in taken if each is not None]
        yield from (round(sum(each[k] for each in inked) / len(inked)) if inked else 0 for k in range(3))
        yield round(255 * len(inked) / len(taken))


def _at(x: float, y: float, inset: float, shrink: float, cut: bool) -> Colour | None:
    """The colour at a point of the grid, from the uppermost piece down; None outside the rounded ground."""
    if cut:
        dx, dy = max(ROUND - x, x - GRID + ROUND, 0.0), max(ROUND - y, y - GRID + ROUND, 0.0)
        if dx * dx + dy * dy > ROUND * ROUND:
            return None
    u, v = (x - inset) * shrink, (y - inset) * shrink
    return next(
        (
            colour
            for left, top, wide, tall, colour in reversed(BOXES)
            if left <= u < left + wide and top <= v < top + tall
        ),
        GROUND,
    )


if __name__ == "__main__":
    main()
