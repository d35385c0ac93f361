"""Every kind of act, in one registry: `KINDS["reading taken"]`. Adding one touches its group's module and its test."""

from __future__ import annotations

from collections.abc import Mapping

from blockwright.acts.kinds import gauges, limits, parts, passes, photos, readings, route, sheet, signatures, whole
from blockwright.acts.kinds.kind import Kind, Shape, Who, Word
from blockwright.problems import BlockwrightError, Place, Problem, excerpt

GROUPS = (readings, passes, parts, gauges, limits, signatures, route, photos, sheet, whole)
KINDS: Mapping[str, Kind] = {kind.name: kind for module in GROUPS for kind in module.KINDS}

__all__ = ["KINDS", "Kind", "Shape", "Who", "Word", "kind_named"]


def kind_named(name: str) -> Kind:
    """The kind of act of a name. Raises BlockwrightError where there is none."""
    found = KINDS.get(name)
    if found is None:
        what = f"there is no act '{excerpt(name)}'."
        raise BlockwrightError(Problem("act-unknown", what, f"There are: {', '.join(KINDS)}.", Place(field="kind")))
    return found
