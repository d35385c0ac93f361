"""What an engine is: layout, sizes, numbering, case, materials, and the positions that follow from them."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from blockwright.engine.positions import ENGINE, Place, Position, cylinder, main, throw
from blockwright.problems import Problem, excerpt
from blockwright.quantities import Kind
from blockwright.quantities.declared import Written, entry, quantity

HEIGHTS = ("top", "middle", "bottom")
"""The heights at which a bore is read, from the deck down."""
MOST_CYLINDERS, MOST_MAINS = 16, 32
KNOWN_CYLINDERS = f"this tool knows engines of 1 to {MOST_CYLINDERS}"


class Layout(StrEnum):
    """How the cylinders stand."""

    INLINE = "inline"
    V = "V"
    FLAT = "flat"


class Case(StrEnum):
    """How the crank is closed in."""

    CAPS = "block with caps"
    BEDPLATE = "bedplate"
    SPLIT = "case split on the crank line"


class Turning(StrEnum):
    """Direction of rotation, looking at the front end."""

    CLOCKWISE = "clockwise"
    ANTICLOCKWISE = "anticlockwise"


class Entering(StrEnum):
    """When the pistons go in: before or after the crank is closed in."""

    BEFORE = "before the crank is closed in"
    AFTER = "after the crank is closed in"


class FirstBank(StrEnum):
    """Side of the first bank, looking from the rear to the front."""

    LEFT = "left"
    RIGHT = "right"


class PinHold(StrEnum):
    """How the piston pin is held."""

    FLOATING = "floating"
    PRESSED = "pressed"


class ThrustSide(StrEnum):
    """A side of the cylinder square to crank and pin."""

    MAJOR = "major thrust side"
    MINOR = "minor thrust side"


@dataclass(frozen=True, kw_only=True)
class Engine(Written):
    """One engine's architecture and nominal sizes. Front end, numbering and rotation are the maker's facts."""

    name: str = entry("what the engine is called on the bench")
    layout: Layout = entry("inline, V or flat")
    cylinders: int = entry(f"how many cylinders, 1 to {MOST_CYLINDERS}")
    banks: tuple[tuple[int, ...], ...] = entry(
        "maker's cylinder numbers, bank by bank, front to rear: [[1, 3, 5], [2, 4, 6]]; inline counts from the front",
        default=(),
    )
    bank_angle_rad: float | None = quantity(
        Kind.ANGLE, "angle between the banks of a V", unit="deg", span=("10 deg", "175 deg"), default=None
    )
    first_bank: FirstBank = entry(
        "side of the bank listed first, looking from the rear to the front", default=FirstBank.LEFT
    )
    rotation: Turning = entry("clockwise or anticlockwise, seen from the front")
    front: str = entry("which end is the front: 'pulley end'", default="pulley end")
    firing_order: tuple[int, ...] = entry("cylinder numbers in the order in which they fire", default=())
    shared_throws: bool | None = entry(
        "two rods side by side on a throw; yes for a V unless said otherwise", default=None
    )
    mains: int | None = entry("how many main bearings; one more than throws where not given", default=None)
    case: Case = entry("block with caps, bedplate, or case split on the crank line")
    pistons: Entering = entry("pistons go in before or after the crank is closed in", default=Entering.AFTER)
    pin: PinHold = entry("piston pin floating (with clips) or pressed in the rod", default=PinHold.FLOATING)
    torque_plate: bool = entry("whether bores are to be measured with the torque plate on", default=True)
    housing_material: str = entry("alloy of block or case: a name of the materials list")
    liner_material: str = entry("what the piston runs in; the housing's alloy where not given", default="")
    bore_m: float = quantity(Kind.LENGTH, "nominal bore after machining", span=("30 mm", "200 mm"))
    stroke_m: float = quantity(Kind.LENGTH, "stroke", span=("25 mm", "250 mm"))
    rod_length_m: float = quantity(Kind.LENGTH, "rod length, centre to centre", span=("50 mm", "500 mm"))
    pin_offset_m: float = quantity(
        Kind.LENGTH, "offset of the pin from the bore axis", span=("0 mm", "5 mm"), default=0.0
    )
    pin_offset_side: ThrustSide = entry("side to which the pin is offset", default=ThrustSide.MAJOR)
    deck_m: float | None = quantity(
        Kind.LENGTH, "piston below (+) or above (-) the deck wanted at top dead centre", signed=True,
        span=("-3 mm", "10 mm"), default=None,
    )  # fmt: skip
    bore_spacing_m: float | None = quantity(
        Kind.LENGTH, "distance between neighbouring bore axes", span=("35 mm", "300 mm"), default=None
    )
    heights: Mapping[str, float] = quantity(
        Kind.LENGTH,
        "depth below the deck of the heights at which bores are read",
        span=("0 mm", "400 mm"),
        default={},
    )
    top_ring_m: float | None = quantity(
        Kind.LENGTH,
        "depth of the top ring below the deck at top dead centre",
        span=("0 mm", "60 mm"),
        default=None,
    )
    second_ring_m: float | None = quantity(
        Kind.LENGTH,
        "depth of the second ring below the deck at top dead centre",
        span=("0 mm", "80 mm"),
        default=None,
    )
    oil_ring_m: float | None = quantity(
        Kind.LENGTH,
        "depth of the oil ring below the deck at top dead centre",
        span=("0 mm", "100 mm"),
        default=None,
    )
    skirt_top_m: float | None = quantity(
        Kind.LENGTH,
        "depth of the skirt's upper edge below the deck at top dead centre",
        span=("0 mm", "120 mm"),
        default=None,
    )
    skirt_bottom_m: float | None = quantity(
        Kind.LENGTH,
        "depth of the skirt's lower edge below the deck at top dead centre",
        span=("10 mm", "200 mm"),
        default=None,
    )
    pin_m: float | None = quantity(
        Kind.LENGTH, "nominal pin diameter", key="pin_diameter", span=("8 mm", "70 mm"), default=None
    )
    main_journal_m: float | None = quantity(Kind.LENGTH, "nominal main journal", span=("20 mm", "150 mm"), default=None)
    rod_journal_m: float | None = quantity(Kind.LENGTH, "nominal rod journal", span=("20 mm", "130 mm"), default=None)
    main_housing_m: float | None = quantity(
        Kind.LENGTH, "nominal main housing bore, shells out", span=("22 mm", "165 mm"), default=None
    )
    big_end_m: float | None = quantity(
        Kind.LENGTH, "nominal big-end bore, shells out", span=("22 mm", "140 mm"), default=None
    )
    small_end_m: float | None = quantity(
        Kind.LENGTH,
        "nominal small-end bore (in the bush, if there is one)",
        span=("8 mm", "70 mm"),
        default=None,
    )
    side_guided_by: str = entry("what keeps the rod in line: 'crank' or 'piston'", default="crank")

    @property
    def numbering(self) -> tuple[tuple[int, ...], ...]:
        """Cylinder numbers bank by bank, front to rear."""
        if self.banks:
            return self.banks
        if self.layout is Layout.INLINE:
            return (tuple(range(1, self.cylinders + 1)),)
        return tuple(range(1, self.cylinders + 1, 2)), tuple(range(2, self.cylinders + 1, 2))

    @property
    def throws(self) -> tuple[tuple[int, ...], ...]:
        """Cylinders on each throw, front to rear."""
        banks = self.numbering
        shared = self.layout is Layout.V if self.shared_throws is None else self.shared_throws
        if len(banks) == 1:
            return tuple((number,) for number in banks[0])
        depth = max(len(bank) for bank in banks)
        rows = [[bank[row] for bank in banks if row < len(bank)] for row in range(depth)]
        return tuple(tuple(row) for row in rows) if shared else tuple((number,) for row in rows for number in row)

    @property
    def main_count(self) -> int:
        """Number of main bearings."""
        return len(self.throws) + 1 if self.mains is None else self.mains

    @property
    def running_surface(self) -> str:
        """The alloy that governs how the bore grows."""
        return self.liner_material or self.housing_material

    @property
    def bore_state(self) -> frozenset[str]:
        """State in which bores are measured: with the plate or without it, never now so, now so."""
        return frozenset({"plate on"}) if self.torque_plate else frozenset({"plate off"})

    @property
    def mains_closed(self) -> str:
        """The state word for a crank tunnel that is bolted up."""
        return "case torqued" if self.case is Case.SPLIT else "caps torqued"

    def throw_of(self, number: int) -> Position:
        """The throw that carries a cylinder's rod."""
        return next(throw(i) for i, on in enumerate(self.throws, 1) if number in on)

    def positions(self, place: Place) -> tuple[Position, ...]:
        """All positions of one kind, in order."""
        match place:
            case Place.CYLINDER:
                return tuple(cylinder(n) for n in sorted(n for bank in self.numbering for n in bank))
            case Place.MAIN:
                return tuple(main(n) for n in range(1, self.main_count + 1))
            case Place.THROW:
                return tuple(throw(n) for n in range(1, len(self.throws) + 1))
            case Place.BANK:
                return tuple(Position(Place.BANK, str(n)) for n in range(1, len(self.numbering) + 1))
            case Place.STAGE:
                return tuple(Position(Place.STAGE, name) for name in self.turning_stages)
            case Place.ENGINE:
                return (ENGINE,)

    @property
    def turning_stages(self) -> tuple[str, ...]:
        """Stages after which the crank is turned by hand with a torque wrench, in order of assembly.

        A piston that goes in after the crank brings its rod along, unless the case is split on the crank line, where the rods
        are on the crank before it closes.
        """
        numbers = [position.number for position in self.positions(Place.CYLINDER)]
        caps = (*(f"main {n}" for n in range(1, self.main_count + 1)), "thrust")
        closed = caps if self.case is Case.CAPS else ("case closed",)
        last = tuple(f"{'piston' if self.pistons is Entering.AFTER else 'rod'} {n}" for n in numbers)
        if self.case is Case.SPLIT:
            return ("crank with rods", *closed, *(last if self.pistons is Entering.AFTER else ()))
        return ("seals", *closed, *last)

    def faults(self) -> tuple[Problem, ...]:
        """What in these facts contradicts itself. Where a count is beyond all engines its numbering is not gone into."""
        counts = tuple(_count_faults(self))
        return (*(counts or _numbering_faults(self)), *_crank_faults(self), *_depth_faults(self))


