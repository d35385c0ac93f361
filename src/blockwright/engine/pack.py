"""What a ring pack is made of, which way its rings face, and the clocking that a builder chose."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from blockwright.quantities import Kind
from blockwright.quantities.declared import Written, entry, quantity


class OilRing(StrEnum):
    """How the oil ring is made."""

    THREE_PIECE = "two rails and expander"
    ONE_PIECE = "one piece"
    NONE = "none"


class Face(StrEnum):
    """What tells which way up a ring goes."""

    MARKED = "marked"
    INNER_BEVEL = "inner bevel"
    SCRAPER = "scraper edge"
    PLAIN = "plain"


class Element(StrEnum):
    """One piece of a pack that has a gap or a joint."""

    TOP = "top ring"
    SECOND = "second ring"
    UPPER_RAIL = "upper rail"
    EXPANDER = "expander"
    LOWER_RAIL = "lower rail"
    OIL = "oil ring"
    SUPPORT = "support rail"


@dataclass(frozen=True, kw_only=True)
class Clocking(Written):
    """Where each gap is to lie: degrees clockwise from the front end, looking down on the crown. Blank: the tool proposes it."""

    at: str = entry("cylinder: 'cylinder 3'; every cylinder where not given", default="")
    top_rad: float | None = quantity(Kind.ANGLE, "top ring's gap", unit="deg", default=None)
    second_rad: float | None = quantity(Kind.ANGLE, "second ring's gap", unit="deg", default=None)
    upper_rail_rad: float | None = quantity(Kind.ANGLE, "upper rail's gap", unit="deg", default=None)
    expander_rad: float | None = quantity(Kind.ANGLE, "expander's joint", unit="deg", default=None)
    lower_rail_rad: float | None = quantity(Kind.ANGLE, "lower rail's gap", unit="deg", default=None)
    oil_rad: float | None = quantity(Kind.ANGLE, "gap of a one-piece oil ring", unit="deg", default=None)
    support_rad: float | None = quantity(Kind.ANGLE, "support rail's dimple or gap", unit="deg", default=None)
    by_maker: tuple[str, ...] = entry(
        "pieces that a dowel or tab holds where the maker says: ['top', 'support']", default=()
    )

    def angle_rad(self, element: Element) -> float | None:
        """The angle given for a piece, if any."""
        names = {
            Element.TOP: "top_rad",
            Element.SECOND: "second_rad",
            Element.OIL: "oil_rad",
            Element.SUPPORT: "support_rad",
        }
        return getattr(self, names.get(element, f"{element.value.replace(' ', '_')}_rad"), None)

    def held(self, element: Element) -> bool:
        """Whether the maker holds the piece in place."""
        return any(
            name in (element.value, element.value.removesuffix(" ring").removesuffix(" rail")) for name in self.by_maker
        )
