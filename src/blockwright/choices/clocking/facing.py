"""Which way up each ring goes. The maker's mark rules; what holds for unmarked rings is common practice, no source."""

from __future__ import annotations

from blockwright.engine.layout import Engine, Layout
from blockwright.engine.pack import Element, Face

WITHOUT_MARK = {
    Element.UPPER_RAIL: "either way up",
    Element.LOWER_RAIL: "either way up",
    Element.EXPANDER: "ends butted, never overlapping",
    Element.SUPPORT: "dimple down, over the pin hole, as its maker says",
}


def facing(engine: Engine, element: Element, face: Face) -> str:
    """How to lay a ring in, in words."""
    crown = "the crown, which lies sideways" if engine.layout is Layout.FLAT else "the crown"
    if element in WITHOUT_MARK:
        return WITHOUT_MARK[element]
    if element is Element.OIL:
        return f"mark towards {crown}; without one, either way up"
    bevel = "towards" if element is Element.TOP else "away from"
    return {
        Face.MARKED: f"mark towards {crown}",
        Face.INNER_BEVEL: f"inner bevel {bevel} {crown}",
        Face.SCRAPER: f"scraper edge away from {crown}",
        Face.PLAIN: "no mark: either way up",
    }[face]
