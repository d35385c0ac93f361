"""An invented engine at work, for tests of what is shown of it: curves from closed forms, sensible but of no engine.

A four-stroke petrol engine, 86 by 86 mm, at full load. Pressure: polytropes joined by a burn; bearings: a journal that follows its load; rings: lands
that fill and empty through their gaps. Nothing here was solved, and no number of it is a result.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Sequence

from blockwright.running.work.result import (
    BearingTold,
    Better,
    Curve,
    CycleTold,
    Fact,
    ForcesTold,
    GapMap,
    HeatPath,
    HotFit,
    Node,
    OilTried,
    RingsTold,
    Spread,
    Weight,
    Window,
    Work,
)

BORE_M, CRANK_M, ROD_M, RATIO = 0.086, 0.043, 0.137, 10.0
SPEED_RAD_S, REDLINE_RAD_S = 6000 * math.pi / 30, 7200 * math.pi / 30
AREA_M2 = math.pi / 4 * BORE_M**2
PISTON_KG, CRANKCASE_PA = 0.55, 1.02e5
STEP_DEG, SAMPLES = 2, 2000
ANGLES: Curve = tuple(float(each) for each in range(-360, 361, STEP_DEG))
MICRON = 1e-6
HOT_WORDS = {
    "top end gap": "gap of the top ring, hot",
    "second end gap": "gap of the second ring, hot",
    "wall clearance": "bore less bare skirt, both hot",
    "pin in piston": "room of the pin in its bosses, hot",
    "rod film": "smallest oil film at work",
}


def sample_work(draws: bool = True, cylinders: int = 4) -> Work:
    """An engine in line at work. Without `draws` every number stands alone, and there are no bands and no distributions."""
    rods = [
        _bearing(f"rod bearing, cylinder {i}", f"cylinder {i}", i, draws, 720 / cylinders)
        for i in range(1, cylinders + 1)
    ]
    mains = [_bearing(f"main {i}", f"main {i}", i, draws, 720 / cylinders) for i in range(1, cylinders + 2)]
    fits = [fit for i in range(1, cylinders + 1) for fit in _fits(i, draws)]
    fits += [_film_fit(rod, draws) for rod in rods if rod.read]
    return Work(
        job="sample",
        digest="5a" * 32,
        duty="112 kW at 6000 rev/min, petrol, water cooling",
        headline="Hot, one fit is undecided: the top end gap of cylinder 2. Every bearing keeps its film.",
        facts=_facts(),
        cycle=_cycle(draws),
        nodes=_nodes(draws),
        paths=_paths(),
        forces=_forces(draws, cylinders),
        fits=tuple(fits),
        bearings=(*mains, *rods),
        rings=tuple(_rings(i, draws) for i in range(1, cylinders + 1)),
        gap_map=_gap_map(),
        better=(
            Better(
                "top end gap",
                "cylinder 2",
                0.33e-3,
                0.36e-3,
                0.44e-3,
                "File the top ring of cylinder 2 by 0.03 mm: its ends then stay apart in 99 % of the draws.",
            ),
        ),
        samples=SAMPLES if draws else 0,
        seed=1,
        missing=("rod film, cylinder 4: wants the big end with shells in",) if cylinders >= 4 else (),
        cautions=("Knock is not known to the cycle: it can double the heat into the crown.",),
        not_validated=("bearings under a moving load: no printed orbit was to be had",),
        seconds=3.2,
    )


def spread(value: float, share: float, draws: bool) -> Spread:
    """A number with a standard deviation that is a share of it; alone without draws."""
    if not draws:
        return Spread(value, 0.0, value, value)
    sd = abs(value) * share
    return Spread(value, sd, value - 1.96 * sd, value + 1.96 * sd, sd / math.sqrt(SAMPLES))


def _facts() -> tuple[Fact, ...]:
    return (
        Fact("power_w", "power of the duty", 112e3, 2e3, "W", "given: duty"),
        Fact("speed_rad_s", "speed of the duty", SPEED_RAD_S, 0.0, "rad/s", "given: duty"),
        Fact("intake_pa", "pressure in the manifold", 0.98e5, 2e3, "Pa", "assumed for no boost"),
        Fact("coolant_c", "coolant", 90.0, 4.0, "°C", "given: sheet, thermostat"),
        Fact("oil_c", "oil in the gallery", 105.0, 6.0, "°C", "assumed for water cooling"),
        Fact("roughness_m", "roughness of shell and journal together", 1.2e-6, 0.3e-6, "m", "assumed: no reading"),
    )


def _volume(angle_deg: float) -> float:
    t = math.radians(angle_deg)
    down = ROD_M + CRANK_M - CRANK_M * math.cos(t) - math.sqrt(ROD_M**2 - (CRANK_M * math.sin(t)) ** 2)
    return AREA_M2 * (2 * CRANK_M / (RATIO - 1) + down)


def pressure_pa(angle_deg: float) -> float:
    """Absolute pressure in the chamber: intake, compression, burn from 22° before the top, expansion, exhaust."""
    angle = (angle_deg + 360) % 720 - 360
    intake, exhaust = 0.97e5, 1.15e5
    if angle < -180:
        return exhaust + (intake - exhaust) * _eased((angle + 360) / 40)
    if angle > 140:
        opened = _expanded(140.0)
        return exhaust + (opened - exhaust) * math.exp(-(angle - 140) / 25)
    compressed = intake * (_volume(-180) / _volume(angle)) ** 1.32
    burnt = 1 - math.exp(-5 * max(0.0, (angle + 24) / 52) ** 3)
    return compressed + burnt * (_expanded(angle) - compressed)


def _expanded(angle_deg: float) -> float:
    return 5.0 * 0.97e5 * (_volume(-180) / _volume(angle_deg)) ** 1.30


def _eased(share: float) -> float:
    kept = min(max(share, 0.0), 1.0)
    return kept * kept * (3 - 2 * kept)


def _temperature_k(angle: float) -> float:
    closed = 350 * pressure_pa(angle) * _volume(angle) / (0.97e5 * _volume(-180))
    if angle < -180:
        return 1050 + (350 - 1050) * _eased((angle + 360) / 90)
    if angle > 140:
        opened = 350 * pressure_pa(140) * _volume(140) / (0.97e5 * _volume(-180))
        return 1050 + (opened - 1050) * math.exp(-(angle - 140) / 50)
    return closed


def _cycle(draws: bool) -> CycleTold:
    pressure = tuple(map(pressure_pa, ANGLES))
    at = max(range(len(ANGLES)), key=lambda i: pressure[i])
    temperature = tuple(map(_temperature_k, ANGLES))
    share = [0.05 if -20 < angle < 60 else 0.03 for angle in ANGLES]
    low = tuple(p * (1 - s) for p, s in zip(pressure, share, strict=True)) if draws else ()
    high = tuple(p * (1 + s) for p, s in zip(pressure, share, strict=True)) if draws else ()
    return CycleTold(
        speed_rad_s=SPEED_RAD_S,
        power_w=112e3,
        angle_deg=ANGLES,
        pressure_pa=pressure,
        temperature_k=temperature,
        low_pa=low,
        high_pa=high,
        peak_pa=spread(pressure[at], 0.025, draws),
        peak_at_deg=ANGLES[at],
        peak_k=spread(max(temperature), 0.03, draws),
        indicated_pa=spread(13.2e5, 0.02, draws),
        friction_pa=spread(1.9e5, 0.1, draws),
        breathing=spread(0.98, 0.04, draws),
        flux_w_m2=spread(6.1e5, 0.12, draws),
        energy_left_over=0.0004,
    )


def _nodes(draws: bool) -> tuple[Node, ...]:
    listed = (
        ("crown", "crown of the piston, mean", 262.0, False, "handbooks: below 300 °C for aluminium; lies in it"),
        ("belt", "piston about the top groove", 214.0, False, "handbooks: 200 to 230 °C; lies in it"),
        ("top_ring", "top ring", 197.0, False, ""),
        ("second_ring", "second ring", 166.0, False, ""),
        ("oil_ring", "oil ring", 153.0, False, ""),
        ("skirt", "skirt of the piston", 139.0, False, "handbooks: 120 to 150 °C; lies in it"),
        ("pin", "gudgeon pin", 176.0, False, ""),
        ("liner_top", "bore, top fifth of the stroke", 171.0, False, "handbooks: 150 to 180 °C; lies in it"),
        ("liner_middle", "bore, middle of the stroke", 128.0, False, ""),
        ("liner_bottom", "bore, foot of the stroke", 108.0, False, ""),
        ("head", "chamber's wall in the head", 205.0, False, ""),
        ("oil", "oil", 105.0, True, ""),
        ("sink", "coolant", 90.0, True, ""),
    )
    return tuple(
        Node(name, words, spread(value, 0.0 if given else 0.04, draws), given, plausible)
        for name, words, value, given, plausible in listed
    )


def _paths() -> tuple[HeatPath, ...]:
    listed = (
        ("gas_crown", "gas to the crown", ("gas at the crown", "crown"), 3500.0),
        ("gas_head", "gas to the head", ("gas at the head", "head"), 4100.0),
        ("gas_top", "gas to the upper bore", ("gas at the liner_top", "liner_top"), 1300.0),
        ("gas_middle", "gas to the middle of the bore", ("gas at the liner_middle", "liner_middle"), 240.0),
        ("crown_belt", "crown to ring belt", ("crown", "belt"), 2680.0),
        ("crown_oil", "crown to oil mist", ("crown", "oil"), 820.0),
        ("belt_top", "rings to the top of the bore", ("belt", "liner_top"), 1350.0),
        ("belt_middle", "rings to the middle of the bore", ("belt", "liner_middle"), 480.0),
        ("belt_skirt", "ring belt to skirt", ("belt", "skirt"), 850.0),
        ("skirt_middle", "skirt to the bore", ("skirt", "liner_middle"), 640.0),
        ("skirt_oil", "skirt to oil mist", ("skirt", "oil"), 210.0),
        ("head_sink", "head to coolant", ("head", "sink"), 4100.0),
        ("top_sink", "top of the bore to coolant", ("liner_top", "sink"), 2530.0),
        ("top_middle", "down the bore's wall", ("liner_top", "liner_middle"), 120.0),
        ("middle_sink", "middle of the bore to coolant", ("liner_middle", "sink"), 1400.0),
        ("middle_bottom", "down the bore's wall, below", ("liner_middle", "liner_bottom"), 80.0),
        ("bottom_oil", "foot of the bore to oil mist", ("liner_bottom", "oil"), 80.0),
    )
    at = {node.name: node.temperature_c.value for node in _nodes(False)}
    hot = {ends[0]: 1010.0 for _, _, ends, _ in listed if ends[0] not in at}
    return tuple(
        HeatPath(name, words, ends, ({**at, **hot}[ends[0]] - at[ends[1]]) / heat, heat, 0.3, "assumed")
        for name, words, ends, heat in listed
    )


def _force(angle_deg: float) -> tuple[float, float, float]:
    """Gas force, side thrust (+ on the major side) and torque of one cylinder."""
    t = math.radians(angle_deg)
    gas = (pressure_pa(angle_deg) - CRANKCASE_PA) * AREA_M2
    inertia = -PISTON_KG * CRANK_M * SPEED_RAD_S**2 * (math.cos(t) + CRANK_M / ROD_M * math.cos(2 * t))
    tilt = math.asin(CRANK_M / ROD_M * math.sin(t))
    along = gas + inertia
    return gas, along * math.tan(tilt), along * CRANK_M * math.sin(t + tilt) / math.cos(tilt)


def _forces(draws: bool, cylinders: int) -> ForcesTold:
    each = [_force(angle) for angle in ANGLES]
    side = tuple(s for _, s, _ in each)
    torque = tuple(
        sum(_force((angle + i * 720 / cylinders + 360) % 720 - 360)[2] for i in range(cylinders)) for angle in ANGLES
    )
    first = PISTON_KG * CRANK_M * SPEED_RAD_S**2
    second = first * CRANK_M / ROD_M
    shakes = {1: ((0.5 * first, second, 0.02 * first), (0.0, 0.0, 0.0)), 4: ((0.0, 4 * second, 30.0), (0.0, 0.0, 0.0))}
    free_n, free_nm = shakes.get(cylinders, ((0.0, 0.0, 0.0), (110.0 if cylinders % 2 else 0.0, 0.0, 0.0)))
    return ForcesTold(
        angle_deg=ANGLES,
        gas_n=tuple(g for g, _, _ in each),
        side_n=side,
        torque_nm=torque,
        largest_pin_n=spread(max(abs(g) for g, _, _ in each) * 0.86, 0.03, draws),
        largest_major_n=spread(max(side), 0.04, draws),
        largest_minor_n=spread(-min(side), 0.04, draws),
        rod_bolts_n=spread(0.9 * CRANK_M * REDLINE_RAD_S**2 * (1 + CRANK_M / ROD_M) * (PISTON_KG + 0.15), 0.02, draws),
        mean_piston_m_s=2 * CRANK_M * SPEED_RAD_S / math.pi,
        redline_piston_m_s=2 * CRANK_M * REDLINE_RAD_S / math.pi,
        top_acceleration_m_s2=CRANK_M * REDLINE_RAD_S**2 * (1 + CRANK_M / ROD_M),
        free_n=free_n,
        free_nm=free_nm,
        orders=(1, 2, 4),
    )


def _fits(number: int, draws: bool) -> tuple[HotFit, ...]:
    off = 0.02e-3 * math.sin(2.1 * number)
    position = f"cylinder {number}"
    top_cold = 0.33e-3 if number == 2 else 0.40e-3 + off
    return (
        _fit("top end gap", position, top_cold, top_cold - 0.285e-3, 0.030e-3, (0.0, None), draws,
             "computed: the ends must not meet"),
        _fit("second end gap", position, 0.45e-3 + off, 0.235e-3 + off, 0.028e-3, (0.0, None), draws,
             "computed: the ends must not meet"),
        _fit("wall clearance", position, 0.070e-3 + 0.1 * off, 0.022e-3 + 0.1 * off, 0.006e-3, (0.0, 0.060e-3), draws,
             "computed: the skirt must not be pinched"),
        _fit("pin in piston", position, 0.012e-3, 0.021e-3, 0.002e-3, (0.008e-3, 0.030e-3), draws,
             "common practice, hot"),
    )  # fmt: skip


def _film_fit(rod: BearingTold, draws: bool) -> HotFit:
    limits, ground = (rod.roughness_m, None), "computed: the film must clear the roughness (assumed: no reading)"
    return _fit("rod film", rod.position, rod.cold_m.value, rod.film_m.value, 0.25e-6, limits, draws, ground)


def _fit(
    name: str,
    position: str,
    cold_m: float,
    hot_m: float,
    sd_m: float,
    limits: tuple[float | None, float | None],
    draws: bool,
    authority: str,
) -> HotFit:
    low, high = limits

    def under(value: float | None, otherwise: float) -> float:
        return otherwise if value is None else 0.5 * (1 + math.erf((value - hot_m) / (sd_m * math.sqrt(2))))

    sd_m = sd_m if draws else 1e-12
    below, above = under(low, 0.0), 1 - under(high, 1.0)
    inside = 1 - below - above
    standing = (
        "conforms"
        if inside >= 0.95
        else "nonconforming"
        if inside <= 0.05 and (low is None or hot_m < low)
        else "undecided"
    )
    edges, counts = _bins(hot_m, sd_m) if draws else ((), ())
    hot = Spread(hot_m, sd_m, hot_m - 1.96 * sd_m, hot_m + 1.96 * sd_m, sd_m / math.sqrt(SAMPLES))
    return HotFit(
        fit=name,
        position=position,
        words=HOT_WORDS[name],
        cold=Spread(cold_m, 4e-6, cold_m - 8e-6, cold_m + 8e-6),
        hot=hot if draws else Spread(hot_m, 0.0, hot_m, hot_m),
        low=low,
        high=high,
        authority=authority,
        below=below,
        inside=inside,
        above=above,
        standing=standing,
        said=f"{standing}, computed bound",
        weights=(
            Weight("temperature of the top ring", 0.61),
            Weight("gap as read", 0.24),
            Weight("temperature of the bore", 0.15),
        )
        if draws
        else (),
        bins=edges,
        counts=counts,
        validated="Held against no measured hot gap.",
    )


def _bins(middle: float, sd: float, count: int = 24) -> tuple[Curve, tuple[int, ...]]:
    edges = tuple(middle + sd * (-3.6 + 7.2 * i / count) for i in range(count + 1))
    share = [0.5 * (1 + math.erf((edge - middle) / (sd * math.sqrt(2)))) for edge in edges]
    return edges, tuple(round(SAMPLES * (b - a)) for a, b in itertools.pairwise(share))


def _bearing(name: str, position: str, number: int, draws: bool, apart_deg: float) -> BearingTold:
    main = name.startswith("main")
    diameter, width = (0.055, 0.019) if main else (0.048, 0.0185)
    cold = (48e-6 if main else 44e-6) + 3e-6 * math.sin(1.7 * number)
    hot = cold + 4e-6
    load = tuple(_load_n(angle, main, number * apart_deg) for angle in ANGLES)
    orbit = tuple(_followed(load, i) for i in range(len(ANGLES)))
    film = tuple(hot / 2 * (1 - math.hypot(x, y)) for x, y in orbit)
    at = min(range(len(film)), key=lambda i: film[i])
    largest = max(math.hypot(x, y) for x, y in load)
    tried = tuple(20e-6 + 5e-6 * i for i in range(17))
    share = film[at] / (hot / 2)
    films = tuple(_film_at(c, hot, share) for c in tried)
    temperatures = tuple(92 + 55 * (hot / (c + 18e-6)) for c in tried)
    grades = ("20", "30", "40", "50", "60")
    hotter = 92 + 55 * (hot / (cold + 18e-6))
    return BearingTold(
        name=name,
        fit="main film" if main else "rod film",
        position=position,
        read=number != 3,
        cold_m=spread(cold, 0.04, draws),
        hot_m=spread(hot, 0.05, draws),
        diameter_m=diameter,
        width_m=width,
        film_m=spread(film[at], 0.14, draws),
        film_at_deg=ANGLES[at],
        peak_pa=spread(2.9 * largest / (diameter * width), 0.08, draws),
        specific_pa=largest / (diameter * width),
        loss_w=spread(420.0 if main else 350.0, 0.08, draws),
        flow_m3_s=spread(1.1e-5, 0.1, draws),
        temperature_c=spread(hotter, 0.03, draws),
        out_c=spread(hotter + 13.0, 0.03, draws),
        roughness_m=0.8e-6,
        roughness_origin="assumed: no reading",
        measures=main,
        settled=True,
        orbit=orbit,
        film_over_m=film,
        load_n=load,
        tried_m=tried,
        tried_film_m=films,
        tried_c=temperatures,
        window=Window(34e-6, 72e-6, 0.8e-6, 40.0, 150.0),
        oils=tuple(OilTried(grade, film[at] * (0.7 + 0.15 * i), hotter - 8.0 + 4.0 * i, 270.0 + 70 * i)
                   for i, grade in enumerate(grades)),
        weights=(Weight("clearance as read", 0.46), Weight("oil temperature", 0.35), Weight("peak pressure", 0.19))
        if draws
        else (),
    )  # fmt: skip


def _film_at(tried_m: float, hot_m: float, share: float) -> float:
    """Film over clearance: thin where tight and hot, thin where wide and loaded; its highest a little below the clearance taken."""
    ratio = tried_m / (0.85 * hot_m)
    top = share * hot_m / 2 * (0.5 * (1 / 0.85 + 0.85)) * 1.0
    return top * 2 / (ratio + 1 / ratio)


def _load_n(angle_deg: float, main: bool, later_deg: float) -> tuple[float, float]:
    shifted = (angle_deg - later_deg + 360) % 720 - 360
    gas, side, _ = _force(shifted)
    t = math.radians(shifted)
    turning = 0.5 * 0.45 * CRANK_M * SPEED_RAD_S**2
    along = -0.62 * (gas - PISTON_KG * CRANK_M * SPEED_RAD_S**2 * (math.cos(t) + 0.31 * math.cos(2 * t)))
    share = 0.6 if main else 1.0
    return share * (along + turning * math.cos(t)), share * (0.6 * side + turning * math.sin(t))


def _followed(load: Sequence[tuple[float, float]], i: int) -> tuple[float, float]:
    """Where the journal lies: about its load, a little behind it, and deeper the greater the load of the last moments is."""
    count = len(load) - 1
    recent = [load[(i - k) % count] for k in range(40)]
    x, y = (sum(each[axis] for each in recent) / len(recent) for axis in (0, 1))
    force = math.hypot(x, y)
    deep = 0.5 + 0.49 * force / (force + 1300.0)
    way = math.atan2(y, x) + 0.55
    return deep * math.cos(way), deep * math.sin(way)


def _rings(number: int, draws: bool) -> RingsTold:
    chamber = tuple(map(pressure_pa, ANGLES))
    under_top = _lagging(chamber, 0.011, 0.020)
    under_second = _lagging(under_top, 0.018, 0.10)
    lift = tuple(45e-6 * _eased((angle - 285) / 20) * _eased((350 - angle) / 20) for angle in ANGLES)
    flutter = tuple(30e-6 * _eased((angle - 40) / 25) * _eased((120 - angle) / 25) for angle in ANGLES)
    return RingsTold(
        position=f"cylinder {number}",
        angle_deg=ANGLES,
        chamber_pa=chamber,
        under_top_pa=under_top,
        under_second_pa=under_second,
        top_lift_m=lift,
        second_lift_m=flutter,
        top_gap_m=spread(0.115e-3 + 0.02e-3 * math.sin(2.1 * number), 0.2, draws),
        second_gap_m=spread(0.235e-3 + 0.02e-3 * math.sin(2.1 * number), 0.12, draws),
        blow_by_share=spread(0.0072 + 0.0006 * math.sin(2.1 * number), 0.15, draws),
        blow_by_l_min=spread(6.4 + 0.5 * math.sin(2.1 * number), 0.15, draws),
        settled=True,
        looser="A second ring looser by up to 0.20 mm is all right here: the gas between the rings falls in time, and the top ring stays down.",
    )


def _lagging(source: Curve, filling: float, emptying: float) -> Curve:
    """A volume that fills from `source` and empties to the crankcase, a share of the difference a step; three cycles."""
    value = CRANKCASE_PA
    told: list[float] = []
    for _ in range(3):
        told = []
        for pressure in source:
            value += filling * max(pressure - value, 0.0) - 0.3 * max(value - pressure, 0.0) * 0.1
            value -= emptying * (value - CRANKCASE_PA)
            told.append(value)
    return tuple(told)


def _gap_map() -> GapMap:
    top = tuple(0.25e-3 + 0.05e-3 * i for i in range(9))
    second = tuple(0.25e-3 + 0.05e-3 * i for i in range(11))
    return GapMap(
        top, second, _over(top, second, _blow_by), _over(top, second, _between), (0.40e-3, 0.45e-3), "cylinder 1"
    )


def _over(top: Curve, second: Curve, law: Callable[[float, float], float]) -> tuple[Curve, ...]:
    return tuple(tuple(law(a, b) for b in second) for a in top)


def _hot(top_m: float, second_m: float) -> tuple[float, float]:
    return max(top_m - 0.24e-3, 0.01e-3), max(second_m - 0.2e-3, 0.02e-3)


def _blow_by(top_m: float, second_m: float) -> float:
    a, b = _hot(top_m, second_m)
    return 60 * a * b / math.hypot(a, b) * 1.0


def _between(top_m: float, second_m: float) -> float:
    a, b = _hot(top_m, second_m)
    return CRANKCASE_PA + 12e5 * a / (a + 1.6 * b)
