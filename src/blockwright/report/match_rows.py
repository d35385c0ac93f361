"""What goes where, in words: a row a place, how good the set is, what else there is, what it misses, what to order."""

from __future__ import annotations

from dataclasses import dataclass

from blockwright.choices.matching.choosing import Bought, Match, Miss, as_placed
from blockwright.choices.matching.coin import coin
from blockwright.choices.matching.model import Chosen, Objective, Option, outside, width_of
from blockwright.choices.matching.of_job import Asked
from blockwright.choices.matching.orders import STEP_M, hone_order
from blockwright.engine.job import Job
from blockwright.engine.parts import PartKind, WorkOrder
from blockwright.engine.positions import position
from blockwright.engine.rules import Units
from blockwright.fits.words import Scale, runs, say
from blockwright.metrology.verdict import Rule, Verdict, decide, expanded

TITLE = {
    "pistons": "Pistons to bores", "ring sets": "Ring sets to bores", "main shells": "Shells to mains", "rod shells": "Shells to rods",
    "rods": "Rods to cylinders",
}  # fmt: skip
ONE = {
    "pistons": "piston", "ring sets": "ring set", "main shells": "pair of shells", "rod shells": "pair of shells", "rods": "rod",
}  # fmt: skip
SIZE_OF = {"pistons": "skirt", "main shells": "two walls together", "rod shells": "two walls together"}
"""What is bought, and which of its sizes is the room less the aim."""
TENTH_M = 2.54e-6
MOST_TO_READ = 4


@dataclass(frozen=True)
class MatchRow:
    """One place: what goes there, what is there now, the fit it makes, how far that is from the aim, and how it stands."""

    place: str
    parts: str
    now: str
    value: str
    off: str
    words: str


@dataclass(frozen=True)
class MatchSaid:
    """All that is said of one choice: `good` of the set itself, `other` of other sets, `missed` and `orders` of what it lacks, `first` to read."""

    title: str
    rows: tuple[MatchRow, ...]
    good: tuple[str, ...]
    other: tuple[str, ...]
    missed: tuple[str, ...]
    orders: tuple[str, ...]
    first: tuple[str, ...]


def said(job: Job, asked: Asked, match: Match) -> MatchSaid:
    """A choice in words."""
    by = "mass" if asked.by_mass else asked.fit
    rows = tuple(_row(job, asked, option) for option in match.best.options)
    good = (*_good(asked, match), *match.notes) if match.best.options else ()
    orders = tuple(order_words(job, order) for order in orders_of(job, asked, match))
    missed = tuple(_missed(job, asked, miss) for miss in match.missing)
    return MatchSaid(
        f"{TITLE[asked.what]}, by {by}",
        rows,
        good,
        tuple(_other(job, asked, match)),
        missed,
        orders,
        tuple(_first(asked)),
    )


def orders_of(job: Job, asked: Asked, match: Match) -> tuple[WorkOrder, ...]:
    """Bores to hone: for the part that comes nearest where none fits, and for a chosen one that lies under a soft limit."""
    if asked.what != "pistons":
        return ()
    wanted = [miss.nearest for miss in match.missing if miss.nearest] + list(match.outside)
    step = STEP_M if job.rules.units is Units.METRIC else TENTH_M
    block, plate = job.only(PartKind.BLOCK), job.engine.torque_plate
    found = (
        hone_order(block, number_of(option.place), asked.rooms[option.place], option, plate=plate, step_m=step)
        for option in wanted
    )
    return tuple(order for order in found if order is not None)


def number_of(place: str) -> int:
    """`cylinder 3` -> 3."""
    at = position(place)
    assert at is not None
    return at.number


def order_words(job: Job, order: WorkOrder) -> str:
    """`hone bore 2 to 86.043..86.048 mm for P4, plate on`."""
    low, high = (say(job, value, Scale.SIZE) for value in (order.low_si or 0.0, order.high_si or 0.0))
    verb, _, rest = order.work.partition(" ")
    return f"{verb} {order.feature} {order.at.rpartition(' ')[2]} to {low.split()[0]}..{high} {rest}"


def share(deviation: float) -> str:
    """A deviation in parts of the limits' width."""
    return f"{100.0 * deviation:.3g} %" if deviation < 1.0 else f"{100.0 * deviation:.0f} %"


