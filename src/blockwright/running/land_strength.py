"""What a piston's lands bear when hot: the high limit of their stress.

Hot fatigue strength by alloy and temperature (from memory, with a spread; its low end is taken), over a notch factor for the groove's fillet. Not
validated: no published hot fatigue table of these alloys was found.
"""

from __future__ import annotations

from collections.abc import Sequence

from blockwright.engine.job import Job
from blockwright.engine.positions import Position
from blockwright.engine.rules import Authority
from blockwright.fits.fit import Fit
from blockwright.fits.limits import Offer
from blockwright.fits.practice import piston_alloy
from blockwright.physics.lands import FatigueStrength, hot_fatigue_strength
from blockwright.problems import BlockwrightError
from blockwright.running.temperatures import Temperature, temperature

NOTCH = 1.5
"""How many times the nominal stress a usual groove fillet makes it (common practice, no source)."""
ZONE_OF_FIT = {"second land stress": "top_ring", "third land stress": "second_ring"}


def land_strength(job: Job, alloy_name: str, zone: str) -> tuple[FatigueStrength, Temperature] | None:
    """Hot fatigue strength of a piston's alloy at the temperature of a ring zone; `None` for an alloy without a table, or beyond it."""
    hot = temperature(job, zone)
    try:
        return hot_fatigue_strength(alloy_name, hot.value_c), hot
    except (BlockwrightError, ValueError):
        return None


def computed_offers(job: Job, fit: Fit, position: Position) -> Sequence[Offer]:
    """The computed high limit of a land's stress; nothing for other fits."""
    zone = ZONE_OF_FIT.get(fit.name)
    if zone is None:
        return ()
    alloy_name, _ = piston_alloy(job, position)
    found = land_strength(job, alloy_name, zone)
    if found is None:
        return ()
    strength, hot = found
    words = (
        f"low end of the hot fatigue strength of {alloy_name} at {hot.value_c:.0f} °C ({hot.origin}), over {NOTCH:g} for the fillet; "
        "from memory, not validated"
    )
    return (Offer(Authority.COMPUTED, words, high=float(strength.low_pa) / NOTCH),)
