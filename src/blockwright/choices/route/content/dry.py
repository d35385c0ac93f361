"""The dry assembly: what only a closed engine shows, found out while everything can still come apart."""

from __future__ import annotations

from collections.abc import Iterator

from blockwright.choices.route.content.facts import CLEAN_OIL, FINGERS, Facts, count, dry, eyes, head_name
from blockwright.choices.route.step import Pass, Step
from blockwright.engine.assembly import CamPlace, PistonWay
from blockwright.engine.fasteners import Joint
from blockwright.engine.layout import Case, PinHold
from blockwright.engine.parts import PartKind
from blockwright.engine.positions import Position

GROUP = "Mock-up"
OIL = "a film of oil on everything that turns or slides"
CLOSING = {
    Case.CAPS: ("Main caps on", Joint.MAIN_CAPS),
    Case.BEDPLATE: ("Bedplate on", Joint.BEDPLATE),
    Case.SPLIT: ("Case closed on the crank", Joint.CASE),
}
ENTER = {
    PistonWay.ABOVE: "Lower the piston on its rod from above, without rings. Sleeves on bolts that stand in the rod. Cap on, snug only.",
    PistonWay.BELOW: "Push the piston on its rod into the bore from below, without rings.",
    PistonWay.ALONE: "Slide the piston in alone, without rings. Turn the crank until the rod stands before the hole; push the pin through.",
    PistonWay.BARREL: "Put the piston on its rod, without rings, and slide the barrel over it.",
}
HUNG = (
    "Hang the piston on its rod, without rings. One of the half on the bench enters its bore as the crank is laid in, one of the other half "
    "when that comes down."
)


def steps(facts: Facts) -> Iterator[Step]:
    """The dry assembly in its order."""
    if facts.how.cam is not CamPlace.OVERHEAD:
        yield _cam(facts)
    if not facts.rod_with_piston:
        yield _rods(facts)
    yield _crank(facts)
    yield _closed(facts)
    yield _end_float(facts)
    for at in facts.cylinders:
        if at.number in facts.how.one_angle:
            yield _angle(at)
        yield _piston(facts, at)
    yield _rod_side(facts)
    yield _inside(facts)
    yield _pick_up(facts)
    yield from (_deck(facts, at) for at in facts.cylinders)
    if facts.how.heads:
        yield from _heads(facts)
    if facts.driven:
        yield _timing(facts)
    if facts.how.heads:
        yield _valves(facts)


def _cam(facts: Facts) -> Step:
    inside = facts.how.cam is CamPlace.CASE
    return Step(
        key=dry("cam"), stage=Pass.MOCK_UP, name="Cam and lifters into the case" if inside else "Cam into the block", group=GROUP,
        after=(dry("block"),), tools=("dial indicator", "outside micrometer"),
        do=(
            "The cam goes in and turns by two fingers. Read its end float.",
            "Each lifter slides in its bore by its own weight and turns.",
            *(("These lifters cannot be put in once the case is closed.",) if inside else ()),
        ),
        lubricant=CLEAN_OIL, evidence=(eyes("cam turns freely, lifters slide"),),
    )  # fmt: skip


def _rods(facts: Facts) -> Step:
    closed = () if facts.split else (dry("crank closed in"),)
    return Step(
        key=dry("rods on the crank"), stage=Pass.MOCK_UP, name="Rods on the crank", group=GROUP,
        after=(*closed, *(dry(f"rod {at.label}") for at in facts.cylinders)),
        parts=tuple(mark for at in facts.cylinders for mark in facts.of(at, "rod", "shells")), tools=("torque wrench", "feeler blades"),
        do=(
            "Join every rod to its own throw. Each one falls by its own weight and does not bind on the fillet.",
            "Old bolts will do for the mock-up, where the maker allows it.",
        ),
        facing=("big-end chamfer to the fillet", "numbers together", "the rod's mark to the side that its maker says"),
        lubricant=f"{OIL}; threads: {facts.tight(Joint.RODS).lubricant}", torque=facts.tight(Joint.RODS).dry_lines,
    )  # fmt: skip


def _crank(facts: Facts) -> Step:
    after = [dry(f"main {at.label} shells") for at in facts.mains]
    if facts.how.cam is not CamPlace.OVERHEAD:
        after.append(dry("cam"))
    if facts.split:
        after.append(dry("rods on the crank"))
    if facts.below:
        after += [dry(f"piston {at.label} in its bore") for at in facts.cylinders]
    return Step(
        key=dry("crank laid in"), stage=Pass.MOCK_UP, name="Crank laid in", group=GROUP, after=tuple(after),
        parts=(*facts.one(PartKind.CRANK), *(mark for at in facts.mains for mark in facts.job.in_main(at.number).shells)),
        do=("Lay the crank in level, with its thrust washers. No seals, no sealant.",),
        facing=("thrust grooves to the crank",), lubricant=OIL,
        cautions=("Lift with two people or a sling. Fingers never between crank and seat.",),
    )  # fmt: skip


