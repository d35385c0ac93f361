"""Angles on the crown of one cylinder: degrees clockwise from the front end, looking down on the crown.

The pin lies along the crank, at 0 and 180; the thrust points are at 90 and 270. With the crank turning clockwise seen from the front, the
rod pushes the piston to its right-hand side on the power stroke (right as seen on the crown with the front at the top): the major thrust
point is at 90; turning the other way it is at 270. That holds in every bank, since the cylinder's own frame turns with the bank.
"""

from __future__ import annotations

from blockwright.engine.layout import Engine, FirstBank, Layout, Turning

PIN_DEG = (0.0, 180.0)
THRUST_DEG = (90.0, 270.0)


def major_thrust_deg(engine: Engine) -> float:
    """Where the major thrust point lies on the crown."""
    return 90.0 if engine.rotation is Turning.CLOCKWISE else 270.0


def bottom_deg(engine: Engine, number: int) -> float | None:
    """Which way is down on a crown that lies flat; `None` for one that stands."""
    if engine.layout is not Layout.FLAT:
        return None
    first = number in engine.numbering[0]
    left = first is (engine.first_bank is FirstBank.LEFT)
    return 270.0 if left else 90.0


def apart(one_deg: float, other_deg: float) -> float:
    """Angle between two directions, 0 to 180."""
    gap = abs(one_deg - other_deg) % 360.0
    return min(gap, 360.0 - gap)
