"""The numbers and pictures of the page on uncertainty: a bench with a bore gauge, a micrometer and blades, worked by the program itself.

Everything on this bench is invented; what follows from it is computed when the pages are built.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import count

from blockwright.materials import alloy
from blockwright.metrology.estimate import Cause, Estimate, Share, Source
from blockwright.metrology.evaluate import Expansion, Shop, Spot, Thermal, evaluate
from blockwright.metrology.gauges import Gauge, Sense, Setting
from blockwright.metrology.readings import Reading
from blockwright.metrology.repeats import Spread
from blockwright.metrology.verdict import Rule, best_possible, chances, decide, expanded
from blockwright.quantities import Kind, show
from blockwright.report.slot import Mark, svg_mark
from blockwright.report.story import CAUSE_WORDS
from house_pages.markdown import table

LOW_M, AIM_M, HIGH_M = 0.100e-3, 0.115e-3, 0.130e-3
RULE = Rule()
NOMINAL_M = 86e-3
SKIRT_M = 85.900e-3
REPEATS_M = 0.9e-6
STEP = 1e-6

GAUGES = {
    "BG1": Gauge(id="BG1", sense=Sense.DEVIATION, resolution_si=STEP, certificate_si=2e-6),
    "M75": Gauge(id="M75", resolution_si=STEP, certificate_si=2.5e-6),
    "M76": Gauge(id="M76", resolution_si=STEP, certificate_si=2.5e-6),
    "FB1": Gauge(id="FB1", sense=Sense.BLADES, certificate_si=5e-6),
}
SETTINGS = {
    mark: Setting(id=mark, gauge="BG1", size_m=NOMINAL_M, master="M75", master_temp_c=20.0) for mark in ("S1", "S2")
}
SPREADS = {mark: Spread(REPEATS_M, 18.0, "a study") for mark in GAUGES}
SHOP = Shop(GAUGES, SETTINGS, SPREADS)
NUMBERS = count(1)


@dataclass(frozen=True)
class Temperatures:
    """Of part and gauge, °C; `None` where nobody wrote one down."""

    part_c: float | None = 20.0
    gauge_c: float | None = 20.0


ROOM = Temperatures()


def bore(
    deviation_m: float, *, cylinder: int = 1, setting: str = "S1", repeats: int = 1, at: Temperatures = ROOM
) -> Estimate:
    """A bore of grey iron by the bore gauge."""
    readings = [
        _reading("B1", "bore", deviation_m, "BG1", f"cylinder {cylinder}", setting, part_temp_c=at.part_c)
        for _ in range(repeats)
    ]
    return evaluate(readings, Spot(Thermal.SIZE, _expansion("grey iron")), SHOP).estimate


def skirt(size_m: float = SKIRT_M, *, gauge: str = "M75", repeats: int = 1, at: Temperatures = ROOM) -> Estimate:
    """A forged piston's skirt by a micrometer."""
    readings = [
        _reading("P1", "skirt", size_m, gauge, part_temp_c=at.part_c, gauge_temp_c=at.gauge_c) for _ in range(repeats)
    ]
    return evaluate(readings, Spot(Thermal.SIZE, _expansion("aluminium 2618")), SHOP).estimate


def gap(low_m: float, high_m: float) -> Estimate:
    """A ring's end gap by blades: one goes, the next does not."""
    reading = replace(_reading("R1", "top gap", low_m, "FB1", "cylinder 1", part_temp_c=20.0), high_si=high_m)
    spot = Spot(Thermal.GAP, _expansion("nitrided stainless"), _expansion("grey iron"), NOMINAL_M)
    return evaluate([replace(reading, bore_temp_c=20.0)], spot, SHOP).estimate


def wall(deviation_m: float, repeats: int = 1, gauge: str = "M75") -> Estimate:
    """Wall clearance of a bore that reads so far from 86 mm."""
    return bore(deviation_m, repeats=repeats) - skirt(repeats=repeats, gauge=gauge)


def _reading(
    part: str, feature: str, value_m: float, gauge: str, at: str = "", setting: str = "", **temperatures: float | None
) -> Reading:
    return Reading(
        id=f"r{next(NUMBERS)}", part=part, feature=feature, at=at, gauge=gauge, setting=setting, sitting="monday",
        low_si=value_m, high_si=value_m, **temperatures,
    )  # fmt: skip


def _expansion(name: str) -> Expansion:
    found = alloy(name)
    return Expansion(name, found.expansion_per_k, found.expansion_u_per_k)


def numbers() -> Mapping[str, str]:
    """Every number that stands in the page's text, by the name it has there."""
    return dict(_numbers())


def _numbers() -> Iterator[tuple[str, str]]:
    near = wall(3e-6)
    chance = chances(near, LOW_M, HIGH_M)
    yield "near", mm(near.value)
    yield "near_u", um(expanded(near))
    yield "near_inside", percent(chance.inside)
    yield "near_below", percent(chance.below)
    yield from _sharing()
    yield from _repeating()
    yield from _warming()
    yield from _blades()
    yield "low", mm(LOW_M)
    yield "high", mm(HIGH_M)