def _closed(facts: Facts) -> Step:
    name, joint = CLOSING[facts.engine.case]
    after = [dry("crank laid in")]
    return Step(
        key=dry("crank closed in"), stage=Pass.MOCK_UP, name=f"{name}, dry", group=GROUP, after=tuple(after), tools=("torque wrench",),
        do=(
            "Close it up as it will be for good, without sealant.",
            "Lever the crank fore and aft while the bolts are snug: that lines up the thrust faces. Then all tight, in their stages and order.",
            "Turn the crank by hand through two full turns. It turns evenly.",
        ),
        lubricant="threads: " + facts.tight(joint).lubricant, torque=facts.tight(joint).dry_lines, cautions=(FINGERS,),
        evidence=(count("full turns of the crank by hand", 2),),
    )  # fmt: skip


def _end_float(facts: Facts) -> Step:
    return Step(
        key=dry("end float"), stage=Pass.MOCK_UP, name="End float of the crank", group=GROUP, after=(dry("crank closed in"),),
        tools=("dial indicator", "lever with a soft tip"),
        do=("Lever the crank fore and aft with the thrust faces oiled. Read the full travel.",),
        evidence=facts.held.everywhere("crank end float"),
    )  # fmt: skip


def _angle(at: Position) -> Step:
    return Step(
        key=dry(f"angle of cylinder {at.label}"), stage=Pass.MOCK_UP, name=f"Find the crank angle at which cylinder {at.label} is reached",
        group=GROUP,
        at=at, after=(dry("crank closed in"),), tools=("degree wheel", "lamp"),
        do=(
            "Turn the crank slowly until pin or rod bolts stand before the hole.",
            "Write the angle down and mark the wheel: with the rings in you will not want to search.",
        ),
        cautions=(FINGERS,), evidence=(eyes("angle found and written down"),),
    )  # fmt: skip


def _piston(facts: Facts, at: Position) -> Step:
    way = facts.how.pistons_enter or PistonWay.ABOVE
    after = [dry(f"pin {at.label}"), dry(f"bore {at.label}"), dry(f"rod {at.label}")]
    if facts.below:
        after += [dry("rods on the crank")] if facts.split else []
    else:
        after.append(dry("crank closed in"))
        if not facts.rod_with_piston:
            after.append(dry("rods on the crank"))
        if at.number in facts.how.one_angle:
            after.append(dry(f"angle of cylinder {at.label}"))
    floating = facts.engine.pin is PinHold.FLOATING
    loose = ("No clips yet: a dry run only. Keep the pin from wandering with tape or old clips.",) if floating else ()
    return Step(
        key=dry(f"piston {at.label} in its bore"), stage=Pass.MOCK_UP, name=f"Piston {at.label} in its bore, without rings", group=GROUP, at=at,
        after=tuple(after), parts=facts.of(at, "piston", "pin", "rod"),
        do=(HUNG if facts.split and facts.below else ENTER[way], *loose),
        facing=("arrow or mark to the front, or as its maker says", "big-end chamfer to the fillet"), lubricant=OIL,
    )  # fmt: skip


def _pistons_in(facts: Facts) -> tuple[str, ...]:
    """After these every piston hangs on the closed-in crank."""
    rods = () if facts.rod_with_piston else (dry("rods on the crank"),)
    return (dry("crank closed in"), *rods, *(dry(f"piston {at.label} in its bore") for at in facts.cylinders))


def _rod_side(facts: Facts) -> Step:
    after = (dry("rods on the crank"),) if facts.split else _pistons_in(facts)
    return Step(
        key=dry("rod side"), stage=Pass.MOCK_UP, name="Side room of the rods", group=GROUP, after=after, tools=("feeler blades",),
        do=("Push the rod, or the pair, to one side. Slide the blades in on the other.",),
        evidence=facts.held.everywhere("rod side"),
    )  # fmt: skip


def _inside(facts: Facts) -> Step:
    cam = ("rod bolt to cam",) if facts.how.cam is not CamPlace.OVERHEAD else ()
    jets = ("skirt and counterweight to oil jet",) if facts.how.oil_jets else ()
    pairs = (
        "rod to case and to the foot of the bore",
        "counterweight to case",
        *cam,
        "counterweight to skirt",
        *jets,
        "rod and crank to windage tray",
    )
    return Step(
        key=dry("room in the case"), stage=Pass.MOCK_UP, name="Room round crank and rods", group=GROUP, after=_pistons_in(facts),
        tools=("feeler blades", "clay", "lamp"),
        do=(
            "Turn the crank slowly by hand through two full turns. Stop at every tight place.",
            f"Look, and feel with a blade: {'; '.join(pairs)}.",
            "Common practice, no source: 1.5 mm at least with steel rods, more with aluminium ones.",
            "Grind now what must be ground. Later there is oil in it.",
        ),
        cautions=(FINGERS,),
        evidence=(count("full turns of the crank by hand, nothing touches", 2), eyes("room round crank and rods")),
    )  # fmt: skip


