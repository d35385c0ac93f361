"""What every sheet says whatever the engine: cautions, what the tool is not, and which of its models nobody has measured against."""

from __future__ import annotations

from blockwright.report.ring_words import CAUTION, MOUNTING_CAUTION, PISTON_CAUTION

NOT_THIS = (
    "This sheet does not take the place of the part maker's instructions, of local codes or of licensed practice.",
    "It is not for aircraft or other certified engines.",
    "A limit that was computed never silently overrides a maker's: both are kept, with who decided.",
    "It speaks of what was measured, in the state and on the day it was measured, and of nothing else.",
)
CAUTIONS = (
    CAUTION,
    MOUNTING_CAUTION,
    PISTON_CAUTION,
    "An engine that turns takes fingers: battery off, plugs out, nobody near belt, fan or crank while it is turned.",
    "Lift block and crank with gear that is made for the weight; nobody under a hanging load.",
    "Hot oil, fuel and solvents burn skin and catch fire: gloves, air, a lidded bin for rags, an extinguisher at hand.",
)
CHECKED = (
    "Verdicts, sums of uncertainty, tolerance classes, gauge studies, doubtful repeats and liner fits are held against figures printed in "
    "the sources that the manual's page on validation lists, one by one, each time that page is made."
)
NOT_VALIDATED = (
    ("blockwright.running.ring_heat", "what heat does to a ring gap: geometry with published coefficients, temperatures assumed unless given"),
    ("blockwright.running.land_strength", "strength of ring lands: fatigue strengths from memory"),
    ("blockwright.physics.expansion", "growth of a gap with ring and bore: checked by a second route only"),
    ("blockwright.physics.lands", "stress in ring lands: never held against a measured land"),
    ("blockwright.physics.ring_beam", "a ring's pressure and force: never held against a measured ring"),
    ("blockwright.physics.ring_mounting", "stress in a ring while it is put on: no measured stress was found"),
)  # fmt: skip
"""Modules that call themselves not validated, each with what it means for a builder."""
HOW_READ = (
    "A value stands with its expanded uncertainty (95 %). The slot is the limits, the pin the value, as wide as its uncertainty, "
    "the dashed line the aim. In the slot: it conforms. Across an edge: this gauge cannot tell. On the plate: it is out."
)