def _count_faults(engine: Engine) -> Iterator[Problem]:
    """Counts so large that what they count must not be listed: 10⁹ cylinders would take minutes."""
    if engine.cylinders > MOST_CYLINDERS:
        yield _fault("cylinders", f"{engine.cylinders} cylinders: {KNOWN_CYLINDERS}.")
    if engine.mains is not None and engine.mains > MOST_MAINS:
        yield _fault("mains", f"{engine.mains} main bearings are too many.")
    if sum(map(len, engine.banks)) > MOST_CYLINDERS:
        yield _fault("banks", f"banks name more than {MOST_CYLINDERS} cylinders.")


def _numbering_faults(engine: Engine) -> Iterator[Problem]:
    if engine.cylinders < 1:
        yield _fault("cylinders", f"{engine.cylinders} cylinders: {KNOWN_CYLINDERS}.")
    listed = sorted(number for bank in engine.numbering for number in bank)
    if listed != list(range(1, engine.cylinders + 1)):
        yield _fault("banks", f"banks name the cylinders {listed}, the engine has 1 to {engine.cylinders}.")
    if engine.layout is Layout.INLINE and len(engine.numbering) != 1:
        yield _fault("banks", "an inline engine has one bank.")
    if engine.layout is not Layout.INLINE and (len(engine.numbering) != 2 or not all(engine.numbering)):
        yield _fault("banks", f"a {engine.layout} engine has two banks, with a cylinder or more in each.")
    if engine.firing_order and sorted(engine.firing_order) != listed:
        yield _fault("firing_order", "the firing order does not name each cylinder once.")
    if engine.layout is Layout.V and engine.bank_angle_rad is None:
        yield _fault("bank_angle", "a V engine needs its bank angle.")


