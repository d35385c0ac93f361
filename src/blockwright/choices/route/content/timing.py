"""Cam timing for good, and the lash."""

from __future__ import annotations

from collections.abc import Iterator

from blockwright.choices.route.content.facts import Facts, count, eyes, final, paint
from blockwright.choices.route.step import Pass, Step
from blockwright.engine.assembly import CamPlace, Drive
from blockwright.engine.fasteners import Joint

GROUP = "Timing and valves"
SLACK = {
    Drive.CHAIN: "Tensioner filled with oil and let go, all slack on its side.",
    Drive.BELT: "Belt tight by its maker's way, engine cold; all slack on the tensioner's side.",
    Drive.GEARS: "Feel the backlash all round: some everywhere, alike everywhere.",
}


def steps(facts: Facts) -> Iterator[Step]:
    """The drive and its timing; the lash where the heads are on."""
    if facts.driven:
        yield _timing(facts)
    if facts.how.heads:
        yield _lash(facts)


def _timing(facts: Facts) -> Step:
    cam = {
        CamPlace.BLOCK: (final("cam"),),
        CamPlace.CASE: (final("cam and lifters"),),
        CamPlace.OVERHEAD: (final("cams"),),
    }[facts.how.cam or CamPlace.OVERHEAD]
    belt = (final("front seal"),) if facts.how.cam_drive is Drive.BELT else ()
    wheels = facts.tight(Joint.CAM_WHEELS)
    links = ("link marks of the chain to the wheel marks",) if facts.how.cam_drive is Drive.CHAIN else ()
    inside = facts.how.cam is CamPlace.CASE and facts.how.cam_drive is Drive.GEARS
    name = "Cam timing proved by the degree wheel" if inside else f"Cam drive ({facts.how.cam_drive}) on and timed"
    return Step(
        key=final("timing"), stage=Pass.FINAL, name=name, group=GROUP,
        after=(*facts.joined, *cam, *belt), tools=("degree wheel", "positive stop", "dial indicator", "torque wrench"),
        do=(
            "Marks together as the mock-up left them: key, dowel or offset written down there.",
            SLACK[facts.how.cam_drive],
            "Two full turns by hand.",
            f"Turn {facts.engine.rotation}, seen from the front ({facts.engine.front}). Stop at once where it will not go on.",
            "Marks again, and one valve by the degree wheel: it must repeat the mock-up.",
        ),
        torque=(*wheels.with_lubricant, *(_told(facts, Joint.NOSE) if facts.how.cam_drive is Drive.BELT else ())),
        facing=("every mark where the maker puts it", *links),
        cautions=(f"Fingers clear of the {facts.how.cam_drive} when the crank is turned.",),
        evidence=(count("full turns by hand after the drive was on", 2), eyes("timing marks"), paint("cam wheel bolts", wheels)),
    )  # fmt: skip


def _told(facts: Facts, joint: Joint) -> tuple[str, ...]:
    tight = facts.tight(joint)
    return tight.with_lubricant if tight.told else ()


def _lash(facts: Facts) -> Step:
    worked = (final("pushrods and rockers"),) if facts.how.pushrods else ()
    cams = (final("cams"),) if facts.how.cam is CamPlace.OVERHEAD else ()
    return Step(
        key=final("lash"), stage=Pass.FINAL, name="Valve lash, cold", group=GROUP, after=(final("timing"), *worked, *cams),
        tools=("feeler blades", "shims"),
        do=(
            "Each valve with its lobe pointing away. By the cam maker's figure, cold; write every one down.",
            "Hydraulic lifters: pre-load as their maker says, once the slack is out.",
            "Turn two full turns and try all again.",
        ),
        cautions=("Fingers clear of rockers and cams when the crank is turned.",),
        evidence=(eyes("lash of every valve written down and tried again"),),
    )  # fmt: skip
