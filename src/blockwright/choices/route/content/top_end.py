"""Heads and what works the valves: gaskets, head bolts, lifters, overhead cams, pushrods and rockers."""

from __future__ import annotations

from collections.abc import Iterator

from blockwright.choices.route.content.facts import BY_MAKER, CLEAN_OIL, Facts, eyes, final, head_name, paint
from blockwright.choices.route.step import Pass, Step
from blockwright.engine.assembly import CamPlace, HeadFor
from blockwright.engine.fasteners import Joint
from blockwright.engine.positions import Position

GROUP = "Top end"
LOBES = f"{BY_MAKER}clean oil on bearings and rollers, running-in paste on flat lobes"
SPRINGS = "Springs are under load. Fingers and face away while the cam is drawn down or a rocker set."


def steps(facts: Facts) -> Iterator[Step]:
    """The top end; of a short block only lifters that belong to the block."""
    if facts.how.cam is CamPlace.BLOCK and facts.how.pushrods:
        yield _lifters(facts)
    if facts.how.heads:
        yield from (_head(facts, place, covered) for place, covered in facts.head_places)
        if facts.how.cam is CamPlace.OVERHEAD:
            yield _cams(facts)
        if facts.how.pushrods:
            yield _rockers(facts)


def _lifters(facts: Facts) -> Step:
    return Step(
        key=final("lifters"), stage=Pass.FINAL, name="Lifters into the block", group=GROUP, after=(final("cam"), facts.closed),
        do=("Each lifter back in its own bore, if it has run before. It turns and slides by its own weight.",),
        facing=("oil hole of a roller lifter to its side, link bar as its maker says",), lubricant=LOBES,
    )  # fmt: skip


def _head(facts: Facts, place: Position, covered: tuple[Position, ...]) -> Step:
    tight = facts.tight(Joint.HEADS)
    pistons = tuple(final(f"piston {at.label}") for at in covered)
    rods = tuple(final(f"rod {at.label}") for at in covered) if facts.below and not facts.split else ()
    return Step(
        key=final(head_name(place)), stage=Pass.FINAL, name=f"{head_name(place).capitalize()}: gasket and bolts", group=GROUP, at=place,
        after=(facts.closed, *pistons, *rods), tools=("torque wrench", "angle gauge", "paint pen", "two guide studs"),
        consumables=("new gasket", "new bolts, where they are for one use"),
        do=(
            "Deck and head face dry and clean. Blow out every bolt hole: oil at its foot cracks the block.",
            "Pistons of this head off top dead centre where valves stand open.",
            "Gasket on its dowels, never with sealant unless its maker asks. Lower the head straight.",
            *(("Line the heads of a bank up along their ports before any of them is tight.",) if facts.how.head_for is HeadFor.CYLINDER else ()),
            "Tighten in stages and order.",
        ),
        facing=("gasket's mark up and to the front, as it says", f"oil {'and water ' if facts.water else ''}holes open through the gasket"),
        lubricant="threads: " + tight.lubricant, torque=tight.lines,
        cautions=(
            "A head is heavy: two people or a hoist.", "Goggles when bolt holes are blown out.",
            *(("Bolts that go into water want sealant on the thread.",) if facts.water else ()),
        ),
        evidence=(eyes("gasket the right way, right thickness"), paint(f"bolts of {head_name(place)}", tight)),
        closes=tuple(words for at in covered for words in facts.held.closed_by(at, "piston to deck")),
    )  # fmt: skip


def _cams(facts: Facts) -> Step:
    tight = facts.tight(Joint.CAM_CAPS)
    return Step(
        key=final("cams"), stage=Pass.FINAL, name="Overhead cams in", group=GROUP, after=facts.heads, tools=("torque wrench",),
        do=(
            "Crank a quarter turn off top dead centre, so that no piston is up while cams push valves.",
            *(("Cam carriers on first, their oil seals in, level from head to head.",) if facts.how.head_for is HeadFor.CYLINDER else ()),
            "Followers and shims back to their own valves. Cams in with most lobes off their valves.",
            "Caps by their numbers, drawn down evenly, a turn at a time. Uneven drawing breaks a cam.",
        ),
        facing=("cap numbers and arrows", "intake cam to the intake side"), lubricant=LOBES, torque=tight.with_lubricant, cautions=(SPRINGS,),
        evidence=(eyes("caps in their places, followers upright"), paint("cam cap bolts", tight)),
    )  # fmt: skip


def _rockers(facts: Facts) -> Step:
    lifters = final("lifters") if facts.how.cam is CamPlace.BLOCK else final("cam and lifters")
    return Step(
        key=final("pushrods and rockers"), stage=Pass.FINAL, name="Pushrods and rockers", group=GROUP, after=(lifters, *facts.heads),
        do=(
            "Blow through each pushrod, roll it on glass. Both ends wet. Feel it sit in its lifter's cup.",
            "Rockers down evenly, each with its valve closed.",
        ),
        lubricant=CLEAN_OIL, torque=facts.tight(Joint.ROCKERS).with_lubricant, cautions=(SPRINGS,),
        evidence=(eyes("every pushrod in its cup at both ends"), paint("rocker bolts", facts.tight(Joint.ROCKERS))),
    )  # fmt: skip