def _sharing() -> Iterator[tuple[str, str]]:
    one, two, again = bore(3e-6), bore(9e-6, cylinder=2), bore(9e-6, cylinder=2, setting="S2")
    yield "bore_u", um(expanded(one))
    yield "two_bores_u", um(expanded(two - one))
    yield "two_settings_u", um(expanded(again - one))
    yield "two_strangers_u", um((expanded(one) ** 2 + expanded(two) ** 2) ** 0.5)
    yield "same_micrometer_u", um(expanded(wall(3e-6)))
    yield "other_micrometer_u", um(expanded(wall(3e-6, gauge="M76")))


def _repeating() -> Iterator[tuple[str, str]]:
    yield "once_u", um(expanded(wall(15e-6)))
    yield "hundred_u", um(expanded(wall(15e-6, repeats=100)))
    for name, dof in (("three", 2.0), ("twenty", 19.0)):
        yield (
            f"factor_of_{name}",
            f"{expanded(Estimate(0.0, {Source(Cause.REPEATABILITY, name): Share(1.0, dof)})):.1f}",
        )


def _warming() -> Iterator[tuple[str, str]]:
    warm = skirt(at=Temperatures(30.0, 20.0))
    both = bore(15e-6, at=Temperatures(30.0)) - warm
    yield "warm_skirt", um(SKIRT_M - warm.value)
    yield "warm_wall_error", um(both.value - (NOMINAL_M + 15e-6 - SKIRT_M))
    unknown = skirt(at=Temperatures(None, None))
    yield "known_temperature_u", um(expanded(skirt()))
    yield "unknown_temperature_u", um(expanded(unknown))


def _blades() -> Iterator[tuple[str, str]]:
    read = gap(0.40e-3, 0.45e-3)
    yield "blade_middle", mm(read.value)
    yield "blade_inside", percent(chances(read, 0.41e-3, None).inside)
    finer = gap(0.425e-3, 0.45e-3)
    yield "blade_finer_inside", percent(chances(finer, 0.41e-3, None).inside)


def mm(value_m: float) -> str:
    """A size in millimetres."""
    return show(value_m, Kind.LENGTH, "mm", u=1e-6)


def um(value_m: float) -> str:
    """A small length in micrometres, and in thou."""
    number = show(value_m, Kind.LENGTH, "um", u=5e-7, with_unit=False)
    return f"{number} µm ({show(value_m, Kind.LENGTH, 'thou', u=1e-6)})"


def percent(chance: float) -> str:
    """A chance in per cent, never rounded to certainty."""
    if chance > 0.995:
        return "over 99 %"
    return "under 1 %" if chance < 0.005 else f"{100 * chance:.0f} %"


def pictures(words: str) -> str:
    """Three clearances drawn as pins in the same slot."""
    return "\n".join(_picture(deviation_m) for deviation_m in (15e-6, 3e-6, -7e-6))


def _picture(deviation_m: float) -> str:
    found = wall(deviation_m)
    standing, half = decide(found, LOW_M, HIGH_M, RULE), expanded(found)
    drawn = svg_mark(Mark(LOW_M, HIGH_M, AIM_M, found.value, half, standing), 300, 40)
    return f'<div class="fit-mark">{drawn}<span>{mm(found.value)} ± {half * 1e3:.3f}</span><b>{standing}</b></div>'


def budget(words: str) -> str:
    """Where the uncertainty of the near clearance comes from."""
    found = wall(3e-6)
    rows = [
        (CAUSE_WORDS[source.cause], _owner(source.owner), um(abs(share.u)), percent((share.u / found.u) ** 2))
        for source, share in found.budget
    ]
    return table(("cause", "of", "standard uncertainty", "share"), rows, "counts")


def _owner(owner: str) -> str:
    """Whose error it is: `B1/bore/cylinder 1/...` -> `B1 bore`, `monday/P1` -> `P1`."""
    return " ".join([part for part in owner.split("/") if part and part != "monday"][:2])


def repeated(words: str) -> str:
    """What repeats do to a clearance."""
    rows = [(str(times), um(expanded(wall(15e-6, repeats=times)))) for times in (1, 2, 4, 10, 100)]
    return table(("readings at each spot", "the clearance is good to ±"), rows, "counts")


def narrow(words: str) -> str:
    """The best chance that any value has in slots of several widths."""
    found = wall(0.0)
    half = expanded(found)
    rows = [
        (f"{times:g} times as wide as the pin", percent(best_possible(found, 0.0, 2 * half * times)))
        for times in (3.0, 2.0, 1.5, 1.0, 0.75, 0.5)
    ]
    return table(("the slot is", "best chance of lying inside"), rows, "counts")


MAKERS = {"pictures": pictures, "budget": budget, "repeated": repeated, "narrow": narrow}
