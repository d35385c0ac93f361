"""What was read of a bore, for its picture: diameters with their uncertainty by spot, depths, what runs where, limits, and the fits of its form."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from blockwright.engine.layout import HEIGHTS, Engine
from blockwright.engine.parts import PartKind
from blockwright.engine.positions import Position, cylinder
from blockwright.engine.states import show_state
from blockwright.fits.assessment import Assessment, FitResult
from blockwright.fits.bores import WAYS
from blockwright.fits.sizes import Sizes
from blockwright.fits.travel import ring_travel
from blockwright.fits.words import Scale, unit_of
from blockwright.metrology.verdict import expanded
from blockwright.quantities import Kind, parse
from blockwright.report.pictures.standing import PLAIN_LOOK, Look
from blockwright.report.rows import came_back_text

TOLD = ("wall clearance", "bore taper", "out-of-round", "bell-mouth")
"""Fits whose verdicts stand beside the picture of a bore."""
RINGS = ("top", "second", "oil")
EQUAL_STEPS_M = (0.010, 0.060, 0.110)
"""Depths at which the three heights are drawn where theirs are not given."""


@dataclass(frozen=True)
class Diameter:
    """What was read at a spot, at 20 °C, and the half-width of its 95 % interval."""

    value_m: float
    half_m: float


@dataclass(frozen=True)
class Travel:
    """What runs over the wall from one depth below the deck to another."""

    name: str
    from_m: float
    to_m: float


@dataclass(frozen=True)
class Wanted:
    """Diameters between which the bore is wanted, and on whose word. `way` where it is wanted in one direction only."""

    words: str
    low_m: float | None
    high_m: float | None
    way: str = ""


@dataclass(frozen=True)
class BoreSeen:
    """One bore as it is drawn. `diameters` by spot (`top thrust`) holds what was read; `depths` is `None` where they are not given."""

    number: int
    engine_name: str
    nominal_m: float
    diameters: Mapping[str, Diameter]
    depths: Mapping[str, float] | None
    travels: tuple[Travel, ...]
    wanted: tuple[Wanted, ...]
    results: tuple[FitResult, ...]
    came_back: tuple[tuple[Look, str], ...]
    unit: str
    state: str

    @property
    def drawn_depths(self) -> Mapping[str, float]:
        """Depths for the drawing."""
        return self.depths or dict(zip(HEIGHTS, EQUAL_STEPS_M, strict=True))

    @property
    def foot_m(self) -> float:
        """The lowest depth that there is something to draw at."""
        lowest = max(self.drawn_depths.values())
        return max(1.06 * lowest, *(travel.to_m for travel in self.travels), lowest)

    def apart_m(self, height: str) -> float | None:
        """How much wider the bore is along the thrust axis than along the crank, at a height; `None` where one of them is not read."""
        across, along = (self.diameters.get(f"{height} {way}") for way in WAYS)
        return None if across is None or along is None else across.value_m - along.value_m

    def read_along(self, way: str) -> list[str]:
        """Heights that were read in one direction, from the deck down."""
        return [height for height in HEIGHTS if f"{height} {way}" in self.diameters]


def bore_seen(assessment: Assessment, number: int, sizes: Sizes | None = None) -> BoreSeen:
    """One bore of an assessed job; `sizes` of its job spare working them out once more."""
    job, at = assessment.job, cylinder(number)
    engine, block = job.engine, job.only(PartKind.BLOCK)
    read = (sizes or Sizes(job)).read(block, "bore", at, engine.bore_state) if block else {}
    here = tuple(result for result in assessment.results if result.position == at)
    return BoreSeen(
        number,
        engine.name,
        engine.bore_m,
        {spot: Diameter(size.estimate.value, expanded(size.estimate)) for spot, size in read.items()},
        engine.heights or None,
        tuple(_travels(engine)),
        (*_ordered(assessment, at), *_by_clearance(here)),
        tuple(result for name in TOLD for result in here if result.fit.name == name),
        tuple(_came_back(assessment, at)),
        unit_of(job, Scale.SIZE),
        show_state(engine.bore_state),
    )


def bores_seen(assessment: Assessment) -> tuple[BoreSeen, ...]:
    """Every bore, bank by bank from the front."""
    sizes = Sizes(assessment.job)
    return tuple(bore_seen(assessment, number, sizes) for bank in assessment.job.engine.numbering for number in bank)


def unit_m(unit: str) -> float:
    """A unit of length in metres."""
    return parse("1", Kind.LENGTH, unit=unit).si


def _travels(engine: Engine) -> Iterator[Travel]:
    for ring in RINGS:
        travel = ring_travel(engine, ring)
        if travel is not None:
            yield Travel(f"{ring} ring", *travel)
    if engine.skirt_top_m is not None and engine.skirt_bottom_m is not None:
        yield Travel("skirt", engine.skirt_top_m, engine.skirt_bottom_m + engine.stroke_m)


def _ordered(assessment: Assessment, at: Position) -> Iterator[Wanted]:
    for result in assessment.orders:
        order = result.order
        if order.feature == "bore" and result.at == str(at) and (order.low_si, order.high_si) != (None, None):
            yield Wanted("ordered", order.low_si, order.high_si)


def _came_back(assessment: Assessment, at: Position) -> Iterator[tuple[Look, str]]:
    """What came back from the machine shop against what was ordered, each with how it looks."""
    for result in assessment.orders:
        if result.order.feature == "bore" and result.at == str(at):
            yield PLAIN_LOOK[result.standing], " ".join(came_back_text(assessment.job, result).split()[2:])


def _by_clearance(results: Sequence[FitResult]) -> Iterator[Wanted]:
    """The bore that the piston which was measured for it asks for, by the limits of the wall clearance."""
    for result in results:
        if result.fit.name == "wall clearance" and result.found is not None and result.limits.known:
            skirt_m = result.found.sizes[-1][1].estimate.value
            low, high = (
                None if side is None else skirt_m + side for side in (result.limits.low_value, result.limits.high_value)
            )
            yield Wanted("by its piston", low, high, "thrust")
