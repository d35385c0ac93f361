"""What putting a ring over its piston asks of it, in words."""

from __future__ import annotations

from collections.abc import Sequence

from blockwright.choices.mounting import Mounting
from blockwright.engine.job import Job
from blockwright.fits.sizes import Missing
from blockwright.fits.words import Scale, say
from blockwright.report.ring_words import opening

MODEL_NOTE = (
    "Tension and pressure: curved beam of constant pressure. Opening: true shape of the ring pulled apart at its tips; the stop by the "
    "small-displacement formula, which is on the safe side. Winding on by hand twists a ring for good; the trade winds on thin rails only "
    "(common practice, no source)."
)
STRESS_STEP_PA = 5e6


def mounting_words(job: Job, each: Mounting) -> tuple[str, ...]:
    """Tension, pressure, opening and winding of a ring; one line that says what is still to read where they cannot be worked out."""
    on = each.opened
    if on is None:
        return (f"still to read: {missing_words(each.missing)}.",)
    pressure, in_bore = say(job, each.pressure_pa, Scale.PRESSURE), _stress(job, each.closing_stress_pa)
    needed = on.needed
    safe = "within" if on.safe else "PAST"
    return (
        f"tension {each.tension_n:.1f} N, {pressure} on the wall, {in_bore} in its bore",
        f"passes over the piston at {opening(job, needed.gap_m, up=True)} between its ends ({_stress(job, needed.stress_pa)}); "
        f"set the stop of the pliers to {opening(job, on.stop_gap_m, up=False)} at most "
        f"({_stress(job, on.allowed_pa)} allowed): {safe} it",
        f"winding it on by hand: {on.winding}",
    )


def missing_words(missing: Sequence[Missing]) -> str:
    """Everything that is lacking, the spots of one thing together."""
    spots: dict[str, list[str]] = {}
    for each in missing:
        spots.setdefault(each.thing, []).extend([each.spot] if each.spot else [])
    return "; ".join(f"{thing} ({', '.join(at)})" if at else thing for thing, at in spots.items())


def _stress(job: Job, value_pa: float) -> str:
    """A bending stress, as finely as the model is worth."""
    return say(job, value_pa, Scale.STRESS, u=STRESS_STEP_PA)
