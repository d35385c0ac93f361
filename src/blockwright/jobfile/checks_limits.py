"""Limits that cannot be used: of a fit that does not exist, unsigned, upside down, said twice, or silent."""

from __future__ import annotations

import math
from collections.abc import Iterator

from blockwright.engine.rules import Authority, LimitRow, LimitRule
from blockwright.fits.fit import Fit
from blockwright.fits.registry import REGISTRY
from blockwright.fits.words import Scale
from blockwright.jobfile.known import Known
from blockwright.jobfile.near import meant_place
from blockwright.jobfile.records import unknown_name
from blockwright.jobfile.spans import doubt, limit_span
from blockwright.jobfile.where import Where
from blockwright.physics.iso286 import limits_of_size
from blockwright.quantities.errors import excerpt

SIDES = ("low", "aim", "high")
LARGEST_PER_SIZE = 0.05
"""A twentieth of the bore: no fit is so wide (assumed)."""


def limit_problems(known: Known) -> None:
    """Faults of the limits, put down at their places."""
    said: dict[tuple[str, str, Authority, str], int] = {}
    for index, rule in enumerate(known.job.sheet.limit):
        here = known.sheet_at.at("limit", index)
        fit = REGISTRY.get(rule.fit)
        if fit is None:
            if here.at("fit").sound:
                here.at("fit").put(unknown_name("fit", rule.fit))
            continue
        _place(known, rule, fit, here)
        _signature(rule, here)
        if here.sound and not rule.tolerance_class and not any(_says(rule, side) for side in SIDES):
            here.say("limit-silent", "the limit says nothing.", "Write low, aim or high, or strike it out.")
        for field, what, mend in _values(rule):
            if here.at(field).sound:
                here.at(field).say("limit-values", what, mend)
        _plausible(known, rule, fit, here)
        _size(known, rule, fit, here)
        _tolerance_class(known, rule, fit, here)
        _said_twice(rule, here, index, said)


def _place(known: Known, rule: LimitRule, fit: Fit, here: Where) -> None:
    positions = known.positions(fit.place)
    if rule.at and positions is not None and rule.at not in positions:
        what = f"{fit.name} has no '{excerpt(rule.at)}' in this engine."
        here.at("at").say("at-unknown", what, meant_place(rule.at, positions, "Possible"))


def _signature(rule: LimitRule, here: Where) -> None:
    if not here.at("authority").sound:
        return
    if rule.authority in (Authority.PRACTICE, Authority.COMPUTED):
        what = f"limits by '{rule.authority}' are this program's own."
        here.at("authority").say("limit-authority", what, "Write builder, part maker or engine manual.")
    elif rule.authority is Authority.BUILDER:
        for field in ("by", "why"):
            if not getattr(rule, field) and here.at(field).sound:
                mend = "Write who says so and why." if field == "by" else "Write the reason."
                here.at(field).say("limit-unsigned", f"a builder's own rule needs '{field}'.", mend)


def _says(rule: LimitRule, side: str) -> bool:
    """Whether a rule limits this side, in any of the three ways."""
    plain = (getattr(rule, f"{side}_si"), getattr(rule, f"{side}_per_size"))
    return any(value is not None for value in (*plain, *(getattr(row, f"{side}_si") for row in rule.by_size)))


def _values(rule: LimitRule) -> Iterator[tuple[str, str, str]]:
    """What is wrong with a rule's values: the field, what, and the mend."""
    rows: tuple[LimitRule | LimitRow, ...] = (rule, *rule.by_size)
    for row in rows:
        yield from _order(row, "_si")
    rates = {side: rate for side in SIDES if (rate := getattr(rule, f"{side}_per_size")) is not None}
    if all(abs(rate) <= LARGEST_PER_SIZE for rate in rates.values()):
        yield from _order(rule, "_per_size")
    for side, rate in rates.items():
        if abs(rate) > LARGEST_PER_SIZE:
            what = f"{rate:g} of the size is far too much for a clearance."
            yield f"{side}_per_size", what, "4.5 thou an inch is written 0.0045, or 4.5 thou/in."
        elif getattr(rule, f"{side}_si") is not None:
            yield f"{side}_per_size", f"{side} is given as a size and per size.", "Keep one of the two."
    sizes = [row.to_m for row in rule.by_size]
    if len(set(sizes)) < len(sizes):
        yield "by_size", "two lines of the table go up to the same size.", "Mend one."


