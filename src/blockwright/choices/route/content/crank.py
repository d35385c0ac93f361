"""The crank laid in for good and closed in: main by main, under a bedplate, or between two halves while the sealant is open."""

from __future__ import annotations

from collections.abc import Iterator

from blockwright.choices.route.content.case import before_crank
from blockwright.choices.route.content.facts import BUILD_PASTE, FINGERS, Facts, count, eyes, final, paint
from blockwright.choices.route.step import Pass, Step
from blockwright.engine.assembly import CamPlace, Drive, PistonWay, RearSeal
from blockwright.engine.fasteners import Joint
from blockwright.engine.layout import Case
from blockwright.engine.parts import PartKind
from blockwright.engine.positions import Place, Position

GROUP = "Crank and mains"
TURN = "Turn the crank slowly with the torque wrench. Read the steady pull, not the first jerk."
STOP = "More than the others added? Stop, take it off again, find what binds."
TOOLS = ("torque wrench", "low torque wrench for turning")
ALIGN = "Lever the crank fore and aft a few times, then hold it forward: that brings both halves of the thrust bearing into line."


def steps(facts: Facts) -> Iterator[Step]:
    """From the crank laid in until it is closed in."""
    yield _laid_in(facts)
    match facts.engine.case:
        case Case.CAPS:
            yield from (_cap(facts, index) for index in range(len(facts.mains)))
            yield _thrust(facts)
        case Case.BEDPLATE:
            yield from _bedplate(facts)
        case Case.SPLIT:
            yield from _split(facts)


def _laid_in(facts: Facts) -> Step:
    first = facts.engine.turning_stages[0]
    if facts.split:
        hung = (final(f"rings on piston {at.label}") for at in facts.cylinders) if facts.below else ()
        with_it = (*(final(f"rod {at.label}") for at in facts.cylinders), final("rod side"), *hung)
    else:
        with_it = tuple(final(f"piston {at.label}") for at in facts.cylinders) if facts.below else ()
    rods = (
        "Crank with its rods into the half that lies on the bench, every rod towards its own bore."
        if facts.split
        else ""
    )
    guided = (
        "Guide the pistons of this half into their bores as it comes down, a compressor on each: two people."
        if facts.split and facts.below
        else ""
    )
    bare = (
        "No seal rubs yet, so this is little: what each main adds is counted from here."
        if first == "seals" and facts.how.rear_seal is not RearSeal.HALVES
        else ""
    )
    geared = facts.how.cam is CamPlace.CASE and facts.how.cam_drive is Drive.GEARS
    below = (
        "The pistons stand in their bores, rods pushed out of the way, sleeves on their bolts."
        if facts.below and not facts.split
        else ""
    )
    return Step(
        key=final("crank laid in"), stage=Pass.FINAL, name="Crank with its rods laid in" if facts.split else "Crank laid in", group=GROUP,
        after=(*before_crank(facts), *with_it), parts=facts.one(PartKind.CRANK), tools=TOOLS,
        do=(
            *(text for text in (below, rods, guided) if text),
            "Lower it level, straight down. Look that no shell was pushed out of its seat.",
            *(("Mesh the cam with its mark on the crank's: once the case is closed nobody sees it.",) if geared else ()),
            TURN, *((bare,) if bare else ()),
        ),
        facing=("thrust grooves to the crank",), lubricant=BUILD_PASTE,
        cautions=("Lift with two people or a sling. Fingers never between crank and seat.", FINGERS),
        evidence=(*facts.held.after_stage(first), *((eyes("cam and crank marks together"),) if geared else ())),
        closes=tuple(
            words for at in facts.mains for words in facts.held.closed_by(at, "main journal taper", "main journal out-of-round", "crank runout")
        ),
    )  # fmt: skip


