"""Gas in a ring pack over the crank's angle: pressures in the chamber and under the rings, and below them how far the rings lift."""

from __future__ import annotations

import re

from blockwright.report.pictures.at_work import amounts as told
from blockwright.report.pictures.at_work.axes import (
    LEFT,
    LOOKS,
    RIGHT,
    WIDTH,
    Look,
    Panel,
    crank_scale,
    curve,
    dot,
    ends,
    foot,
    frame,
    linear,
    logarithmic,
    strokes,
)
from blockwright.report.pictures.at_work.labels import Room, around, dashed, heading
from blockwright.report.pictures.drawing import document
from blockwright.running.work.result import Curve, RingsTold

TALL, LIFT_TALL = 270.0, 130.0
NEXT = 74.0
LEAST_LIFT_M = 0.5e-6
"""A ring that lifts less stays down."""


def rings_picture(rings: RingsTold, *, unit: str) -> str:
    """SVG of a cylinder's ring pack: pressures in bar absolute, lifts in µm, gaps in `unit`."""
    said = blow_by_words(rings, unit)
    notes = [] if rings.settled else ["The gas had not settled to a cycle that repeats: take these curves as a hint."]
    if not rings.second_lift_m:
        notes.append("There is no second ring.")
    elif not rings.under_second_pa:
        notes.append("The gas under the second ring is not followed: the crankcase's pressure stands there.")
    head, y = heading(f"Gas between the rings, {rings.position}", f"{said} {shortly(rings.looser)}".strip(), *notes)
    gas, first = _gas(rings, y + 46)
    lift, second = _lifts(rings, first.y.start + NEXT)
    title = f"Gas between the rings, {rings.position}"
    name = f"work-rings-{dashed(rings.position)}"
    return document(
        WIDTH, second.y.start + 78, (title, f"{said} {rings.looser}".strip()), [*head, *gas, *lift], name=name
    )


def blow_by_words(rings: RingsTold, unit: str) -> str:
    """Blow-by and hot gaps in a sentence."""
    share = told.per_cent(rings.blow_by_share.value)
    litres = f"{rings.blow_by_l_min.value:.1f} l/min"
    gaps = f"top gap {told.length(rings.top_gap_m.value, unit, rings.top_gap_m.sd)}"
    if rings.second_lift_m:
        gaps += f", second {told.length(rings.second_gap_m.value, unit, rings.second_gap_m.sd)}"
    return f"Blow-by is {share} of the charge, {litres} from this cylinder, with the hot {gaps}."


def shortly(answer: str) -> str:
    """An answer without its grounds: up to the first full stop, colon or semicolon."""
    first = re.split(r"[.:;](?:\s|$)", answer, maxsplit=1)[0].strip()
    return f"{first}." if first else ""


def _gas(rings: RingsTold, top: float) -> tuple[list[str], Panel]:
    told_of = [
        ("chamber", rings.chamber_pa),
        ("under top ring", rings.under_top_pa),
        ("under second ring", rings.under_second_pa),
    ]
    curves = [(name, [p / told.PA_PER_BAR for p in values]) for name, values in told_of if values]
    up = logarithmic([value for _, values in curves for value in values], top + TALL, top)
    panel = Panel(crank_scale(rings.angle_deg), up)
    drawn = frame(panel, "pressure, bar absolute, in equal ratios")
    room = Room((LEFT + 4, top + 2, RIGHT, top + TALL))
    points = [panel.points(rings.angle_deg, values) for _, values in curves]
    for each in points:
        room.cross(each)
    labels: list[tuple[float, str, Look]] = []
    for (name, values), look, each in zip(curves, LOOKS, points, strict=False):
        if not each:
            continue
        drawn.append(curve(each, look))
        labels.append((each[-1][1], name, look))
        i = values.index(max(values))
        at = panel.x.at(rings.angle_deg[i]), panel.y.at(values[i])
        words = f"{told.bar(values[i] * told.PA_PER_BAR)} at {told.degrees(rings.angle_deg[i])}"
        drawn += [dot(*at, r=4), room.put(around(*at), words, fill=look.stroke)]
    return [*drawn, *ends(panel, labels), *foot(panel, "", suffix="°")], panel


def _lifts(rings: RingsTold, top: float) -> tuple[list[str], Panel]:
    """How far the rings stand above the lower sides of their grooves."""
    listed: list[tuple[str, Curve]] = [("top ring", rings.top_lift_m), ("second ring", rings.second_lift_m)]
    curves = [(name, [lift / told.M_PER_MICRON for lift in values]) for name, values in listed if values]
    highest = max((value for _, values in curves for value in values), default=0.0)
    panel = Panel(
        crank_scale(rings.angle_deg), linear([highest, 10.0], top + LIFT_TALL, top, floor=0.0, steps=3, room=0.35)
    )
    room = Room((LEFT + 4, top + 2, RIGHT, top + LIFT_TALL))
    drawn = frame(panel, "lift off the groove's lower side, µm")
    labels: list[tuple[float, str, Look]] = []
    for (name, values), look in zip(curves, LOOKS[1:], strict=False):
        points = panel.points(rings.angle_deg, values)
        if not points:
            continue
        drawn.append(curve(points, look))
        room.cross(points)
        labels.append((points[-1][1], name, look))
        i = values.index(max(values))
        at = panel.x.at(rings.angle_deg[i]), panel.y.at(values[i])
        lifted = values[i] * told.M_PER_MICRON
        words = f"{told.micron(lifted)} at {told.degrees(rings.angle_deg[i])}"
        drawn += [dot(*at, r=4), room.put(around(*at), words, fill=look.stroke)] if lifted > LEAST_LIFT_M else []
    return [
        *drawn,
        *ends(panel, labels),
        *strokes(panel, "crank angle from the cylinder's firing top"),
    ], panel
