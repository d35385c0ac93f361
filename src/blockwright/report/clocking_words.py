"""Clocking in words: whose pattern it is, which way up each piece goes, what breaks a rule."""

from __future__ import annotations

from collections.abc import Iterator

from blockwright.choices.clocking.whole import Clocked
from blockwright.engine.pack import Element

FRAME = "degrees clockwise from the front, looking down on the crown"


def whose_words(clocked: Clocked) -> str:
    """Who said where the gaps go."""
    if not clocked.own:
        return "proposed"
    return "your own pattern" if len(clocked.own) == len(clocked.pattern) else "proposed around your angles"


def way_words(clocked: Clocked, piece: Element, way: str) -> str:
    """Which way up a piece goes, and who holds it where it is; or that no place is left for it."""
    angle = clocked.pattern.get(piece)
    if piece in clocked.by_maker:
        return way if piece is Element.SUPPORT else f"{way}, where its maker holds it"
    if angle is None:
        return "no place left"
    return f"{way} (your angle)" if piece in clocked.own and len(clocked.own) < len(clocked.pattern) else way


def fault_words(clocked: Clocked) -> Iterator[tuple[str, bool]]:
    """Every rule that is broken, as a sentence, and whether it is but a wish."""
    for fault in clocked.faults:
        yield f"{fault.text[:1].upper()}{fault.text[1:]}.", fault.wish
    if clocked.homeless:
        pieces = " and ".join(f"the {piece}" for piece in clocked.homeless)
        yield f"The rules leave no place for {pieces} beside what is fixed: free one of the others.", False