def _cap(facts: Facts, index: int) -> Step:
    at = facts.mains[index]
    before = final("crank laid in") if index == 0 else final(f"main {facts.mains[index - 1].label}")
    thrust = at.number == facts.how.thrust_main
    tight = facts.tight(Joint.MAIN_CAPS)
    unknown = facts.how.thrust_main is None
    snug = "This main carries the thrust: draw its cap down snug only, and tighten it at the thrust step."
    return Step(
        key=final(f"main {at.label}"), stage=Pass.FINAL, name=f"Cap of main {at.label}", group=GROUP, at=at, after=(before,),
        parts=facts.job.in_main(at.number).shells[1:], tools=TOOLS,
        do=(
            "Wipe the cap's seat and the shell's back dry. Shell in, its tang home, its face wet.",
            snug if thrust else "Cap on by its number, tapped home, never drawn in by its bolts. Tighten in stages.",
            *(("If this main carries the thrust, draw it snug only until the thrust step.",) if unknown else ()),
            TURN, STOP,
        ),
        facing=("cap number to its seat, arrow to the front", "tangs on the same side"),
        lubricant=f"shell: {BUILD_PASTE}; threads: {tight.lubricant}", cautions=(FINGERS,),
        torque=("snug only, by a short wrench; in its stages at the thrust step",) if thrust else (*tight.lines, *_sides(facts)),
        evidence=(*facts.held.at(at, "main film"), *facts.held.after_stage(str(at)), *(() if thrust else (paint("main cap bolts", tight),))),
        closes=facts.held.closed_by(at, "main film"),
    )  # fmt: skip


def _sides(facts: Facts) -> tuple[str, ...]:
    """The bolts that hold a cap from the side, where anybody told of them."""
    sides = facts.tight(Joint.MAIN_SIDES)
    return sides.with_lubricant if sides.told else ()


def _thrust(facts: Facts) -> Step:
    tight = facts.tight(Joint.MAIN_CAPS)
    where = "the thrust main" if facts.how.thrust_main is None else f"main {facts.how.thrust_main}"
    return Step(
        key=final("thrust"), stage=Pass.FINAL, name="Thrust bearing lined up, its cap tight, end float", group=GROUP,
        after=(final(f"main {facts.mains[-1].label}"),), tools=(*TOOLS, "dial indicator", "lever with a soft tip"),
        do=(
            f"With the cap of {where} snug: tap the crank fore and aft with a soft hammer.",
            ALIGN, "Now tighten that cap in its stages.", "Read the end float: lever the crank fore and aft, full travel.", TURN, STOP,
        ),
        cautions=(FINGERS,), torque=(*tight.lines, *_sides(facts)), lubricant="threads: " + tight.lubricant,
        evidence=(*facts.held.everywhere("crank end float"), *facts.held.after_stage("thrust"), paint("bolts of the thrust cap", tight)),
    )  # fmt: skip


def _sealant(name: str, words: str, facts: Facts, after: tuple[str, ...]) -> Step:
    return Step(
        key=final(f"sealant on the {name}"), stage=Pass.FINAL, name=words, group=GROUP, after=after,
        consumables=("sealant by the maker's word", "lint-free cloth"),
        do=(
            "Everything for the closing lies ready: bolts, wrench, second pair of hands. Read the steps to come before you begin.",
            "Faces dry and free of oil. A thin even bead, inside the bolts, none near an oilway or a bearing.",
            f"Sign when the bead is laid: the clock runs from then. {facts.open_words}",
        ),
        cautions=("Once laid there is no going back but by cleaning it all off.",), open_time_s=facts.open_s,
        evidence=(
            *facts.held.everywhere("main film"), count("rags and tools out of the case"),
            eyes("last look inside: every bolt marked, nothing left in the case"),
        ),
    )  # fmt: skip


def _bedplate(facts: Facts) -> Iterator[Step]:
    rings = (final("case o-rings"),) if facts.how.case_o_rings else ()
    if rings:
        yield _o_rings()
    yield _sealant("bedplate", "Sealant on the bedplate's joint", facts, (final("crank laid in"), *rings))
    yield _closing(
        facts, "bedplate", "Bedplate on", Joint.BEDPLATE,
        ("Lower the bedplate onto its dowels; never drag it. Bolts in by hand.", ALIGN, "Tighten in stages and order."),
        rings,
    )  # fmt: skip
    yield _end_float(facts)


