"""What a builder may hand in and write down in the made-up shop: whole evidence, evidence spoilt in one way, and changes to the route."""

from dataclasses import replace

import pytest

from blockwright.choices.route.graph import change_faults, route_from
from blockwright.choices.route.own import evidence_faults
from blockwright.engine.steps import Given, Look, StepChange
from blockwright.fits.assessment import Standing
from blockwright.problems import BlockwrightError

from .book import MARSH, QUILL, Book, cannot_be, look_at
from .shop import (
    BEAD,
    CRANK,
    DECK,
    FILL,
    FILM,
    HOLDS,
    KEYS,
    PISTON,
    PLUGS,
    ROD,
    SIDE,
    SUMP,
    TURN,
    WALL,
    WASH,
    WEIGHED,
    World,
    asked,
    fit_now,
    job_of,
    rests_on,
    route_steps,
)  # fmt: skip

READINGS = sorted({mark for at in (WALL, FILM, SIDE, TURN) for mark, _ in rests_on(World(), at)} | {"r29", "r31"})
WHO = {"by": "R. Quill", "why": "in a hurry"}
EDITS = (
    WEIGHED,
    WEIGHED,
    replace(WEIGHED, key=BEAD, name=""),
    StepChange(key="mine", name="Weigh it", after=(CRANK,), before=(ROD,)),
    StepChange(key="mine", name="Weigh it", after=(SUMP,)),
    StepChange(key="mine", name="Weigh it", before=(DECK,)),
    StepChange(key="mine", name="Weigh it", after=(PISTON,), before=(CRANK,)),
    StepChange(key="mine", name="Weigh it"),
    StepChange(key=BEAD, after=(ROD,)),
    StepChange(key=PISTON, after=(BEAD,)),
    StepChange(key=PLUGS, before=(CRANK,)),
    StepChange(key=CRANK, before=(PLUGS,)),
    StepChange(key=CRANK, after=(SUMP,)),
    StepChange(key=FILL, before=(PISTON,)),
    StepChange(key=ROD, after=("nothing",)),
    StepChange(key="nothing", after=(DECK,)),
    StepChange(key=WASH, struck=True),
    StepChange(key=SUMP, struck=True, after=(ROD,), **WHO),
    *(StepChange(key=key, struck=True, **WHO) for key in KEYS),
)


def good(world: World, key: str) -> Given:
    """Everything that a step asks for."""
    what = asked(world, key)
    looks = tuple(look_at(at) for at in what.fits if fit_now(world, at).standing is Standing.UNLIMITED)
    counts, paint = (tuple(7 if number is None else number for number in each) for each in (what.counts, what.paint))
    return Given(counts, ("clip.jpg", "gap.jpg")[: what.photos], MARSH[0] if what.eyes else "", paint, looks)


def poor(world: World, key: str) -> list[Given]:
    """What a step asks for, spoilt in one way."""
    what, whole, found = asked(world, key), good(world, key), []
    for name in ("counts", "paint"):
        told = getattr(whole, name)
        for place in range(len(told)):
            wrong = (-told[place], 0, told[place] - 1, told[place] + 1)
            found += [replace(whole, **{name: (*told[:place], number, *told[place + 1 :])}) for number in wrong]
        found += [replace(whole, **{name: more}) for more in ((*told, 2), told[:-1], told[::-1])]
    if whole.photos:
        spoilt = ((), whole.photos[:-1], (" ", *whole.photos[1:]), (*whole.photos[:-1], ""))
        found += [replace(whole, photos=photos) for photos in spoilt]
    for look in whole.looks:
        found += [
            replace(whole, looks=looks)
            for looks in ((), (Look(look.what, " "),), (Look("rod film, cylinder 3", look.why),))
        ]
    if whole != Given():
        needless = {FILM, *(at for at in what.fits if fit_now(world, at).standing is not Standing.UNLIMITED)}
        found += [replace(whole, looks=(*whole.looks, look_at(at))) for at in sorted(needless)]
    if whole.eyes:
        found += [replace(whole, eyes=eyes) for eyes in (*QUILL, "", " ")]
    return found


def may_be(world: World, changes: tuple[StepChange, ...]) -> bool:
    """Whether changes may be made, by the book. The program must make them as the book has them, or refuse them as the book does."""
    steps, refused = route_steps(world), cannot_be(changes)
    faults = change_faults(steps, changes)
    assert bool(faults or [*evidence_faults(job_of(replace(world, changes=changes)))]) == refused, changes
    if faults:
        with pytest.raises(BlockwrightError):
            route_from(steps, changes)
    elif not refused:
        route = route_from(steps, changes)
        asking = {step.key for step in route.steps if step.evidence}
        assert asking == HOLDS | ({"mine"} if WEIGHED in changes else set()), changes
        assert {key: frozenset(needs) for key, needs in route.needs.items()} == Book(
            World(changes=changes)
        ).waiting(), changes
    return not refused
