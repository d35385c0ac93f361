"""The bare case for good: plugs, jets, a cam that lies below the heads, upper shells, a rear seal of two halves."""

from __future__ import annotations

from collections.abc import Iterator

from blockwright.choices.route.content.facts import BUILD_PASTE, BY_MAKER, LIP_OIL, Facts, count, eyes, final
from blockwright.choices.route.step import Pass, Step
from blockwright.engine.assembly import CamPlace, RearSeal
from blockwright.engine.fasteners import Joint
from blockwright.engine.layout import Case
from blockwright.engine.parts import PartKind

GROUP = "Case and oilways"


def steps(facts: Facts) -> Iterator[Step]:
    """What goes into the case before the crank."""
    yield _plugs(facts)
    if facts.how.oil_jets:
        yield _jets(facts)
    if facts.how.cam is CamPlace.BLOCK:
        yield _cam_in_block()
    if facts.how.cam is CamPlace.CASE:
        yield _cam_in_case()
    yield _shells(facts)
    if facts.how.rear_seal is RearSeal.HALVES:
        yield _seal_halves()


def before_crank(facts: Facts) -> tuple[str, ...]:
    """Keys of what must be in the case before the crank lies in it."""
    cam = {CamPlace.BLOCK: (final("cam"),), CamPlace.CASE: (final("cam and lifters"),)}
    seal = (final("rear seal"),) if facts.how.rear_seal is RearSeal.HALVES else ()
    return (final("shells"), *cam.get(facts.how.cam or CamPlace.OVERHEAD, ()), *seal)


def _plugs(facts: Facts) -> Step:
    return Step(
        key=final("plugs"), stage=Pass.FINAL, name="Oilway and core plugs in" if facts.water else "Oilway plugs in",
        group=GROUP, parts=facts.one(PartKind.BLOCK),
        tools=("drift that fits", "torque wrench"), consumables=("thread sealant", "new plugs"),
        do=(
            "Look through each oilway once more. Then every plug that came out goes in.",
            "Sealant, where a plug wants it, on the thread only and none on the first turn: a string of it ends in an oilway.",
            "Secure pressed plugs as the maker says: staked, screwed or pinned.",
        ),
        lubricant=f"{BY_MAKER}thread sealant on taper threads, a new washer under straight ones", torque=facts.tight(Joint.PLUGS).with_lubricant,
        evidence=(count("plugs in, as many as came out"), eyes("every plug against the list made at the inspection")),
    )  # fmt: skip


def _jets(facts: Facts) -> Step:
    return Step(
        key=final("oil jets"), stage=Pass.FINAL, name="Oil jets in", group=GROUP, after=(final("plugs"),), tools=("aiming rod", "torque wrench"),
        do=("Blow through each jet. Fit it, aim it as the maker says, and look that no skirt or counterweight can reach it.",),
        facing=("each jet at its own piston",), torque=facts.tight(Joint.OIL_JETS).with_lubricant,
        cautions=("A bent jet aims at nothing: never lift the case by one.",),
        evidence=(count("jets in, one a cylinder", facts.engine.cylinders),),
    )  # fmt: skip


def _cam_in_block() -> Step:
    return Step(
        key=final("cam"), stage=Pass.FINAL, name="Cam into the block", group=GROUP, after=(final("plugs"),), tools=("cam handle",),
        do=(
            "Cam bearings sit with their holes over the oilways; the plug behind the last one is in, with sealant, or it leaks onto the clutch.",
            "The cam goes in before the crank, while you can guide it from inside through the open case.",
            "Slowly: lobes nick the bearings. It turns by two fingers when it is home. Thrust plate on.",
        ),
        facing=("oil holes of the cam bearings over those of the block", "thrust plate with its oil groove as it was"),
        lubricant=f"{BY_MAKER}clean oil on the bearings, running-in paste on lobes of flat lifters",
        evidence=(eyes("cam turns freely, thrust plate tight"),),
    )  # fmt: skip


def _cam_in_case() -> Step:
    return Step(
        key=final("cam and lifters"), stage=Pass.FINAL, name="Lifters and cam into the case", group=GROUP, after=(final("plugs"),),
        consumables=("grease or clips to hold lifters up",),
        do=(
            "Lifters first, in both halves, each in its own bore. Hold those of the upper half up with a clip or stiff grease.",
            "Cam bearings and cam in, and the plug at the end of its bore, with sealant. Once the case is closed nothing of this can be reached.",
            "If the cam is geared to the crank it is timed when the crank is laid in: mark the teeth now.",
        ),
        facing=("cam gear's mark where the crank's will come", "thrust shells in their tangs"),
        lubricant=f"{BY_MAKER}running-in paste on lobes and lifter faces, clean oil on the bearings",
        cautions=("A lifter that drops when the halves meet bends or breaks what it meets.",),
        evidence=(count("lifters in, in both halves"), eyes("lifters held up, cam turns freely")),
    )  # fmt: skip


def _shells(facts: Facts) -> Step:
    jets = (final("oil jets"),) if facts.how.oil_jets else ()
    where = "in both halves" if facts.split else "in the block; those of the caps wait for their caps"
    where = "in block and bedplate" if facts.engine.case is Case.BEDPLATE else where
    return Step(
        key=final("shells"), stage=Pass.FINAL, name="Main shells in", group="Crank and mains", after=(final("plugs"), *jets),
        parts=tuple(mark for at in facts.mains for mark in facts.job.in_main(at.number).shells), consumables=("lint-free cloth",),
        do=(
            f"Wipe seat and back of shell dry. Shells {where}, each where it was measured.",
            "Press both ends flush. Look through every oil hole.",
        ),
        facing=("oil holes over shell holes", "tang in its slot", "thrust grooves to the crank"), lubricant=f"backs dry. Faces: {BUILD_PASTE}",
        evidence=(eyes("every oil hole open over its shell hole, every tang home"),),
    )  # fmt: skip


def _seal_halves() -> Step:
    return Step(
        key=final("rear seal"), stage=Pass.FINAL, name="Rear seal, two halves", group="Covers and seals", after=(final("shells"),),
        consumables=("sealant at the joints, where the maker wants it",),
        do=(
            "One half on each side of the parting line: one here, the other in the last cap or the other half.",
            "Joints a little off the parting line, where the seal allows it.",
        ),
        facing=("lip towards the oil",), lubricant=LIP_OIL, evidence=(eyes("lip towards the oil"),),
    )  # fmt: skip