def _end_float(facts: Facts) -> Step:
    """End float and turning torque of a crank that was closed in within a sealant's clock; both wait until the bolts are tight."""
    closed = final("case closed" if facts.split else "bedplate")
    return Step(
        key=final("end float"), stage=Pass.FINAL, name="End float and turning torque of the closed case", group=GROUP, after=(closed,),
        tools=("dial indicator", "lever with a soft tip", "low torque wrench for turning"),
        do=("Lever the crank fore and aft and read the full travel.", TURN, "More than in the mock-up? Open it now, while the sealant is soft."),
        cautions=(FINGERS,),
        evidence=(*facts.held.everywhere("crank end float"), *facts.held.after_stage("case closed")),
    )  # fmt: skip


def _closing(
    facts: Facts, name: str, words: str, joint: Joint, do: tuple[str, ...], also: tuple[str, ...] = ()
) -> Step:
    """Closing a case or bedplate while the sealant is open: what can no longer be measured is named."""
    tight = facts.tight(joint)
    edge = facts.tight(Joint.CASE_EDGE)
    sides = facts.engine.positions(Place.THROW) if facts.split else ()
    gone = (*facts.mains, *sides)
    names = {Place.MAIN: "main film", Place.THROW: "rod side"}
    clock = final("sealant on the case" if facts.split else "sealant on the bedplate")
    return Step(
        key=final(name), stage=Pass.FINAL, name=words, group=GROUP, after=(final("crank laid in"), *also), within=clock,
        tools=("torque wrench", "soft hammer"), do=do, facing=("dowels home", "tangs and oil holes looked at once more"),
        lubricant="threads: " + tight.lubricant, torque=(*tight.lines, *(edge.with_lubricant if edge.told else ())),
        cautions=("Fingers out of the joint.",),
        evidence=(
            paint(f"{joint} bolts", tight), *((paint("bolts of the case edge", edge),) if edge.told else ()),
        ),
        closes=tuple(words for at in gone for words in facts.held.closed_by(at, names[at.place])),
    )  # fmt: skip


def _o_rings() -> Step:
    return Step(
        key=final("case o-rings"), stage=Pass.FINAL, name="O-rings of the joint", group=GROUP, after=(final("plugs"),),
        consumables=("new O-rings", "grease"),
        do=("A new ring in every groove and on every through bolt that wants one. Not one twisted, not one proud.",),
        lubricant="a film of grease", evidence=(count("O-rings in"), eyes("every groove has its ring")),
    )  # fmt: skip


def _split(facts: Facts) -> Iterator[Step]:
    before = [final("crank laid in")]
    if facts.how.case_o_rings:
        yield _o_rings()
        before.append(final("case o-rings"))
    ways = [final(f"piston {at.label}") for at in facts.cylinders] if facts.below else []
    pump = [final("oil pump")] if facts.how.pump_inside else []
    yield _sealant("case", "Sealant on the joint of the case", facts, (*before, *ways, *pump))
    pistons = ("Guide each piston into its bore as the half comes down: two people, no force.",) if facts.below else ()
    rods = () if facts.below else ("Every rod looks out of its own bore before the halves meet.",)
    yield _closing(
        facts, "case closed", "Case closed on the crank", Joint.CASE,
        (
            *rods, *pistons,
            "Lower the other half straight. Stop if anything stands out: look, do not pull it shut with bolts.",
            ALIGN, "Main bolts first, in stages and order; then the bolts of the edge.",
        ),
        (*((final("case o-rings"),) if facts.how.case_o_rings else ()), *pump),
    )  # fmt: skip
    yield _end_float(facts)


def angle_set(facts: Facts, at: Position, before: str, step: str) -> Step:
    """The crank set to the one angle at which a cylinder is reached, before its piston or rod."""
    way = "rod bolts stand" if facts.how.pistons_enter in (PistonWay.ABOVE, PistonWay.BELOW) else "small end stands"
    return Step(
        key=final(f"crank set for cylinder {at.label}"), stage=Pass.FINAL, name=f"Crank set to the angle of cylinder {at.label}",
        group="Pistons", at=at,
        after=(facts.closed, before), tools=("degree wheel", "crank lock"),
        do=(
            f"Turn the crank until the {way} before the opening: the angle that the mock-up gave. Lock it there.",
            f"It stays locked until {step} of this cylinder is signed. No other piston in between.",
        ),
        cautions=("Nobody else turns the crank while hands are in the case.",), evidence=(eyes("angle set, crank locked"),),
    )  # fmt: skip
