"""Fits of a cylinder bore: wall clearance bare and coated, taper, out-of-round, bell-mouth, finish.

Form is not uncertainty: taper and out-of-round are what the bore is; they do not widen the clearance, they decide where it
governs. Out-of-round here is a difference of diameters (ISO roundness is radial).
"""

from __future__ import annotations

from collections.abc import Mapping

from blockwright.engine.layout import HEIGHTS, Engine
from blockwright.engine.parts import PartKind
from blockwright.engine.positions import Place, Position
from blockwright.engine.rules import Side
from blockwright.fits import practice
from blockwright.fits.fit import Fit, Found, Need, WorkOut
from blockwright.fits.remedies import always, by_size
from blockwright.fits.sizes import Sizes, both
from blockwright.fits.travel import mean_diameter, skirt_heights
from blockwright.fits.words import Scale
from blockwright.metrology.estimate import Estimate, combine
from blockwright.metrology.evaluate import Size
from blockwright.quantities import Kind

WAYS = ("thrust", "axial")


def bore_of(sizes: Sizes, position: Position) -> Mapping[str, Size]:
    """All six spots of a cylinder's bore, in the state this engine wants."""
    return sizes.of(sizes.part(PartKind.BLOCK), "bore", position, sizes.job.engine.bore_state)


def _bore_state(engine: Engine) -> frozenset[str]:
    return engine.bore_state


def _bore_size(engine: Engine) -> float:
    return engine.bore_m


def _wall(state: str) -> WorkOut:
    def work_out(sizes: Sizes, position: Position) -> Found:
        heights, note = skirt_heights(sizes.job.engine)
        piston = sizes.job.in_cylinder(position.number).piston
        bore, skirt = both(
            lambda: bore_of(sizes, position), lambda: sizes.one(piston, "skirt", state=frozenset({state}))
        )
        height = min(heights, key=lambda h: bore[f"{h} thrust"].estimate.value)
        governing = bore[f"{height} thrust"]
        used = ((f"bore {position.number}, {height} thrust", governing), (f"skirt, {state}", skirt))
        where = f"{height} of the bore, along the thrust axis"
        return Found(governing.estimate - skirt.estimate, used, where, (note,) if note else ())

    return work_out


def _spread_of(spots: Mapping[str, Size]) -> Found:
    """Largest less smallest of some spots, with what their readings share cancelled."""
    low, *_, high = sorted(spots, key=lambda name: spots[name].estimate.value)
    used = ((f"largest, {high}", spots[high]), (f"smallest, {low}", spots[low]))
    return Found(spots[high].estimate - spots[low].estimate, used, f"{high} against {low}")


def _widest(found: list[Found]) -> Found:
    return max(found, key=lambda each: each.estimate.value)


def _taper(sizes: Sizes, position: Position) -> Found:
    bore = bore_of(sizes, position)
    return _widest([_spread_of({f"{h} {way}": bore[f"{h} {way}"] for h in HEIGHTS}) for way in WAYS])


def _out_of_round(sizes: Sizes, position: Position) -> Found:
    bore = bore_of(sizes, position)
    return _widest([_spread_of({f"{h} {way}": bore[f"{h} {way}"] for way in WAYS}) for h in HEIGHTS])


def _bell_mouth(sizes: Sizes, position: Position) -> Found:
    bore = bore_of(sizes, position)
    middle = mean_diameter(bore, "middle")
    opened: dict[str, Estimate] = {h: combine([(1, mean_diameter(bore, h)), (-1, middle)]) for h in ("top", "bottom")}
    end = max(opened, key=lambda h: opened[h].value)
    used = tuple((f"{h} {way}", bore[f"{h} {way}"]) for h in (end, "middle") for way in WAYS)
    return Found(opened[end], used, f"{end} against the middle")


def _finish(sizes: Sizes, position: Position) -> Found:
    size = sizes.one(sizes.part(PartKind.BLOCK), "bore roughness", position)
    return Found(size.estimate, (("Rz", size),))


BORE_NEED = Need("bore", _bore_state)
FORM_PRACTICE = practice.practice("freshly honed bore", high=practice.FRESH_BORE_FORM_M)

FITS = (
    Fit(
        "wall clearance", Place.CYLINDER, "bores", "room between the bare skirt and the bore, on the diameter",
        "bore - skirt", "smallest bore diameter along the thrust axis within the skirt's travel; skirt in the same direction at its gauge height",
        (BORE_NEED, Need("skirt", lambda engine: frozenset({"bare"}))), _wall("bare"),
        when_low="scuffs, then seizes, when the piston is hot", when_high="knocks cold, rocks the rings, burns oil",
        remedy=by_size(
            "hone bore {at} by {by} on the diameter{plate}, or fit a piston {by} smaller", "fit a piston {by} larger, or bore to the next size",
        ),
        practice=practice.wall, size=_bore_size,
    ),
    Fit(
        "coated wall clearance", Place.CYLINDER, "bores", "room between the coated skirt and the bore, on the diameter",
        "bore - coated skirt", "as for the bare skirt; a coating that wears in may leave little or nothing",
        (BORE_NEED, Need("skirt", lambda engine: frozenset({"coated"}))), _wall("coated"),
        when_low="only the coating maker can say how tight is too tight", when_high="knocks cold until worn, and after",
        remedy=by_size("ask the coating's maker; hone bore {at} by {by} only if the bare clearance wants it too", "fit a piston {by} larger"),
        size=_bore_size, signed=True, on_request=True,
    ),
    Fit(
        "bore taper", Place.CYLINDER, "bores", "difference of diameter over the height of the bore, in one direction",
        "largest - smallest over three heights", "the worse of the two directions",
        (BORE_NEED,), _taper,
        when_low="", when_high="the ring gap opens and closes at every stroke; rings flutter and wear",
        remedy=always("hone bore {at} straight{plate}, then measure all six spots again"),
        practice=lambda job, position: FORM_PRACTICE, hard=Side.HIGH,
    ),
    Fit(
        "out-of-round", Place.CYLINDER, "bores", "difference of diameter between the two directions at one height",
        "larger - smaller of two directions", "the worst of three heights (a difference of diameters; ISO roundness is radial)",
        (BORE_NEED,), _out_of_round,
        when_low="", when_high="rings cannot follow the wall: blow-by and oil",
        remedy=always("hone bore {at} round{plate}, with the bolts and gasket of the real assembly"),
        practice=lambda job, position: FORM_PRACTICE, hard=Side.HIGH,
    ),
    Fit(
        "bell-mouth", Place.CYLINDER, "bores", "how much wider an end of the bore is than its middle",
        "mean of two directions at an end - mean at the middle", "the wider end",
        (BORE_NEED,), _bell_mouth,
        when_low="", when_high="skirt and rings lose the wall at the end of the stroke",
        remedy=always("hone bore {at} again with shorter over-travel at the wide end"),
        practice=lambda job, position: FORM_PRACTICE, hard=Side.HIGH, signed=True,
    ),
    Fit(
        "bore finish", Place.CYLINDER, "bores", "roughness Rz of the bore, along its axis",
        "Rz as read", "middle of the ring travel",
        (Need("bore roughness"),), _finish,
        when_low="holds no oil: rings scuff", when_high="wears the rings and burns oil",
        remedy=by_size(
            "hone bore {at} again with a coarser stone: wanted Rz {to}", "plateau bore {at} with a finer stone: wanted Rz {to}", Scale.ROUGHNESS,
        ),
        hard=Side.NEITHER, kind=Kind.ROUGHNESS, scale=Scale.ROUGHNESS, on_request=True,
    ),
)  # fmt: skip
