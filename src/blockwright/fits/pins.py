"""Fits of pin, piston and rod ends: pin in piston, in bush, pressed; end play; small-end and big-end size."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from blockwright.engine.job import Job
from blockwright.engine.layout import Engine, PinHold
from blockwright.engine.positions import Place, Position
from blockwright.engine.rules import Side
from blockwright.fits import practice
from blockwright.fits.fit import Fit, Found, Need, WorkOut
from blockwright.fits.limits import Offer
from blockwright.fits.remedies import always, by_size
from blockwright.fits.sizes import Sizes, gathered
from blockwright.fits.words import Scale
from blockwright.metrology.estimate import mean, reach
from blockwright.metrology.evaluate import Size

BIG_END_STATE = frozenset({"caps torqued", "shells out"})


def _floating(engine: Engine) -> bool:
    return engine.pin is PinHold.FLOATING


def _pressed(engine: Engine) -> bool:
    return engine.pin is PinHold.PRESSED


def _pin_size(engine: Engine) -> float | None:
    return engine.pin_m


def _small_end_size(engine: Engine) -> float | None:
    return engine.small_end_m or engine.pin_m


def _place(feature: str, mark: str, spots: Mapping[str, Size], *, largest: bool) -> tuple[str, Size]:
    """The largest or smallest place of a feature, with its name."""
    name = (max if largest else min)(spots, key=lambda spot: spots[spot].estimate.value)
    return f"{feature} of {mark}, {name}", spots[name]


def _hole_and_pin(
    part: str, hole: str, sizes: Sizes, position: Position
) -> list[tuple[tuple[str, Size], tuple[str, Size]]]:
    """Hole and pin where they are tightest, then where they are loosest."""
    parts = sizes.job.in_cylinder(position.number)
    holder = getattr(parts, part)
    bores, pins = gathered(lambda: sizes.of(holder, hole), lambda: sizes.of(parts.pin, "pin"))
    return [
        (_place(hole, holder, bores, largest=loose), _place("pin", parts.pin, pins, largest=not loose))
        for loose in (False, True)
    ]


def _room(part: str, hole: str) -> WorkOut:
    """Tightest room of the pin in a hole."""

    def work_out(sizes: Sizes, position: Position) -> Found:
        (hole_name, bore), (pin_name, pin) = _hole_and_pin(part, hole, sizes, position)[0]
        used = ((hole_name, bore), (pin_name, pin))
        return Found(bore.estimate - pin.estimate, used, f"{hole_name} against {pin_name}")

    return work_out


def _press(sizes: Sizes, position: Position) -> Found:
    """Interference of the pin in the rod's eye, where it is greatest and where it is least."""
    places = [
        Found(pin.estimate - bore.estimate, ((hole_name, bore), (pin_name, pin)), f"{pin_name} in {hole_name}")
        for (hole_name, bore), (pin_name, pin) in _hole_and_pin("rod", "small end", sizes, position)
    ]
    return replace(places[0], also=(places[1],))


def _end_play(sizes: Sizes, position: Position) -> Found:
    parts = sizes.job.in_cylinder(position.number)
    room, length = gathered(lambda: sizes.one(parts.piston, "pin room"), lambda: sizes.one(parts.pin, "pin length"))
    return Found(room.estimate - length.estimate, (("pin room", room), ("pin length", length)))


def _mean_size(feature: str, state: frozenset[str] = frozenset()) -> WorkOut:
    def work_out(sizes: Sizes, position: Position) -> Found:
        spots = sizes.of(sizes.job.in_cylinder(position.number).rod, feature, state=state)
        return Found(mean(size.estimate for size in spots.values()), tuple(spots.items()), "mean of all directions")

    return work_out


def _big_end_round(sizes: Sizes, position: Position) -> Found:
    spots = sizes.of(sizes.job.in_cylinder(position.number).rod, "big end", state=BIG_END_STATE)
    estimates = [size.estimate for size in spots.values()]
    return Found(reach(estimates), tuple(spots.items()), "largest less smallest direction")