def standing(job: Job, option: Option) -> str:
    """How the fit stands by the shop's rule."""
    if option.value is None or option.mended:
        return option.mended
    limits = option.limits
    verdict = decide(option.value, limits.low_value, limits.high_value, Rule(job.rules.level, job.rules.acceptance))
    if verdict is Verdict.UNDECIDED:
        return "cannot be told"
    off = outside(option)
    return "inside" if not off else ("too small" if off < 0.0 else "too large")


def _row(job: Job, asked: Asked, option: Option) -> MatchRow:
    now = asked.present.get(option.place, ())
    told = "as now" if set(now) == set(option.uses) else (f"now {' '.join(now)}" if now else "now none")
    value = off = ""
    if option.value is not None:
        u = option.value.u
        value = f"{say(job, option.value.value, Scale.CLEARANCE, u=u)} ± {say(job, expanded(option.value), Scale.CLEARANCE, u=u).split()[0]}"
        off = say(job, option.deviation * (width_of(option.limits) or 0.0), Scale.CLEARANCE, u=u, signed=True).split()[
            0
        ]
    elif option.mass_kg is not None:
        value = _grams(option.mass_kg)
    return MatchRow(option.place, " ".join(option.uses), told, value, off, standing(job, option))


def _grams(mass_kg: float) -> str:
    return f"{1e3 * mass_kg:.1f} g"


def _good(asked: Asked, match: Match) -> list[str]:
    objective, weighed = match.best.objective, all(option.mass_kg is not None for option in match.best.options)
    found = []
    if not asked.by_mass:
        farthest = max(match.best.options, key=lambda option: option.steps)
        worst = share(objective.worst_deviation)
        found.append(
            f"Farthest from its aim: {farthest.place}, by {worst} of the limits' width. The sum is {share(objective.total_deviation)}."
        )
    if weighed:
        found.append(f"The heaviest and the lightest differ by {_grams(objective.spread_kg)}.")
    found.append(
        "No other set is better: this is proven." if match.proven else "It was not proven that no other set is better."
    )
    return found


def _other(job: Job, asked: Asked, match: Match) -> list[str]:
    found = [_now(asked, match)] if match.best.options else []
    if match.second is not None and match.coin is not None:
        moved = [option for option in match.second.options if match.best.at(option.place) is None
                 or match.best.at(option.place).uses != option.uses]  # type: ignore[union-attr] # fmt: skip
        what = ", ".join(f"{' '.join(option.uses)} in {option.place}" for option in moved) or "a place left empty"
        worse = _worse(match.second.objective, match.best.objective, asked)
        chance = _chance(match.coin.chance)
        alike = match.second.objective == match.best.objective
        toss = " That is a coin-toss: take either." if match.coin.is_toss else ""
        told = (
            ""
            if alike or asked.by_mass
            else f" With the readings' errors the chance that it is truly better is {chance}.{toss}"
        )
        found.append(f"Second best: {what}. {worse}{told}")
    elif match.best.options:
        found.append("There is no second best: no other set fills as many places.")
    if match.bought is not None and not asked.by_mass and match.bought.objective.empty == match.best.objective.empty:
        found.append(_bought(job, asked, match.bought))
    return found


def _chance(chance: float) -> str:
    return "under 1 %" if chance < 0.01 else f"{100.0 * chance:.0f} %"


def _now(asked: Asked, match: Match) -> str:
    placed = as_placed(asked.table, asked.present)
    if placed is None:
        return "As assigned now it will not do: a place is without a part, or holds one that must not be there."
    if [each.key for each in placed.options] == [each.key for each in match.best.options]:
        return "They are assigned so already."
    if placed.objective == match.best.objective:
        return "As they are assigned now they are just as good: leave them."
    told = f"As they are assigned now: {_objective(placed.objective, asked)}."
    if not asked.by_mass and (toss := coin(match.best, placed)).is_toss:
        return f"{told} With the readings' errors that is truly better with a chance of {_chance(toss.chance)}: a coin-toss, leave them."
    return told


def _objective(objective: Objective, asked: Asked) -> str:
    mass = f"masses {_grams(objective.spread_kg)} apart" if objective.spread else ""
    if asked.by_mass:
        return mass or "masses alike"
    told = f"the farthest by {share(objective.worst_deviation)}, the sum {share(objective.total_deviation)}"
    return f"{told}, {mass}" if mass else told


def _worse(second: Objective, best: Objective, asked: Asked) -> str:
    if second == best:
        return "It is just as good; the first in order of marks was taken."
    return f"{_objective(second, asked)[:1].upper()}{_objective(second, asked)[1:]}."


