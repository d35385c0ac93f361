"""Turning torque: what it takes to turn the crank by hand after each stage of assembly, and how much each stage added.

A steady pull that rises evenly is the check that every assembler trusts; a stage that adds more than its siblings is looked at before the
next part goes in.
"""

from __future__ import annotations

import itertools
from contextlib import suppress

from blockwright.engine.job import ENGINE_MARK
from blockwright.engine.positions import Place, Position
from blockwright.engine.rules import Side
from blockwright.fits.fit import Fit, Found, Need
from blockwright.fits.remedies import always
from blockwright.fits.sizes import Lacking, Sizes, gathered
from blockwright.fits.words import Scale, say
from blockwright.metrology.estimate import mean
from blockwright.metrology.evaluate import Size
from blockwright.metrology.verdict import expanded
from blockwright.quantities import Kind

STAND_OUT = 2.0
"""A stage is named when it adds this many times what its siblings add on average (common practice, no source)."""


def _at(sizes: Sizes, stage: str) -> Size:
    return sizes.one(ENGINE_MARK, "turning torque", Position(Place.STAGE, stage))


def _torque(sizes: Sizes, position: Position) -> Found:
    size = _at(sizes, position.label)
    return Found(size.estimate, (("turning torque", size),))


def _rise(sizes: Sizes, position: Position) -> Found:
    stages = sizes.job.engine.turning_stages
    index = stages.index(position.label)
    if index == 0:
        raise Lacking("a stage before this one")
    here, before = gathered(lambda: _at(sizes, position.label), lambda: _at(sizes, stages[index - 1]))
    found = Found(here.estimate - before.estimate, ((position.label, here), (stages[index - 1], before)))
    note = _against_siblings(sizes, position.label, found)
    return Found(found.estimate, found.sizes, f"after {stages[index - 1]}", (note,) if note else ())


def _against_siblings(sizes: Sizes, stage: str, found: Found) -> str:
    """A word where a stage adds more than its siblings (the other mains, the other rods ...) and more than the wrench's error."""
    kind = _kind(stage)
    rises = []
    for before, here in itertools.pairwise(sizes.job.engine.turning_stages):
        if _kind(here) == kind and here != stage:
            with suppress(Lacking):
                rises.append(_at(sizes, here).estimate - _at(sizes, before).estimate)
    if len(rises) < 2:
        return ""
    usual = mean(rises)
    more = found.estimate - usual
    if found.estimate.value <= STAND_OUT * max(usual.value, 0.0) or more.value <= expanded(more):
        return ""
    return (
        f"adds {say(sizes.job, found.estimate.value, Scale.TORQUE, u=found.estimate.u)} where the other {kind}s add "
        f"{say(sizes.job, usual.value, Scale.TORQUE, u=found.estimate.u)} on average: find out why before the next part goes in"
    )


def _kind(stage: str) -> str:
    return stage.split()[0]


NEED = (Need("turning torque"),)

FITS = (
    Fit(
        "turning torque", Place.STAGE, "turning", "steady pull to turn the crank by hand after a stage of assembly",
        "as read", "turned slowly, oiled; the steady pull, not the first jerk", NEED, _torque,
        when_low="", when_high="something binds", remedy=always("take the last part out again and find what binds"),
        hard=Side.HIGH, kind=Kind.TORQUE, scale=Scale.TORQUE, on_request=True,
    ),
    Fit(
        "turning torque rise", Place.STAGE, "turning", "what a stage of assembly added to the turning torque",
        "torque after this stage - torque after the one before", "against the other stages of its kind", NEED, _rise,
        when_low="", when_high="something binds at this stage", remedy=always("take the last part out again and find what binds"),
        hard=Side.HIGH, kind=Kind.TORQUE, scale=Scale.TORQUE, signed=True, on_request=True,
    ),
)  # fmt: skip
