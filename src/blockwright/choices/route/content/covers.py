"""Oil pump, covers and their seals, and last the sump: once it is on, nobody looks inside any more."""

from __future__ import annotations

from collections.abc import Iterator

from blockwright.choices.route.content.facts import BY_MAKER, FINGERS, LIP_OIL, Facts, count, eyes, final, paint
from blockwright.choices.route.step import Pass, Step
from blockwright.engine.assembly import Drive, RearSeal
from blockwright.engine.fasteners import Joint
from blockwright.engine.positions import Place

GROUP = "Covers and seals"


def steps(facts: Facts) -> Iterator[Step]:
    """From the pump to the sump. A short block whose cam drive is not fitted keeps front and sump open."""
    yield _pump(facts)
    if facts.how.rear_cover:
        yield _rear_cover(facts)
    if facts.how.rear_seal is RearSeal.ONE_PIECE:
        yield _rear_seal(facts)
    if facts.driven:
        yield _front_cover(facts)
        yield _front_seal()
        if facts.how.cam_drive is not Drive.BELT:
            yield _pulley(facts)
        yield _sealant(facts)
        yield _sump(facts)


def _pump(facts: Facts) -> Step:
    inside = facts.how.pump_inside
    after = (final("crank laid in"),) if inside else (*facts.joined, final("rod side"))
    tight = facts.tight(Joint.OIL_PUMP)
    dry_sump = "Scavenge lines' screens in. Each line blown through and tied off clean."
    return Step(
        key=final("oil pump"), stage=Pass.FINAL, name="Oil pump and pick-up", group=GROUP, after=after, tools=("torque wrench",),
        consumables=("new pick-up gasket or O-ring", "oil to fill the pump"),
        do=(
            "Pack or fill the pump with oil: a dry pump does not draw.",
            "Pick-up on with a new seal, at the depth that the mock-up gave. Air drawn there empties every bearing.",
            *((dry_sump,) if facts.how.dry_sump else ()),
            "Drive shaft home: turn it by hand.",
            *(() if inside else ("Windage tray on, if there is one. Turn the crank two full turns: nothing touches pump, pick-up or tray.",)),
        ),
        cautions=() if inside else (FINGERS,), torque=tight.with_lubricant,
        evidence=(eyes("pick-up seal in, pick-up secured against coming loose"), paint("oil pump bolts", tight)),
    )  # fmt: skip


def _rear_cover(facts: Facts) -> Step:
    return Step(
        key=final("rear cover"), stage=Pass.FINAL, name="Rear cover", group=GROUP, after=(facts.closed,), consumables=("gasket or sealant",),
        do=(
            "Line the cover up with the crank before it is tight: the seal runs on the shaft, not beside it.",
            "Its lower face level with the sump face.",
        ),
        torque=facts.tight(Joint.REAR_COVER).with_lubricant,
    )  # fmt: skip


def _rear_seal(facts: Facts) -> Step:
    after = final("rear cover") if facts.how.rear_cover else facts.closed
    return Step(
        key=final("rear seal"), stage=Pass.FINAL, name="Rear crank seal", group=GROUP, after=(after,), tools=("seal sleeve", "driver that fits"),
        do=("Slide it over a sleeve, press it in square to its depth. A lip that folds over leaks at once.",),
        facing=("lip towards the oil", "arrow of a seal with ribs the way the crank turns"), lubricant=LIP_OIL,
        evidence=(eyes("seal square, lip not folded"),),
    )  # fmt: skip


def _front_cover(facts: Facts) -> Step:
    drive = () if facts.how.cam_drive is Drive.BELT else (final("timing"),)
    hidden = {
        Drive.CHAIN: "Look at every timing mark once more, tensioner let go, guides tight: the cover hides them.",
        Drive.GEARS: "Look at every timing mark once more, every gear's bolt or ring in its place: the cover hides them.",
    }
    return Step(
        key=final("front cover"), stage=Pass.FINAL, name="Front cover", group=GROUP, after=(facts.closed, *drive),
        consumables=("gasket or sealant",),
        do=(
            *((hidden[facts.how.cam_drive],) if drive else ()),
            "Cover on over the crank's nose. Its lower face level with the sump face.",
        ),
        torque=facts.tight(Joint.FRONT_COVER).with_lubricant, evidence=(eyes("what the cover hides was looked at"),),
    )  # fmt: skip


def _front_seal() -> Step:
    return Step(
        key=final("front seal"), stage=Pass.FINAL, name="Front crank seal", group=GROUP, after=(final("front cover"),),
        tools=("driver that fits",),
        do=("Press it in square to its depth. Look at the hub's running face: a groove there eats a new seal.",),
        facing=("lip towards the oil",), lubricant=LIP_OIL, evidence=(eyes("seal square, lip not folded"),),
    )  # fmt: skip


def _pulley(facts: Facts) -> Step:
    """What sits on the crank's nose, outside the cover. Where a belt drives the cams it comes with the belt."""
    tight = facts.tight(Joint.NOSE)
    return Step(
        key=final("crank pulley"), stage=Pass.FINAL, name="Hub, pulley or damper on the crank's nose", group=GROUP, after=(final("front seal"),),
        tools=("puller that draws on", "torque wrench", "crank lock"),
        do=(
            "Draw it on by its thread; never drive it: blows go into the thrust bearing.",
            "Its mark stands at the true top dead centre that the positive stop gave. If it does not, make a new one.",
        ),
        facing=("key or dowel in its slot",), lubricant=f"{BY_MAKER}a film of oil where the seal runs", torque=tight.with_lubricant,
        evidence=(eyes("mark against the true top dead centre"), paint("bolts of the crank's nose", tight)),
    )  # fmt: skip


def _sealant(facts: Facts) -> Step:
    rear = (final("rear cover"),) if facts.how.rear_cover else ()
    after = (
        final("front cover"),
        final("front seal"),
        *rear,
        final("rear seal"),
        final("oil pump"),
        final("rod side"),
        *facts.services,
        *facts.joined,
    )
    return Step(
        key=final("sealant on the sump"), stage=Pass.FINAL, name="Sealant for the sump", group=GROUP, after=tuple(dict.fromkeys(after)),
        consumables=("sealant by the maker's word",), tools=("lamp",),
        do=(
            "Last look inside: every rod and main bolt has its mark, nothing lies in the case.",
            "Faces dry. A bead inside the bolts, or a dab at each corner where covers meet the block, as the gasket wants.",
            f"Sign when it is laid: the clock runs from then. {facts.open_words}",
        ),
        open_time_s=facts.open_s, evidence=(count("rags and tools out of the case"), eyes("last look inside")),
    )  # fmt: skip


def _sump(facts: Facts) -> Step:
    gone = tuple(words for at in facts.engine.positions(Place.THROW) for words in facts.held.closed_by(at, "rod side"))
    words = "Sump or bottom plate" if facts.how.dry_sump or facts.split else "Sump"
    return Step(
        key=final("sump"), stage=Pass.FINAL, name=words, group=GROUP, after=(final("sealant on the sump"),), within=final("sealant on the sump"),
        tools=("torque wrench",),
        do=("On in one move, bolts in by hand, then tightened evenly in stages and order.", "Drain plug in with a new washer."),
        torque=facts.tight(Joint.SUMP).with_lubricant, evidence=(count("drain plug in", 1),), closes=gone,
    )  # fmt: skip
