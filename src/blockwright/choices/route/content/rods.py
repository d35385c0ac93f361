"""Rods that find the crank without their pistons: on a crank that still lies on the bench, or joined from below once it is closed in."""

from __future__ import annotations

from collections.abc import Iterator

from blockwright.choices.route.content.crank import STOP, TURN, angle_set
from blockwright.choices.route.content.facts import BUILD_PASTE, FINGERS, Facts, count, final, paint
from blockwright.choices.route.step import Evidence, Pass, Step
from blockwright.engine.fasteners import Joint
from blockwright.engine.parts import PartKind
from blockwright.engine.positions import Position

GROUP = "Rods"
FACING = (
    "numbers of rod and cap together, to the side that the maker says",
    "big-end chamfer to the fillet, plain faces of a pair to each other",
    "tangs of both shells on the same side", "oil holes over shell holes",
)  # fmt: skip
JOIN = (
    "Backs of the shells dry, faces wet. Cap on by its number; it goes on by hand.",
    "Tighten in stages, on both bolts by turns, by stretch where the maker gives it.",
    "Push the rod to and fro along the pin: it moves freely.",
)


def steps(facts: Facts) -> Iterator[Step]:
    """Rods by themselves, and the side room of all."""
    if not facts.rod_with_piston:
        for index, at in enumerate(facts.cylinders):
            if facts.below and not facts.split and at.number in facts.how.one_angle:
                yield angle_set(facts, at, _before(facts, index), "the rod")
            yield _rod(facts, index)
    yield _side(facts)


def rod_bolts(facts: Facts, at: Position) -> tuple[tuple[str, ...], str, tuple[Evidence, ...]]:
    """Torque, lubricant and evidence of the bolts of one rod."""
    tight = facts.tight(Joint.RODS)
    return (
        tight.lines,
        f"shells: {BUILD_PASTE}; threads: {tight.lubricant}",
        (*facts.held.at(at, "rod film"), paint(f"bolts of rod {at.label}", tight)),
    )


def rod_closes(facts: Facts, at: Position) -> tuple[str, ...]:
    """What can no longer be measured once a rod is on its throw."""
    journal = facts.held.closed_by(facts.engine.throw_of(at.number), "rod journal taper", "rod journal out-of-round")
    return (*facts.held.closed_by(at, "rod film", "pin in bush", "pin press"), *journal)


def _before(facts: Facts, index: int) -> str:
    """The rod that was joined before; each is felt by itself when the crank is turned."""
    return final(f"rod {facts.cylinders[index - 1].label}") if index else facts.closed


def _rod(facts: Facts, index: int) -> Step:
    at = facts.cylinders[index]
    torque, lubricant, evidence = rod_bolts(facts, at)
    joined = facts.below and not facts.split
    after: tuple[str, ...] = () if facts.split else (facts.closed,)
    if joined:
        set_first = (final(f"crank set for cylinder {at.label}"),) if at.number in facts.how.one_angle else ()
        after = (facts.closed, _before(facts, index), *set_first)
    where = (
        "Pull the rod down onto its journal; sleeves on bolts that stand in the rod."
        if joined
        else "Rod onto its own throw, towards its own bore."
    )
    return Step(
        key=final(f"rod {at.label}"), stage=Pass.FINAL, name=f"Rod {at.label} on the crank", group=GROUP, at=at,
        after=tuple(dict.fromkeys(after)), parts=(*facts.of(at, "rod", "shells"), *facts.one(PartKind.CRANK)),
        tools=("torque wrench or stretch gauge", "angle gauge", "paint pen"), consumables=("new rod bolts, where they are for one use",),
        do=(where, *JOIN, *((TURN, STOP) if joined else ())), facing=FACING, lubricant=lubricant, torque=torque,
        cautions=(FINGERS,) if joined else (),
        evidence=(*evidence, *(facts.held.after_stage(f"rod {at.label}") if joined else ())), closes=rod_closes(facts, at),
    )  # fmt: skip


def _side(facts: Facts) -> Step:
    after = tuple(final(f"rod {at.label}") for at in facts.cylinders) if not facts.rod_with_piston else facts.joined
    tight = facts.tight(Joint.RODS)
    whole = (paint("all rod bolts", tight, facts.engine.cylinders),)
    return Step(
        key=final("rod side"), stage=Pass.FINAL, name="Side room of the rods, all rod bolts looked at", group=GROUP, after=after,
        tools=("feeler blades", "lamp"),
        do=("Blades between rod and cheek, or between the pair.", "Look at every rod bolt once more: mark on each one, none forgotten."),
        evidence=(*facts.held.everywhere("rod side"), *whole, count("rods joined", facts.engine.cylinders)),
    )  # fmt: skip
