"""Temperatures on a section of piston and bore, the heat between them as arrows as wide as it is, and below it both in words and numbers.

Names of places are those of the heat network; a place that the section does not show stands in the list alone.
"""

from __future__ import annotations

from collections.abc import Sequence

from blockwright.report.colours import INK, LINE, OCHRE, PAPER, SOFT
from blockwright.report.pictures.at_work import amounts as told
from blockwright.report.pictures.at_work.axes import BASE, MARGIN, SMALL, WIDTH
from blockwright.report.pictures.at_work.heat_section import SPOTS, TALL, arrow, path_of, section
from blockwright.report.pictures.at_work.labels import clear, heading
from blockwright.report.pictures.drawing import column, document, fitted, leading, n, path, text, text_width, wrapped
from blockwright.report.pictures.layered import isotonic
from blockwright.running.work.result import HeatPath, Node, Work

LEFT_TEXT, RIGHT_TEXT = 124.0, 516.0
APART, LABEL = 38.0, 112.0
WIDEST, THINNEST = 20.0, 2.2
ASKED_FIRST = ("crown", "belt", "skirt", "liner_top")
BAR, VALUE = 150.0, 620.0


def heat_picture(work: Work) -> str:
    """SVG of one cylinder's temperatures (°C) and ways of heat (W)."""
    said = sentence(work)
    notes = (
        ("Full dot: worked out or assumed; open dot, boxed: given. Arrows: heat, as wide as it is.",)
        if work.nodes
        else ()
    )
    head, y = heading("Temperatures of piston and bore", said, *notes)
    if not work.nodes:
        return document(WIDTH, y + 12, ("Temperatures of piston and bore", said), head, name="work-heat")
    top = y + 20
    drawn = [*head, *section(top), *_arrows(work.paths, top), *_labels(work.nodes, top)]
    nodes, y = _nodes(work.nodes, top + TALL + 44)
    paths, y = _paths(work.paths, y + 34)
    return document(WIDTH, y + 8, ("Temperatures of piston and bore", said), [*drawn, *nodes, *paths], name="work-heat")


def sentence(work: Work) -> str:
    """The places that a builder asks for first, and what is given, in a sentence or two."""
    given = [f"{short(node)} {told.celsius(node.temperature_c.value)}" for node in work.nodes if node.given]
    more = f" Given: {', '.join(given)}." if given else ""
    found = [node for node in work.nodes if not node.given]
    if not found:
        return f"No temperature was worked out.{more}"
    asked = [node for node in found if node.name in ASKED_FIRST] or found[:3]
    listed = ", ".join(f"{short(node)} {told.celsius(node.temperature_c.value)}" for node in asked)
    return f"Worked out: {listed}.{more}"


def short(node: Node) -> str:
    """A place's name as it stands beside the section; what cools by its own words where they are short."""
    spot = SPOTS.get(node.name)
    return node.words if spot is None or (node.name == "sink" and len(node.words) < len(spot.said)) else spot.said


def _arrows(paths: Sequence[HeatPath], top: float) -> list[str]:
    """The ways of heat that the section shows, thinnest last, each with its number where there is room."""
    summed: dict[tuple[str, str], float] = {}
    for way in paths:
        ends = way.between if way.heat_w >= 0.0 else (way.between[1], way.between[0])
        summed[ends] = summed.get(ends, 0.0) + abs(way.heat_w)
    most = max(summed.values(), default=1.0) or 1.0
    drawn, numbers = [], []
    for ends, heat in sorted(summed.items(), key=lambda each: -each[1]):
        where = path_of(*ends)
        if where is None or heat <= 0.0:
            continue
        (ax, ay), (bx, by) = where.start, where.end
        drawn.append(arrow((ax, top + ay), (bx, top + by), max(WIDEST * heat / most, THINNEST)))
        if where.number:
            x, y, anchor = where.number
            numbers.append(clear(text(x, top + y, told.watt(heat), size=14, bold=True, anchor=anchor)))
    return [*drawn, *numbers]


