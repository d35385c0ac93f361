"""Bearings at work as rows and sentences: film, peak pressure, loss, flow, temperature, the window of clearance, other oils."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from blockwright.fits.words import runs
from blockwright.quantities import Kind, show
from blockwright.report.work.hot import FILM_U_M, HotStory, weights_words
from blockwright.report.work.numbers import Shop, a_minute, plainly, sentence, spread
from blockwright.running.work.result import BearingTold, OilTried, Window, Work

CLEARANCE_U_M = 8e-6
"""How finely a clearance is shown that has no spread of its own."""
DEGREE_K = 3.0
"""So that temperatures of tables and windows are shown to whole degrees."""


@dataclass(frozen=True)
class BearingRow:
    """One bearing. Numbers bear no unit: those of the clearances and the film are `Shop`'s, then MPa, kW, L/min, °C. `thin`: the film lies
    under the roughness that it must clear, at its best value or somewhere in its span.
    """

    name: str
    fit: str
    at: str
    cold: str
    hot: str
    film: str
    peak: str
    specific: str
    loss: str
    flow: str
    temperature: str
    out: str
    read: bool
    thin: bool
    window: str


@dataclass(frozen=True)
class OilRow:
    """What the bearing with the thinnest film would do on another grade."""

    grade: str
    film: str
    temperature: str
    loss: str


@dataclass(frozen=True)
class Films:
    """Bearings of one kind: rows, what is to be said of them, and the oils tried on the one with the thinnest film."""

    name: str
    rows: tuple[BearingRow, ...]
    sayings: tuple[str, ...]
    oils: tuple[OilRow, ...]
    oils_of: str
    unread: str
    """Those whose clearance was not measured, and was taken at the middle of its limits."""


def films(work: Work, shop: Shop) -> tuple[Films, ...]:
    """Every bearing, a block a kind of fit."""
    return tuple(_films(list(each), shop) for _, each in groupby(work.bearings, key=lambda told: told.fit))


def _films(bearings: list[BearingTold], shop: Shop) -> Films:
    thinnest = min(bearings, key=lambda told: told.film_m.value)
    name = "main bearings" if bearings[0].fit.startswith("main") else "rod bearings"
    oils = tuple(_oil(tried, shop) for tried in thinnest.oils)
    rows = tuple(_row(told, shop) for told in bearings)
    unread = (
        runs([told.position for told in bearings if not told.read]) if not all(each.read for each in bearings) else ""
    )
    return Films(name, rows, tuple(_sayings(bearings, thinnest, shop)), oils, thinnest.position, unread)


def _row(told: BearingTold, shop: Shop) -> BearingRow:
    thin = told.film_m.value < told.roughness_m or (told.film_m.drawn and told.film_m.low < told.roughness_m)
    return BearingRow(
        name=told.name,
        fit=told.fit,
        at=told.position,
        cold=show(told.cold_m.value, Kind.LENGTH, shop.clearance, u=told.cold_m.sd or CLEARANCE_U_M, with_unit=False),
        hot=spread(told.hot_m, Kind.LENGTH, shop.clearance, with_unit=False),
        film=spread(told.film_m, Kind.LENGTH, shop.film, with_unit=False),
        peak=spread(told.peak_pa, Kind.PRESSURE_STEP, "MPa", with_unit=False),
        specific=plainly(told.specific_pa, Kind.PRESSURE_STEP, "MPa"),
        loss=spread(told.loss_w, Kind.POWER, "kW", with_unit=False),
        flow=spread(a_minute(told.flow_m3_s), Kind.VOLUME, "L", with_unit=False),
        temperature=spread(told.temperature_c, Kind.TEMPERATURE, "°C", with_unit=False),
        out=spread(told.out_c, Kind.TEMPERATURE, "°C", with_unit=False),
        read=told.read,
        thin=thin,
        window=window_words(told.window, shop),
    )


def _oil(tried: OilTried, shop: Shop) -> OilRow:
    return OilRow(
        tried.grade,
        plainly(tried.film_m, Kind.LENGTH, shop.film),
        plainly(tried.temperature_c, Kind.TEMPERATURE, "°C", u=DEGREE_K),
        plainly(tried.loss_w, Kind.POWER, "kW"),
    )


def window_words(window: Window | None, shop: Shop) -> str:
    """Between which clearances film and oil keep their bounds, in words."""
    if window is None:
        return "no clearance that was tried keeps film and temperature within their bounds"
    least, most = (
        None if end is None else show(end, Kind.LENGTH, shop.clearance, u=CLEARANCE_U_M, with_unit=False)
        for end in (window.least_m, window.most_m)
    )
    unit = shop.clearance
    if least is not None and most is not None:
        span = f"{least} to {most} {unit}"
    elif most is not None:
        span = f"up to {most} {unit}"
    else:
        span = f"from {least} {unit} up" if least is not None else "every clearance that was tried"
    film = show(window.film_bound_m, Kind.LENGTH, shop.film, u=FILM_U_M)
    cool, hot = (
        show(each, Kind.TEMPERATURE, "°C", u=DEGREE_K, with_unit=False) for each in (window.coolest_c, window.hottest_c)
    )
    return f"{span} keeps the film over {film} and the oil within {cool} to {hot} °C"


def _sayings(bearings: Sequence[BearingTold], thinnest: BearingTold, shop: Shop) -> Iterator[str]:
    """What a table cannot say, the same of several bearings once."""
    where = thinnest.position
    film = spread(thinnest.film_m, Kind.LENGTH, shop.film)
    yield f"Thinnest at {where}: {film}, {thinnest.film_at_deg:.0f}° of the crank; {_clears(thinnest, shop)}."
    if words := weights_words(thinnest.weights):
        yield f"Its spread comes from: {words}."
    windows: dict[str, list[str]] = {}
    for told in bearings:
        windows.setdefault(window_words(told.window, shop), []).append(told.position)
    for words, at in windows.items():
        yield sentence(f"{words}{f' ({runs(at)})' if len(windows) > 1 else ''}")
    yield from _reserves(bearings)


def _clears(told: BearingTold, shop: Shop) -> str:
    roughness = plainly(told.roughness_m, Kind.LENGTH, shop.film)
    return f"shell and journal together are {roughness} rough ({told.roughness_origin})"


def _reserves(bearings: Sequence[BearingTold]) -> Iterator[str]:
    reserves = (
        ([each.position for each in bearings if not each.measures],
         "Pressed so hard that the film only ranks one bearing against another, and is no measure: {at}."),
        ([each.position for each in bearings if not each.settled], "The orbit had not come to rest when it was stopped: {at}."),
    )  # fmt: skip
    for at, words in reserves:
        if at:
            yield words.format(at=runs(at))


def film_stories(work: Work, fit: str, position: str, shop: Shop) -> tuple[HotStory, ...]:
    """What is to be said of a bearing's clearance at work: its oil film; empty where the fit is no bearing's."""
    return tuple(_story(told, shop) for told in work.bearings if (told.fit, told.position) == (fit, position))


def _story(told: BearingTold, shop: Shop) -> HotStory:
    row = _row(told, shop)
    lines = (
        (
            "film",
            f"{row.film} {shop.film} at its thinnest, {told.film_at_deg:.0f}° of the crank; {_clears(told, shop)}",
        ),
        ("peak", f"{row.peak} MPa in the oil, {row.specific} over the bearing's own area"),
        ("oil", f"{row.temperature} °C in the film, {row.out} °C as it leaves, {row.flow} L/min, {row.loss} kW"),
        ("window", row.window),
        ("note", "" if told.read else "its clearance was not measured: it is taken at the middle of its limits"),
        ("note", "" if told.measures else "pressed so hard that the film only ranks one bearing against another"),
        ("note", "" if told.settled else "the orbit had not come to rest when it was stopped"),
    )
    told_lines = tuple((name, text) for name, text in lines if text)
    return HotStory("clearance of the bearing, hot", f"{row.hot} {shop.clearance}", "", "", None, told_lines)
