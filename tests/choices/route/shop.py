"""A made-up shop for the state machine: what lies on its bench, and a short route that asks for everything a route can ask for.

What each step asks for is written down twice, on purpose: once as steps, for the program, and once as `ASKED` and `NEEDED`, in the test's own words.
"""

import datetime as dt
from dataclasses import dataclass, replace
from functools import cache

from blockwright.choices.route.step import Evidence, Pass, Proof, Step
from blockwright.engine.job import Job
from blockwright.engine.positions import Place, Position, cylinder, throw
from blockwright.engine.rules import Accepted, Authority, LimitRule, Record
from blockwright.engine.steps import OwnEvidence, StepChange
from blockwright.fits.assessment import FitResult
from blockwright.fits.registry import REGISTRY
from blockwright.metrology.readings import Reading
from blockwright.running.assess import judge

from .conftest import demo

HARBOUR = demo("harbour")
START = dt.datetime(2026, 10, 9, 8, 0, tzinfo=dt.UTC)
OPEN_TIME_S = 600.0
DECK, WASH, PLUGS, CRANK, PISTON, ROD, BEAD, SUMP, FILL = (
    "mock-up: deck", "wash", "final: plugs", "final: crank", "final: piston 2", "final: rod 2", "final: bead", "final: sump", "final: fill",
)  # fmt: skip
NEEDED: dict[str, set[str]] = {
    DECK: set(),
    WASH: {DECK},
    PLUGS: {WASH},
    CRANK: {WASH},
    PISTON: {CRANK, PLUGS},
    ROD: {PISTON},
    BEAD: {PLUGS, CRANK},
    SUMP: {BEAD, ROD},
    FILL: {SUMP},
}
KEYS = tuple(NEEDED)
HOLDS = {DECK, PLUGS, PISTON, ROD, FILL}
WALL, WALL_1, FILM, SIDE, TURN = (
    ("wall clearance", cylinder(2)), ("wall clearance", cylinder(1)), ("rod film", cylinder(2)), ("rod side", throw(2)),
    ("turning torque", Position(Place.STAGE, "piston 2")),
)  # fmt: skip
At = tuple[str, Position]
SHUTS: dict[str, tuple[At, ...]] = {PISTON: (WALL_1, TURN), SUMP: (SIDE, FILM)}
"""What can no longer be measured after a step."""
WEIGHED = StepChange(
    key="mine", name="Weigh it", after=(CRANK,), before=(SUMP,),
    evidence=(
        OwnEvidence(proof=Proof.COUNT, what="grams", number=3), OwnEvidence(proof=Proof.FIT, what="rod side", at="throw 2"),
        OwnEvidence(proof=Proof.EYES, what="scales"),
    ),
)  # fmt: skip
"""A step of the builder's own that is a hold point."""


@dataclass(frozen=True)
class World:
    """All that a builder can change, apart from what he signs. Readings by their mark."""

    piston: str = "P2"
    rod: str = "C2"
    replaced: frozenset[str] = frozenset()
    withdrawn: frozenset[str] = frozenset()
    altered: frozenset[str] = frozenset()
    noted: frozenset[str] = frozenset()
    gone: frozenset[str] = frozenset()
    low_m: float | None = None
    high_m: float | None = None
    setting_off_m: float = 0.0
    accepted: tuple[tuple[Accepted, str, str, float], ...] = ()
    side_held: bool = False
    turning_high_nm: float | None = 28.0
    lost: frozenset[str] = frozenset()
    bolts: int = 2
    photos: int = 1
    changes: tuple[StepChange, ...] = ()


@dataclass(frozen=True)
class Asked:
    """What a step asks for: `None` is a number that is only told."""

    fits: tuple[At, ...] = ()
    counts: tuple[int | None, ...] = ()
    photos: int = 0
    eyes: bool = False
    paint: tuple[int | None, ...] = ()


def asked(world: World, key: str) -> Asked:
    """What a step asks for as the world is."""
    match key:
        case "mock-up: deck":
            return Asked(fits=(WALL,))
        case "final: plugs":
            return Asked(counts=(None,))
        case "final: piston 2":
            return Asked(fits=(WALL,), counts=(2,), photos=world.photos, eyes=True)
        case "final: rod 2":
            return Asked(fits=(FILM, TURN, *([SIDE] if world.side_held else [])), paint=(world.bolts,))
        case "final: fill":
            return Asked(counts=(1, None), eyes=True)
        case "mine" if WEIGHED in world.changes:
            return Asked(fits=(SIDE,), counts=(3,), eyes=True)
    return Asked()


def parts_at(world: World, key: str) -> tuple[str, ...]:
    """Marks of the parts that a step uses."""
    used = {DECK: (world.piston,), PISTON: (world.piston, world.rod), ROD: ("CU2", "CL2")}
    return tuple(mark for mark in used.get(key, ()) if mark)