def _crank_faults(engine: Engine) -> Iterator[Problem]:
    if engine.layout is Layout.INLINE and engine.shared_throws:
        yield _fault("shared_throws", "an inline engine has one rod on each throw.")
    if engine.mains is not None and engine.mains < 1:
        yield _fault("mains", f"{engine.mains} main bearings: there is at least one.")
    if engine.rod_length_m <= engine.stroke_m / 2:
        yield _fault("rod_length", "the rod is no longer than the crank's throw.")
    if engine.side_guided_by not in ("crank", "piston"):
        yield _fault(
            "side_guided_by", f"'{excerpt(engine.side_guided_by)}' keeps no rod in line: write crank or piston."
        )


def _depth_faults(engine: Engine) -> Iterator[Problem]:
    """Depths below the deck that do not follow each other downwards."""
    if engine.heights and set(engine.heights) != set(HEIGHTS):
        yield _fault("heights", f"the bore is read at {', '.join(HEIGHTS)}: give the depth of each, or of none.")
    elif engine.heights and not _downwards([engine.heights[height] for height in HEIGHTS]):
        yield _fault("heights", "the depths of top, middle and bottom do not follow each other downwards.")
    if not _downwards([engine.top_ring_m, engine.second_ring_m, engine.oil_ring_m]):
        yield _fault("top_ring", "top, second and oil ring do not follow each other downwards.")
    if not _downwards([engine.skirt_top_m, engine.skirt_bottom_m]):
        yield _fault("skirt_top", "the skirt's upper edge is not above its lower edge.")


def _downwards(depths: Sequence[float | None]) -> bool:
    known = [depth for depth in depths if depth is not None]
    return all(upper < lower for upper, lower in itertools.pairwise(known))


def _fault(field: str, what: str) -> Problem:
    return Problem(f"engine-{field}", what, f"Mend {field} in [engine].").at(field=f"engine.{field}")