def _pick_up(facts: Facts) -> Step:
    wet = "Clay on the pick-up, sump on, sump off: read how thick it was pressed. Common practice, no source: 6 to 10 mm to the floor."
    seen = "scavenge ports and their room" if facts.how.dry_sump else "depth of the pick-up"
    drawn = "Scavenge ports open and their screens in. No part of the crank near them."
    return Step(
        key=dry("pump and pick-up"), stage=Pass.MOCK_UP, name="Oil pump, pick-up and sump: room and depth", group=GROUP,
        after=(dry("room in the case"),),
        tools=("clay", "depth gauge"),
        do=(
            "Pump, pick-up, tray and sump on, dry.",
            drawn if facts.how.dry_sump else wet,
            "Turn the crank two full turns: nothing touches the tray or sump.",
        ),
        cautions=(FINGERS,), evidence=(count("full turns of the crank by hand with the sump on", 2), eyes(seen)),
    )  # fmt: skip


def _deck(facts: Facts, at: Position) -> Step:
    return Step(
        key=dry(f"deck {at.label}"), stage=Pass.MOCK_UP, name=f"Piston {at.label} against the deck", group=GROUP, at=at,
        after=_pistons_in(facts),
        tools=("dial indicator and bridge",),
        do=(
            "Find top dead centre from both sides. Read on the pin axis, front and rear, so that rock does not count.",
            "All cylinders alike? If one stands out, look at its rod before you look at the deck.",
        ),
        evidence=facts.held.at(at, "piston to deck"),
    )  # fmt: skip


def _heads(facts: Facts) -> Iterator[Step]:
    for place, covered in facts.head_places:
        yield Step(
            key=dry(head_name(place)), stage=Pass.MOCK_UP, name=f"{head_name(place).capitalize()} on, dry", group=GROUP, at=place,
            after=tuple(dry(f"deck {at.label}") for at in covered), tools=("torque wrench", "depth gauge"),
            do=(
                "An old gasket of the same thickness, or the new one if it may be pressed twice by its maker's word.",
                "Try each bolt or stud in its hole without the head: it must not touch bottom, and must reach deep enough.",
                "Light valve springs, so that valves can be pushed by hand.",
            ),
            lubricant="threads: " + facts.tight(Joint.HEADS).lubricant, torque=facts.tight(Joint.HEADS).dry_lines,
            cautions=("A head is heavy and its edges cut. Lift it straight.", "Springs are under load: never stand over one that is pressed."),
        )  # fmt: skip
    heads = tuple(dry(head_name(place)) for place, _ in facts.head_places)
    yield Step(
        key=dry("quench"), stage=Pass.MOCK_UP, name="Quench: piston to head with the gasket pressed", group=GROUP, after=heads,
        tools=("solder or clay", "outside micrometer"),
        do=(
            "Piston to deck plus the pressed gasket, cylinder by cylinder. Prove one with solder at both pin ends.",
            "Common practice, no source: not under .80 mm with steel rods, 1.4 mm with aluminium ones.",
        ),
        evidence=(count("cylinders whose quench was worked out", facts.engine.cylinders),),
    )  # fmt: skip


def _timing(facts: Facts) -> Step:
    overhead = facts.how.cam is CamPlace.OVERHEAD
    after = [dry("crank closed in")]
    if overhead:
        after += [dry(head_name(place)) for place, _ in facts.head_places]
    after += [] if overhead else [dry("cam")]
    return Step(
        key=dry("cam timing"), stage=Pass.MOCK_UP, name="Cam phase by the degree wheel", group=GROUP, after=(*after, *_pistons_in(facts)),
        tools=("degree wheel", "positive stop", "dial indicator"),
        do=(
            "Find top dead centre with a positive stop, from both sides. Never trust a cast mark.",
            f"Turn only in the engine's own direction, {facts.engine.rotation} seen from the front, so that the slack of the drive is taken up.",
            "Read lift over angle for an intake and an exhaust valve of each cam. Hold it against the cam's card. Write down key or dowel.",
        ),
        cautions=("Stop at once where it will not turn: a valve may be on a piston.",), evidence=(eyes("cam phase against the card"),),
    )  # fmt: skip


def _valves(facts: Facts) -> Step:
    after = (dry("cam timing"), dry("quench"))
    over = "rocker" if facts.how.pushrods else "lobe and follower"
    return Step(
        key=dry("valve to piston"), stage=Pass.MOCK_UP, name="Valve to piston, and the valve train", group=GROUP, after=after,
        tools=("dial indicator", "clay", "feeler blades"),
        do=(
            "Every five degrees from 20° before to 20° after top dead centre on overlap: push the valve down to the piston, read.",
            "Common practice, no source: not under 2.0 mm intake, 2.5 mm exhaust; 1.3 mm round the valve's edge.",
            f"At full lift: coils free of binding, retainer free of the seal, {over} free of what is beside and over it.",
            *(("Choose pushrod length now: the rocker's mark runs narrow and in the middle of the stem.",) if facts.how.pushrods else ()),
        ),
        cautions=("Springs are under load: goggles, and never your face over one.",), evidence=(eyes("valve to piston, every kind of valve"),),
    )  # fmt: skip
