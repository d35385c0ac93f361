"""Smallest film of every bearing of a kind over the crank's angle, against the roughness that it must clear."""

from __future__ import annotations

from collections.abc import Sequence

from blockwright.report.colours import VERMILION
from blockwright.report.pictures.at_work import amounts as told
from blockwright.report.pictures.at_work.axes import (
    FAINT,
    LEFT,
    LOOKS,
    RIGHT,
    TURN_DEG,
    WIDTH,
    Look,
    Panel,
    crank_scale,
    curve,
    dot,
    ends,
    foot,
    frame,
    level,
    logarithmic,
)
from blockwright.report.pictures.at_work.labels import Room, around, heading
from blockwright.report.pictures.drawing import document
from blockwright.running.work.result import BearingTold, Curve, Work

KINDS = {"main film": "main bearings", "rod film": "rod bearings"}
TALL, NEXT = 250.0, 96.0
MOST_TOLD = 4
"""So many bearings of a kind have each their own dashes and name; of more, the thinnest is named and the others stand faint behind it."""
ROUGH = Look(VERMILION, "10 3", 1.5)


def films_picture(work: Work) -> str:
    """SVG of all films over the crank's angle, one panel a kind of bearing."""
    kinds = by_kind(work.bearings)
    said = sentence(kinds)
    many = any(len(each) > MOST_TOLD for each in kinds.values())
    notes = ["Heavy: the thinnest of its kind; faint: the others."] if many else []
    head, y = heading("Oil films over the crank's angle", said, *notes)
    drawn, height = list(head), y + 20
    for kind, bearings in kinds.items():
        more, panel = _kind(kind, bearings, work.forces.angle_deg, y + 46)
        drawn += more
        y = panel.y.start + 50
        height = y + 14
    return document(WIDTH, height, ("Oil films over the crank's angle", said), drawn, name="work-films")


def by_kind(bearings: Sequence[BearingTold]) -> dict[str, list[BearingTold]]:
    """The bearings whose film is known over the angle, by the words for their kind."""
    kinds: dict[str, list[BearingTold]] = {}
    for bearing in bearings:
        if bearing.film_over_m:
            kinds.setdefault(KINDS.get(bearing.fit, bearing.fit), []).append(bearing)
    return kinds


def sentence(kinds: dict[str, list[BearingTold]]) -> str:
    """The thinnest film of each kind against the roughness, in one sentence."""
    if not kinds:
        return "No film could be worked out."
    parts = []
    for kind, bearings in kinds.items():
        least = min(bearings, key=lambda bearing: bearing.film_m.value)
        film = told.micron(least.film_m.value, least.film_m.sd)
        parts.append(f"{kind}: {film} in {short(least)}, against {told.micron(least.roughness_m)} of roughness")
    said = "; ".join(parts)
    return f"Thinnest films: {said}."


def short(bearing: BearingTold) -> str:
    """A bearing's name without the word for its kind: `cylinder 3`, `main 2`."""
    return bearing.name.removeprefix("rod bearing, ")


def angles(count: int, over: Curve) -> Sequence[float]:
    """The angles of so many points: those given where they are as many, else evenly over two turns, both ends told."""
    return over if len(over) == count else [-TURN_DEG + 2 * TURN_DEG * i / max(count - 1, 1) for i in range(count)]


def _kind(kind: str, bearings: Sequence[BearingTold], over: Curve, top: float) -> tuple[list[str], Panel]:
    """One kind of bearing: its films, the roughness, and the thinnest film marked."""
    films = [[film / told.M_PER_MICRON for film in bearing.film_over_m] for bearing in bearings]
    rough = max(bearing.roughness_m for bearing in bearings)
    values = [rough / told.M_PER_MICRON, *(value for each in films for value in each)]
    panel = Panel(crank_scale(over), logarithmic(values, top + TALL, top))
    points = [panel.points(angles(len(each), over), each) for each in films]
    least = min(range(len(bearings)), key=lambda i: bearings[i].film_m.value)
    looks = [_look(i, len(bearings), least) for i in range(len(bearings))]
    order = sorted(range(len(bearings)), key=lambda i: i == least)
    y = panel.y.at(rough / told.M_PER_MICRON)
    labels = [*_labels(bearings, points, looks, least), (y, f"roughness {told.micron(rough)}", ROUGH)]
    return [
        *frame(panel, f"{kind}: smallest film, µm, in equal ratios"),
        *(curve(points[i], looks[i]) for i in order),
        level(panel, rough / told.M_PER_MICRON, dash=ROUGH.dash, stroke=ROUGH.stroke),
        *_marked(panel, bearings[least], [*points, [(LEFT, y), (RIGHT, y)]]),
        *ends(panel, labels),
        *foot(panel, "crank angle from firing top of cylinder 1", suffix="°"),
    ], panel


def _marked(panel: Panel, bearing: BearingTold, lines: Sequence[Sequence[tuple[float, float]]]) -> list[str]:
    """The thinnest film of its kind, with its value and angle, clear of the lines where that can be."""
    room = Room((LEFT + 4, panel.y.end + 2, RIGHT, panel.y.start))
    for each in lines:
        room.cross(each)
    film = bearing.film_m
    at = panel.x.at(bearing.film_at_deg), panel.y.at(film.value / told.M_PER_MICRON)
    return [
        dot(*at),
        room.put(around(*at), f"{told.micron(film.value, film.sd)} at {told.degrees(bearing.film_at_deg)}"),
    ]


def _look(i: int, count: int, least: int) -> Look:
    if count <= MOST_TOLD:
        return LOOKS[i]
    return Look(LOOKS[0].stroke, "", 2.4) if i == least else FAINT


def _labels(
    bearings: Sequence[BearingTold], points: Sequence[Sequence[tuple[float, float]]], looks: Sequence[Look], least: int
) -> list[tuple[float, str, Look]]:
    told_of = range(len(bearings)) if len(bearings) <= MOST_TOLD else [least]
    return [(points[i][-1][1], short(bearings[i]), looks[i]) for i in told_of if points[i]]
