"""Pressure and temperature of the gas in a cylinder over the crank's angle: the band of the draws, and the peak with its value and angle."""

from __future__ import annotations

from blockwright.report.colours import SOFT
from blockwright.report.pictures.at_work import amounts as told
from blockwright.report.pictures.at_work.axes import (
    FULL,
    LEFT,
    LOOKS,
    WIDTH,
    Look,
    Panel,
    Scale,
    band,
    crank_scale,
    curve,
    dot,
    foot,
    frame,
    linear,
    logarithmic,
    strokes,
)
from blockwright.report.pictures.at_work.labels import Room, around, heading
from blockwright.report.pictures.drawing import document
from blockwright.running.work.result import Curve, CycleTold, Work

TALL, LOW, LEAST = 250.0, 150.0, 110.0
NEAR = (-120.0, 180.0)
"""The angles about firing that are drawn larger."""


def pressure_picture(work: Work) -> str:
    """SVG of the cycle's pressure (bar absolute) and temperature (°C) over the crank's angle."""
    cycle = work.cycle
    said = sentence(cycle)
    notes = [f"Pressure as given: {cycle.given}."] if cycle.given else []
    notes.append("Band: 95 % of the draws." if _banded(cycle) else "Worked out once, without draws: there is no band.")
    head, y = heading("Pressure in the cylinder", said, *notes)
    near, first = _near(cycle, y + 44)
    whole, second = _whole(cycle, first.y.start + 74)
    hot, third = _temperature(cycle, second.y.start + 74)
    title = "Pressure and temperature in the cylinder"
    return document(WIDTH, third.y.start + 80, (title, said), [*head, *near, *whole, *hot], name="work-pressure")


def sentence(cycle: CycleTold) -> str:
    """The cycle in one sentence."""
    peak = cycle.peak_pa
    value = told.between(peak, told.bar(peak.value, peak.sd), told.bar(peak.low, peak.sd), told.bar(peak.high, peak.sd))
    return (
        f"The pressure peaks at {value}, {told.after_firing(cycle.peak_at_deg)}; the gas gets as hot as "
        f"{told.celsius(cycle.peak_k.value - told.ZERO_K)}."
    )


def _banded(cycle: CycleTold) -> bool:
    return bool(cycle.low_pa) and bool(cycle.high_pa)


def _bars(pressures_pa: Curve) -> list[float]:
    return [p / told.PA_PER_BAR for p in pressures_pa]


def _near(cycle: CycleTold, top: float) -> tuple[list[str], Panel]:
    """The pressure about firing, with its band and its peak."""
    bars, low, high = (_bars(each) for each in (cycle.pressure_pa, cycle.low_pa, cycle.high_pa))
    peak = cycle.peak_pa.value / told.PA_PER_BAR
    ticks = tuple(float(each) for each in range(-120, 181, 60))
    panel = Panel(
        Scale(*NEAR, LEFT, FULL, ticks), linear([*bars, *low, *high, peak], top + TALL, top, floor=0.0, room=0.04)
    )
    points, under, over = (panel.points(cycle.angle_deg, each) for each in (bars, low, high))
    room = Room((LEFT + 4, top, FULL, top + TALL))
    for each in (points, under, over):
        room.cross(each)
    at = panel.x.at(cycle.peak_at_deg), panel.y.at(peak)
    words = f"{told.bar(cycle.peak_pa.value, cycle.peak_pa.sd)} at {told.degrees(cycle.peak_at_deg)}"
    edges = [curve(each, Look(SOFT, "", 0.9)) for each in (under, over)] if _banded(cycle) else []
    return [
        *frame(panel, "pressure about firing, bar absolute"),
        band(under, over),
        *edges,
        curve(points, LOOKS[0]),
        dot(*at),
        room.put(around(*at, off=16), words),
        *foot(panel, "", suffix="°"),
    ], panel


def _whole(cycle: CycleTold, top: float) -> tuple[list[str], Panel]:
    """The pressure over both turns, in equal ratios."""
    bars = _bars(cycle.pressure_pa)
    panel = Panel(crank_scale(cycle.angle_deg, FULL), logarithmic(bars, top + LEAST, top))
    named = frame(panel, "pressure over both turns, bar absolute, in equal ratios")
    return [*named, curve(panel.points(cycle.angle_deg, bars), LOOKS[0]), *foot(panel, "", suffix="°")], panel


def _temperature(cycle: CycleTold, top: float) -> tuple[list[str], Panel]:
    celsius = [t - told.ZERO_K for t in cycle.temperature_k]
    peak = cycle.peak_k.value - told.ZERO_K
    up = linear([*celsius, peak], top + LOW, top, floor=0.0, steps=3)
    panel = Panel(crank_scale(cycle.angle_deg, FULL), up)
    points = panel.points(cycle.angle_deg, celsius)
    room = Room((LEFT + 4, top, FULL, top + LOW))
    room.cross(points)
    drawn = [*frame(panel, "temperature of the gas, °C"), curve(points, LOOKS[1])]
    if points:
        i = max(range(len(celsius)), key=lambda k: celsius[k])
        at = panel.x.at(cycle.angle_deg[i]), panel.y.at(peak)
        words = f"{told.celsius(peak)} at {told.degrees(cycle.angle_deg[i])}"
        drawn += [dot(*at), room.put(around(*at), words)]
    return [*drawn, *strokes(panel, "crank angle from the cylinder's firing top")], panel
