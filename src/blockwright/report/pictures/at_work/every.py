"""Every picture of an engine at work by its name, in the order in which they are looked at."""

from __future__ import annotations

from collections.abc import Iterator

from blockwright.report.pictures.at_work.balance import balance_picture
from blockwright.report.pictures.at_work.clearance import clearance_picture
from blockwright.report.pictures.at_work.films import films_picture
from blockwright.report.pictures.at_work.gap_map import map_picture
from blockwright.report.pictures.at_work.heat import heat_picture
from blockwright.report.pictures.at_work.hot_fits import hot_picture
from blockwright.report.pictures.at_work.labels import dashed
from blockwright.report.pictures.at_work.lands import rings_picture
from blockwright.report.pictures.at_work.orbits import orbits_picture
from blockwright.report.pictures.at_work.pressure import pressure_picture
from blockwright.report.pictures.at_work.thrust import thrust_picture
from blockwright.running.work.result import HotFit, Work


def work_pictures(work: Work, *, unit: str) -> Iterator[tuple[str, str]]:
    """Names and pictures (SVG texts) of an engine at work; what could not be worked out has none. Lengths in `unit`.

    Raises QuantityError for a unit that is no length.
    """
    yield "work-pressure", pressure_picture(work)
    if work.nodes:
        yield "work-heat", heat_picture(work)
    for name, fits in by_fit(work.fits).items():
        yield f"work-hot-{dashed(name)}", hot_picture(fits, unit=unit)
    yield "work-thrust", thrust_picture(work)
    yield "work-balance", balance_picture(work)
    if work.bearings:
        yield "work-orbits", orbits_picture(work)
        yield "work-films", films_picture(work)
    for bearing in work.bearings:
        yield f"work-clearance-{dashed(bearing.name)}", clearance_picture(bearing, unit=unit)
    for rings in work.rings:
        yield f"work-rings-{dashed(rings.position)}", rings_picture(rings, unit=unit)
    if work.gap_map is not None:
        yield "work-gap-map", map_picture(work.gap_map, unit=unit)


def by_fit(fits: tuple[HotFit, ...]) -> dict[str, list[HotFit]]:
    """The hot fits by the cold fit that they belong to, in the order given."""
    found: dict[str, list[HotFit]] = {}
    for fit in fits:
        found.setdefault(fit.fit, []).append(fit)
    return found