def route_steps(world: World) -> tuple[Step, ...]:
    """The route for the program, with its evidence in the program's words."""

    def step(key: str, stage: Pass, *after: str, **more: object) -> Step:
        return Step(
            key=key, stage=stage, name=f"Do {key}", group="Group", after=after, parts=parts_at(world, key), do=("Do it.",), **more
        )  # fmt: skip

    wall, film, side, turn = (Evidence(Proof.FIT, *at) for at in (WALL, FILM, SIDE, TURN))
    mock, wash, final = Pass.MOCK_UP, Pass.STRIP, Pass.FINAL
    photos = ("each clip", "ring gaps")[: world.photos]
    return (
        step(DECK, mock, evidence=(wall,)),
        step(WASH, wash, DECK),
        step(PLUGS, final, WASH, evidence=(Evidence(Proof.COUNT, "plugs"),)),
        step(CRANK, final, WASH),
        step(
            PISTON, final, CRANK, PLUGS, closes=("wall clearance, cylinder 1", "turning torque, stage piston 2"),
            evidence=(
                wall, Evidence(Proof.COUNT, "clips", number=2), *(Evidence(Proof.PHOTO, what) for what in photos), Evidence(Proof.EYES, "clips"),
            ),
        ),
        step(ROD, final, PISTON, evidence=(film, turn, *([side] if world.side_held else []), Evidence(Proof.PAINT, "rod bolts", number=world.bolts))),
        step(BEAD, final, PLUGS, CRANK, open_time_s=OPEN_TIME_S),
        step(SUMP, final, within=BEAD, closes=(ROD, "rod side, throw 2", "rod film, cylinder 2")),
        step(
            FILL, final, SUMP,
            evidence=(Evidence(Proof.COUNT, "drain plug", number=1), Evidence(Proof.COUNT, "litres"), Evidence(Proof.EYES, "level")),
        ),
    )  # fmt: skip


@cache
def job_of(world: World) -> Job:
    """The first demonstration job as the world has it, nothing signed."""
    sheet = HARBOUR.sheet
    home = next((held.number for held in sheet.cylinder if held.piston == world.piston), 2)
    pistons = {home: "P2", 2: world.piston}
    cylinders = tuple(
        replace(held, piston=pistons.get(held.number, held.piston), rod=world.rod if held.number == 2 else held.rod)
        for held in sheet.cylinder
    )
    parts = tuple(replace(part, batch="another") if part.mark in world.replaced else part for part in sheet.part)
    turning = [each for each in sheet.limit if each.fit == "turning torque"]
    limits = (
        *(each for each in sheet.limit if each.fit != "turning torque"),
        *(replace(each, high_si=world.turning_high_nm) for each in turning if world.turning_high_nm is not None),
        *_own_limit(world),
    )
    settings = tuple(replace(each, size_m=each.size_m + world.setting_off_m) for each in HARBOUR.gauge_sheet.setting)
    records = tuple(
        Record(number, event, fit, at, value, "x", "R. Quill", None, "will do")
        for number, (event, fit, at, value) in enumerate(world.accepted, len(HARBOUR.records) + 1)
    )
    return replace(
        HARBOUR,
        sheet=replace(sheet, cylinder=cylinders, part=parts, limit=limits, step=world.changes),
        gauge_sheet=replace(HARBOUR.gauge_sheet, setting=settings),
        readings=tuple(_as_it_is(world, each) for each in HARBOUR.readings if each.id not in world.gone),
        records=(*HARBOUR.records, *records),
    )


def _own_limit(world: World) -> tuple[LimitRule, ...]:
    if world.low_m is None:
        return ()
    rule = LimitRule(
        fit="wall clearance", at="cylinder 2", authority=Authority.BUILDER, by="R. Quill", why="hot duty", low_si=world.low_m, high_si=world.high_m,
    )  # fmt: skip
    return (rule,)


def _as_it_is(world: World, reading: Reading) -> Reading:
    if reading.id in world.withdrawn:
        reading = replace(reading, withdrawn="a slip")
    if reading.id in world.noted:
        reading = replace(reading, note="a word more", by="L. Marsh")
    if reading.id in world.altered and reading.low_si is not None and reading.high_si is not None:
        reading = replace(reading, low_si=reading.low_si + 1e-9, high_si=reading.high_si + 1e-9)
    return reading


def fit_now(world: World, at: At) -> FitResult:
    """How a fit stands: the judgement is another floor's, and is tested there."""
    return _fit(replace(world, changes=(), bolts=2, photos=1, side_held=False, noted=frozenset(), lost=frozenset()), at)


@cache
def _fit(world: World, at: At) -> FitResult:
    return judge(job_of(world), REGISTRY[at[0]], at[1])


def rests_on(world: World, at: At) -> frozenset[tuple[str, bool]]:
    """The readings on which a fit rests, each with whether what it says was altered."""
    found = fit_now(world, at).found
    sizes = found.sizes if found else ()
    return frozenset((each.id, each.id in world.altered) for _, size in sizes for each in size.readings)