def _labels(nodes: Sequence[Node], top: float) -> list[str]:
    """A dot at each place that the section shows, its name and temperature beside the section."""
    drawn: list[str] = []
    shown = [(node, SPOTS[node.name]) for node in nodes if node.name in SPOTS]
    for side in (-1, 1):
        here = sorted(((node, spot) for node, spot in shown if spot.side == side), key=lambda each: each[1].y)
        if not here:
            continue
        wanted = [top + spot.y for _, spot in here]
        places = isotonic(wanted, [1.0] * len(here), [APART] * len(here), top + 16, top + TALL - 12)
        for (node, spot), middle in zip(here, places, strict=True):
            drawn += _label(node, spot.x, top + spot.y, middle, side)
    return drawn


def _label(node: Node, x: float, y: float, middle: float, side: int) -> list[str]:
    edge, anchor = (LEFT_TEXT, "end") if side < 0 else (RIGHT_TEXT, "start")
    start = edge - 4.0 * side
    lead = f"M{n(x)} {n(y)}L{n(start - 22 * side)} {n(middle)}H{n(start)}"
    value = told.celsius(node.temperature_c.value)
    box = []
    if node.given:
        wide = 12.0 + 0.58 * BASE * len(value)
        left = edge + 4 - wide if side < 0 else edge - 4
        box = [
            f'<rect x="{n(left)}" y="{n(middle + 2)}" width="{n(wide)}" height="20" rx="3" fill="none" stroke="{INK}"/>'
        ]
    return [
        path(lead, stroke=PAPER, width=3.0),
        path(lead, stroke=INK, width=0.9),
        _dot(x, y, node.given),
        text(edge, middle - 3, fitted(short(node), LABEL, 14), size=14, fill=SOFT, anchor=anchor),
        text(edge, middle + 17, value, size=BASE, bold=True, anchor=anchor),
        *box,
    ]


def _dot(x: float, y: float, given: bool) -> str:
    fill, edge = (PAPER, INK) if given else (INK, PAPER)
    return f'<circle cx="{n(x)}" cy="{n(y)}" r="5" fill="{fill}" stroke="{edge}" stroke-width="1.6"/>'


def _nodes(nodes: Sequence[Node], y: float) -> tuple[list[str], float]:
    """All temperatures in words, with their spread and what handbooks say."""
    drawn = [text(MARGIN, y, "Temperatures", size=BASE, bold=True), _rule(y + 7)]
    y += 30
    for node in nodes:
        name = f"{node.words}, given" if node.given else node.words
        room = VALUE - MARGIN - 34 - text_width(value_words(node), BASE, bold=True)
        drawn += [
            _dot(MARGIN + 6, y - 5, node.given),
            text(MARGIN + 22, y, fitted(name, room, BASE), size=BASE),
            text(VALUE, y, value_words(node), size=BASE, bold=True, anchor="end"),
        ]
        lines = wrapped(node.plausible, WIDTH - 2 * MARGIN - 22, SMALL - 1) if node.plausible else []
        drawn += column(MARGIN + 22, y + 18, lines, size=SMALL - 1, fill=SOFT)
        y += 25 + leading(SMALL - 1) * len(lines)
    return drawn, y - 10


def value_words(node: Node) -> str:
    """A temperature with the span of its draws, where it was drawn."""
    spread = node.temperature_c
    value = told.celsius(spread.value)
    return f"{value} ({spread.low:.0f} to {spread.high:.0f})" if spread.drawn else value


def _paths(paths: Sequence[HeatPath], y: float) -> tuple[list[str], float]:
    """All ways of heat as bars, the greatest first."""
    if not paths:
        return [], y - 34
    drawn = [text(MARGIN, y, "Where the heat of a cylinder goes", size=BASE, bold=True), _rule(y + 7)]
    most = max(abs(way.heat_w) for way in paths) or 1.0
    y += 29
    for way in sorted(paths, key=lambda each: -abs(each.heat_w)):
        long = BAR * abs(way.heat_w) / most
        drawn += [
            text(MARGIN, y, fitted(way.words, 330, SMALL), size=SMALL),
            path(f"M{n(370)} {n(y - 11)}h{n(long)}v12h{n(-long)}z", stroke=INK, width=0.8, fill=OCHRE),
            text(VALUE, y, told.watt(way.heat_w), size=SMALL, bold=True, anchor="end"),
        ]
        y += 23
    return drawn, y - 8


def _rule(y: float) -> str:
    return path(f"M{n(MARGIN)} {n(y)}H{n(VALUE)}", stroke=LINE, width=0.8)