def _order(row: LimitRule | LimitRow, ending: str) -> Iterator[tuple[str, str, str]]:
    low, aim, high = (getattr(row, f"{side}{ending}") for side in SIDES)
    field = "by_size" if isinstance(row, LimitRow) else f"low{ending.removesuffix('_si')}"
    if low is not None and high is not None and low >= high:
        yield field, "low is not below high.", "Exchange them, or mend one."
    elif aim is not None and not (-math.inf if low is None else low) <= aim <= (math.inf if high is None else high):
        yield field.replace("low", "aim"), "the aim lies outside low and high.", "Mend one of them."


def _plausible(known: Known, rule: LimitRule, fit: Fit, here: Where) -> None:
    """Ask about values that no such fit has: 90 mm of wall clearance."""
    engine = known.job.engine if known.sheet_at.at("engine").sound else None
    span = limit_span(fit, engine)
    rows: list[tuple[LimitRule | LimitRow, Where]] = [(rule, here)]
    rows += [(row, here.at("by_size", index)) for index, row in enumerate(rule.by_size)]
    for row, place in rows:
        for side in SIDES:
            asked = doubt(row, side, fit.kind, span, f"{fit.name} {side}")
            if asked is not None and place.at(side).sound:
                place.at(side).put(asked)


def _size(known: Known, rule: LimitRule, fit: Fit, here: Where) -> None:
    per_size = [side for side in SIDES if getattr(rule, f"{side}_per_size") is not None]
    field = f"{per_size[0]}_per_size" if per_size else "by_size"
    if not (per_size or rule.by_size) or not (here.at(field).sound and known.sheet_at.at("engine").sound):
        return
    if fit.size(known.job.engine) is None:
        what = f"a limit per size needs the nominal size for {fit.name}, and [engine] does not give it."
        here.at(field).say("limit-size", what, "Give the size in [engine], or write the limit as a size.")


def _tolerance_class(known: Known, rule: LimitRule, fit: Fit, here: Where) -> None:
    """A tolerance class needs a fit that is a size, its nominal size, and no other limits beside it."""
    field = here.at("tolerance_class")
    if not rule.tolerance_class or not (field.sound and known.sheet_at.at("engine").sound):
        return
    size = fit.size(known.job.engine)
    if fit.scale is not Scale.SIZE:
        field.say(
            "limit-class", f"{fit.name} is no size, so no tolerance class fits it.", "Write its limits as values."
        )
    elif size is None:
        field.say(
            "limit-size", f"a tolerance class needs the nominal size for {fit.name}.", "Give the size in [engine]."
        )
    elif any(_says(rule, side) for side in ("low", "high")):
        field.say("limit-values", "limits are given by a tolerance class and otherwise too.", "Keep one of the two.")
    else:
        try:
            limits_of_size(size, rule.tolerance_class)
        except ValueError as error:
            field.say("limit-class", f"{error}"[:200], "Write a class such as H6 or g6.")


def _said_twice(rule: LimitRule, here: Where, index: int, said: dict[tuple[str, str, Authority, str], int]) -> None:
    """Two rules of one authority for the same side of a fit: which one holds must not hang on their order."""
    for side in SIDES:
        if not _says(rule, side):
            continue
        first = said.setdefault((rule.fit, rule.at, rule.authority, side), index)
        if first != index and here.at("authority").sound:
            place = f" at {rule.at}" if rule.at else ""
            what = f"limit {first + 1} gives {side} for {excerpt(rule.fit)}{place} too, by the same authority ({rule.authority})."
            here.say(
                "limit-twice", what, "Keep the one that holds; or sign a rule of your own, which goes before both."
            )
            return
