"""Fits of the crank and its tunnel: journal size and form, runout, alignment, end float, rod side, finish."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from blockwright.engine.job import ENGINE_MARK
from blockwright.engine.layout import Engine
from blockwright.engine.parts import PartKind
from blockwright.engine.positions import Place, Position
from blockwright.engine.rules import Side
from blockwright.fits import practice
from blockwright.fits.bearings import closed_and
from blockwright.fits.fit import Fit, Found, Need, WorkOut
from blockwright.fits.remedies import always, by_size
from blockwright.fits.sizes import Sizes
from blockwright.fits.words import Scale
from blockwright.metrology.estimate import combine, mean, reach
from blockwright.metrology.evaluate import Size
from blockwright.quantities import Kind

ENDS, WAYS = ("front", "rear"), ("across", "along")


def _journal(feature: str, work: Callable[[Mapping[str, Size]], Found]) -> WorkOut:
    def work_out(sizes: Sizes, position: Position) -> Found:
        return work(sizes.of(sizes.part(PartKind.CRANK), feature, position))

    return work_out


def _mean(spots: Mapping[str, Size]) -> Found:
    return Found(mean(size.estimate for size in spots.values()), tuple(spots.items()), "mean of four places")


def _taper(spots: Mapping[str, Size]) -> Found:
    """The wider difference between the two ends, over the two directions."""
    found = []
    for way in WAYS:
        pair = (spots[f"front {way}"], spots[f"rear {way}"])
        thick, thin = sorted(pair, key=lambda size: -size.estimate.value)
        used = ((f"thicker end, {way}", thick), (f"thinner end, {way}", thin))
        found.append(Found(thick.estimate - thin.estimate, used, f"front against rear, read {way}"))
    return max(found, key=lambda each: each.estimate.value)


def _round(spots: Mapping[str, Size]) -> Found:
    """The wider difference between the two directions, over the two ends."""
    found = []
    for end in ENDS:
        pair = (spots[f"{end} across"], spots[f"{end} along"])
        thick, thin = sorted(pair, key=lambda size: -size.estimate.value)
        used = ((f"{end}, thicker way", thick), (f"{end}, thinner way", thin))
        found.append(Found(thick.estimate - thin.estimate, used, f"at the {end}"))
    return max(found, key=lambda each: each.estimate.value)


def _single(kind: PartKind | None, feature: str, state: Callable[[Engine], frozenset[str]] | None = None) -> WorkOut:
    """One spot of a feature of the block, the crank, or (kind `None`) the assembled engine."""

    def work_out(sizes: Sizes, position: Position) -> Found:
        mark = ENGINE_MARK if kind is None else sizes.part(kind)
        at = None if position.place is Place.ENGINE else position
        size = sizes.one(mark, feature, at, state(sizes.job.engine) if state else frozenset())
        return Found(size.estimate, ((feature, size),))

    return work_out


def _deck(sizes: Sizes, position: Position) -> Found:
    spots = sizes.of(sizes.part(PartKind.BLOCK), "deck hollow", position)
    name = max(spots, key=lambda spot: spots[spot].estimate.value)
    return Found(spots[name].estimate, ((name, spots[name]),), f"the worst way: {name}")


def _housing_round(sizes: Sizes, position: Position) -> Found:
    state = closed_and("shells out")(sizes.job.engine)
    spots = sizes.of(sizes.part(PartKind.BLOCK), "main housing", position, state)
    estimates = [size.estimate for size in spots.values()]
    return Found(reach(estimates), tuple(spots.items()), "largest less smallest direction")


def _piston_to_deck(sizes: Sizes, position: Position) -> Found:
    spots = sizes.of(ENGINE_MARK, "piston to deck", position)
    estimate = combine([(0.5, size.estimate) for size in spots.values()])
    return Found(estimate, tuple(spots.items()), "mean of two readings on the pin axis, so that rock does not count")


def _journal_fits(name: str, place: Place, nominal: Callable[[Engine], float | None]) -> tuple[Fit, ...]:
    form = practice.practice("freshly ground journal", high=practice.JOURNAL_FORM_M)
    need = (Need(f"{name} journal"),)
    regrind = always("have the crank ground to the next undersize, all journals of a kind alike")
    return (
        Fit(
            f"{name} journal size", place, "crank", f"diameter of a {name} journal", "mean of four readings", "mean", need,
            _journal(f"{name} journal", _mean), when_low="see the film clearance", when_high="see the film clearance", remedy=regrind,
            scale=Scale.SIZE, size=nominal, hard=Side.BOTH, on_request=True,
        ),
        Fit(
            f"{name} journal taper", place, "crank", f"difference between the two ends of a {name} journal",
            "thicker end - thinner end, same direction", "the worse of two directions", need, _journal(f"{name} journal", _taper),
            when_low="", when_high="one edge of the shell carries the load", remedy=regrind,
            practice=lambda job, position: form, size=nominal, hard=Side.HIGH,
        ),
        Fit(
            f"{name} journal out-of-round", place, "crank", f"difference between two directions of a {name} journal",
            "thicker way - thinner way, same end", "the worse of two ends", need, _journal(f"{name} journal", _round),
            when_low="", when_high="the film thins once a turn", remedy=regrind,
            practice=lambda job, position: form, size=nominal, hard=Side.HIGH,
        ),
        Fit(
            f"{name} journal finish", place, "crank", f"roughness Rz of a {name} journal, along its axis", "Rz as read", "as read",
            (Need(f"{name} journal roughness"),), _single(PartKind.CRANK, f"{name} journal roughness"),
            when_low="", when_high="cuts the shell where the film is thinnest",
            remedy=always("polish the journal, in the direction of rotation last"),
            practice=lambda job, position: practice.practice("ground and polished journal", high=1.6e-6),
            hard=Side.HIGH, kind=Kind.ROUGHNESS, scale=Scale.ROUGHNESS, on_request=True,
        ),
    )  # fmt: skip


def _carries_the_crank(engine: Engine, position: Position) -> bool:
    """Whether a crank lies on this main while its runout is read: there it has none, whatever its shape."""
    return position.number in (1, engine.main_count)


FITS = (
    *_journal_fits("main", Place.MAIN, lambda engine: engine.main_journal_m),
    *_journal_fits("rod", Place.THROW, lambda engine: engine.rod_journal_m),
    Fit(
        "crank runout", Place.MAIN, "crank", "full needle travel at a main over one turn, end mains on blocks",
        "as read", "as read; the end mains carry it and have none", (Need("crank runout"),), _single(PartKind.CRANK, "crank runout"),
        when_low="", when_high="a bent crank: the middle mains carry what the others do not",
        remedy=always("have the crank straightened or ground; never build it in"),
        practice=lambda job, position: practice.short_crank(job, "crank", 50e-6), hard=Side.HIGH, spared=_carries_the_crank,
    ),
    Fit(
        "tunnel alignment", Place.MAIN, "crank", "step of a housing out of line with its neighbours",
        "largest blade under a straight edge", "as read; a straight edge finds steps, not bows: turning the crank finds the rest",
        (Need("tunnel step"),), _single(PartKind.BLOCK, "tunnel step"),
        when_low="", when_high="the crank is bent at every turn", remedy=always("have the tunnel align-honed"),
        practice=lambda job, position: practice.short_crank(job, "tunnel", 25e-6), hard=Side.HIGH, on_request=True,
    ),
    Fit(
        "main housing out-of-round", Place.MAIN, "crank", "difference between the directions of a main housing, shells out, closed",
        "largest - smallest of three directions", "three directions, 45° apart from the parting line",
        (Need("main housing", closed_and("shells out")),), _housing_round,
        when_low="", when_high="the shell takes the shape of the hole", remedy=always("have the tunnel align-honed"),
        practice=lambda job, position: practice.practice("align-honed tunnel", high=practice.FRESH_BORE_FORM_M), hard=Side.HIGH, on_request=True,
    ),
    Fit(
        "deck flatness", Place.BANK, "crank", "hollow of the deck under a straight edge", "largest blade under the edge",
        "the worst of along, across and corner to corner", (Need("deck hollow"),), _deck,
        when_low="", when_high="the gasket leaks", remedy=always("have the deck skimmed, and check piston to deck and timing drive after"),
        practice=lambda job, position: practice.practice("deck for a layered steel gasket", high=50e-6), hard=Side.HIGH, on_request=True,
    ),
    Fit(
        "crank end float", Place.ENGINE, "crank", "how far the crank can move fore and aft",
        "as read", "crank levered both ways, thrust faces oiled", (Need("crank end float"),), _single(None, "crank end float"),
        when_low="the thrust face wipes when hot", when_high="the clutch or converter hammers the thrust face; timing wanders",
        remedy=by_size("thinner thrust washers, for {by} more", "thicker thrust washers, for {by} less"),
        practice=lambda job, position: practice.practice("by size of engine", 30e-6, 200e-6),
    ),
    Fit(
        "rod side", Place.THROW, "crank", "axial room of the rod, or of the pair of rods, on its throw",
        "as read", "crank-guided rods; a rod guided by the piston wants its maker's figure", (Need("rod side"),), _single(None, "rod side"),
        when_low="the rod's face scores the cheek", when_high="oil is thrown on the bores; a soft matter",
        remedy=by_size("have the rod's face ground by {by}", "a wider rod, for {by} less, or a signed concession"),
        practice=practice.rod_side,
    ),
    Fit(
        "piston to deck", Place.CYLINDER, "crank", "how far the piston stops below (+) or above (-) the deck",
        "mean of two readings on the pin axis", "on the pin axis at top dead centre", (Need("piston to deck"),), _piston_to_deck,
        when_low="the piston meets the head", when_high="compression and quench are lost",
        remedy=by_size("a thicker gasket, or a piston {by} lower", "have the deck skimmed by {by}, or a thinner gasket"),
        practice=lambda job, position: None, signed=True,
    ),
)  # fmt: skip