def _pin_in_piston(job: Job, position: Position) -> Offer:
    if practice.forged(job, position):
        return practice.practice("forged piston", 10e-6, 20e-6)
    return practice.practice("production piston", 5e-6, 13e-6)


FITS = (
    Fit(
        "pin in piston", Place.CYLINDER, "pins", "room of the pin in the piston's bosses, on the diameter",
        "pin bore - pin", "tighter boss against the thickest place of the pin",
        (Need("pin bore"), Need("pin")), _room("piston", "pin bore"),
        when_low="the pin sticks, the piston cocks and scuffs beside the pin", when_high="knocks, and wears the bosses",
        remedy=by_size("hone the bosses by {by}", "another pin, {by} thicker"),
        practice=_pin_in_piston, size=_pin_size,
    ),
    Fit(
        "pin in bush", Place.CYLINDER, "pins", "room of the pin in the rod's bush, on the diameter",
        "small end - pin", "tighter direction of the bush against the thickest place of the pin",
        (Need("small end"), Need("pin")), _room("rod", "small end"),
        when_low="the pin seizes in the bush", when_high="knocks, and hammers the bush",
        remedy=by_size("hone the bush by {by}", "a new bush, honed to {to} of room"),
        practice=lambda job, position: practice.practice("floating pin in a bush", 13e-6, 25e-6),
        size=_pin_size, applies=_floating,
    ),
    Fit(
        "pin press", Place.CYLINDER, "pins", "interference of the pin pressed into the rod, on the diameter",
        "pin - small end", "tightest place of eye and pin for the high side, loosest for the low side",
        (Need("small end"), Need("pin")), _press,
        when_low="the pin walks out and scores the bore", when_high="the eye is overstressed and may split",
        remedy=by_size("another pin, {by} thicker, or another rod", "hone the eye by {by}"),
        practice=lambda job, position: practice.practice("pressed pin", 20e-6, 40e-6),
        size=_pin_size, hard=Side.BOTH, applies=_pressed,
    ),
    Fit(
        "pin end play", Place.CYLINDER, "pins", "how far the pin can slide between its clips",
        "pin room - pin length", "clips fitted and seated; the clip maker's figure rules",
        (Need("pin room"), Need("pin length")), _end_play,
        when_low="the clips carry load when hot and jump out", when_high="the pin hammers its clips out",
        remedy=by_size("shorten the pin by {by}", "another pin, {by} longer, or thicker clips"),
        hard=Side.BOTH, applies=_floating, signed=True,
    ),
    Fit(
        "small-end size", Place.CYLINDER, "pins", "bore of the rod's small end",
        "mean of two directions", "mean", (Need("small end"),), _mean_size("small end"),
        when_low="see pin in bush", when_high="see pin in bush",
        remedy=by_size("hone by {by}", "a new bush, honed to {to}", Scale.SIZE), scale=Scale.SIZE, size=_small_end_size,
        hard=Side.BOTH, on_request=True,
    ),
    Fit(
        "big-end size", Place.CYLINDER, "pins", "big-end bore, shells out, bolts torqued",
        "mean of three directions", "mean", (Need("big end", lambda engine: BIG_END_STATE),), _mean_size("big end", BIG_END_STATE),
        when_low="too much crush: the shell bows in at the parting line", when_high="too little crush: the shell spins",
        remedy=by_size("have the big end honed by {by}", "have the cap ground and the big end resized to {to}", Scale.SIZE),
        scale=Scale.SIZE, size=lambda engine: engine.big_end_m, hard=Side.BOTH, on_request=True,
    ),
    Fit(
        "big-end out-of-round", Place.CYLINDER, "pins", "difference between the directions of the big end, shells out, bolts torqued",
        "largest - smallest of three directions", "three directions, 45° apart from the parting line",
        (Need("big end", lambda engine: BIG_END_STATE),), _big_end_round,
        when_low="", when_high="the shell takes the shape of the hole: the film breaks at the parting line",
        remedy=always("have the big end resized round"),
        practice=lambda job, position: practice.practice("resized big end", high=practice.JOURNAL_FORM_M),
        hard=Side.HIGH, on_request=True,
    ),
)  # fmt: skip