def _bought(job: Job, asked: Asked, bought: Bought) -> str:
    size = wanted_size(asked, bought.place)
    told = f", {SIZE_OF[asked.what]} {say(job, size, Scale.SIZE)}" if size is not None else " on its aim"
    instead = f" (in place of {' '.join(bought.instead_of)})" if bought.instead_of else ""
    return f"One {ONE[asked.what]} bought for {bought.place}{told}{instead}, would make it: {_objective(bought.objective, asked)}."


def wanted_size(asked: Asked, place: str) -> float | None:
    """The size that a part for a place would have on its aim: the room less the aim; `None` where that is not one size."""
    aim = next(
        (
            option.limits.aim
            for option in asked.table.options
            if option.place == place and option.limits.aim is not None
        ),
        None,
    )
    if asked.what not in SIZE_OF or place not in asked.rooms or aim is None:
        return None
    return asked.rooms[place].value - aim


def _missed(job: Job, asked: Asked, miss: Miss) -> str:
    size = wanted_size(asked, miss.place)
    buy = (
        f" Wanted: a {ONE[asked.what]}, {SIZE_OF[asked.what]} {say(job, size, Scale.SIZE)}." if size is not None else ""
    )
    if miss.nearest is None:
        return f"{miss.place}: no part is left for it.{buy}"
    by = say(job, abs(miss.nearest.miss), Scale.CLEARANCE)
    return f"{miss.place}: no part that is left may go there. Nearest is {' '.join(miss.nearest.uses)}, {by} {miss.nearest.barred}.{buy}"


def _first(asked: Asked) -> list[str]:
    found = []
    if asked.unread:
        found.append(f"Not chosen for, since readings are missing: {runs(asked.unread)}.")
    if asked.unlimited:
        found.append(f"Not chosen for, since no limits say where to aim: {runs(asked.unlimited)}.")
    if asked.missing:
        more = len(asked.missing) - MOST_TO_READ
        listed = "; ".join(asked.missing[:MOST_TO_READ])
        found.append(f"Still to read before all can be compared: {listed}{f'; and {more} more' if more > 0 else ''}.")
    return found


def chosen_json(chosen: Chosen) -> dict[str, object]:
    """A set as JSON: SI numbers, deviations in parts of the limits' width."""
    return {
        **objective_json(chosen.objective),
        "places": [
            {
                "at": option.place, "parts": list(option.uses), "deviation": option.deviation,
                "value_m": option.value.value if option.value else None,
                "standard_uncertainty_m": option.value.u if option.value else None,
                "mass_kg": option.mass_kg,
            }
            for option in chosen.options
        ],
    }  # fmt: skip


def objective_json(objective: Objective) -> dict[str, object]:
    """How good a set is, as JSON."""
    return {
        "empty": objective.empty, "worst_deviation": objective.worst_deviation, "sum_of_deviations": objective.total_deviation,
        "mass_spread_kg": objective.spread_kg,
    }  # fmt: skip


def match_json(job: Job, asked: Asked, match: Match) -> dict[str, object]:
    """A choice as JSON."""
    bought = match.bought
    return {
        "what": asked.what,
        "fit": asked.fit,
        "by_mass": asked.by_mass,
        "best": chosen_json(match.best),
        "proven": match.proven,
        "bound": objective_json(match.bound),
        "second": match.second and chosen_json(match.second),
        "second_truly_better": match.coin
        and {
            "chance": match.coin.chance,
            "standard_error": match.coin.standard_error,
            "alike": match.coin.alike,
            "coin_toss": match.coin.is_toss,
        },
        "missing": [
            {
                "at": miss.place,
                "nearest": list(miss.nearest.uses) if miss.nearest else [],
                "miss_m": miss.nearest.miss if miss.nearest else None,
            }
            for miss in match.missing
        ],
        "bought": None if bought is None else _bought_json(asked, bought),
        "orders": [
            {
                "part": each.part,
                "feature": each.feature,
                "at": each.at,
                "work": each.work,
                "low_m": each.low_si,
                "high_m": each.high_si,
            }
            for each in orders_of(job, asked, match)
        ],
        "free": list(match.free),
        "unread": list(asked.unread),
        "unlimited": list(asked.unlimited),
        "to_read": list(asked.missing),
        "notes": list(match.notes),
    }


def _bought_json(asked: Asked, bought: Bought) -> dict[str, object]:
    size = wanted_size(asked, bought.place)
    return {
        "at": bought.place,
        "size_m": size,
        "instead_of": list(bought.instead_of),
        **objective_json(bought.objective),
    }
