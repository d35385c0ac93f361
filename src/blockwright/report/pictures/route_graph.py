"""The route of assembly as a graph, for the sheet and for pages: what comes before what, where each step stands, what holds.

Steps are shapes on cards (`route_card`), alike steps of several positions share one. A card stands below everything that it needs; a line says so,
and none is drawn for what follows from others (`route_nodes`). A route that is too tall is cut into panels (`route_rows`), each small enough for one
page; a line that goes on says to which panel, and comes there from a small card with the name of its step.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from blockwright.choices.route.progress import Progress
from blockwright.choices.route.step import Pass
from blockwright.report.colours import INK, LINE, PAPER, SOFT, STEEL
from blockwright.report.pictures.drawing import column, document, fitted, leading, n, path, text, text_width, wrapped
from blockwright.report.pictures.layered import BETWEEN as BETWEEN_CARDS
from blockwright.report.pictures.layered import Layout, Wire, laid_out, least_room
from blockwright.report.pictures.route_card import DOT, WIDE, WORD, Stand, card_of, cell, drawn_card, stand_of
from blockwright.report.pictures.route_nodes import Cards, cards_of
from blockwright.report.pictures.route_rows import Row, paged, rows_of

WIDTH, MARGIN, NAMES = 960.0, 14.0, 110.0
"""Width of a panel; its margin; the column of the headings."""
TALLEST = 1220.0
"""So tall that a panel 178 mm wide stands on one page of A4 or Letter, under a heading."""
TITLE, PASS, BAND, BETWEEN = 56.0, 46.0, 12.0, 26.0
"""Room for the title, over a pass, over a heading; the least that lines need between rows."""
KEY, CARRIED, LEAST_CARRIED, CARRIED_TALL, OUT_WIDE, OUT_TALL = 58.0, 140.0, 96.0, 54.0, 64.0, 16.0
"""Room for the key; a small card for a step of another panel, at its widest and at its narrowest; where a line leaves."""
ROUND, HEAD = 5.0, 8.0
MOST_NOW = 4


@dataclass(frozen=True)
class _Panel:
    """Some rows of the route, drawn together: which of how many, and the lines between cards, of which some come from and go to other panels."""

    number: int
    count: int
    rows: tuple[Row, ...]
    comes: tuple[int, ...]
    goes: dict[int, int]

    @property
    def carried(self) -> float:
        """Width of a small card for a step of another panel: narrower where there are many."""
        room = WIDTH - 2 * MARGIN - NAMES
        return max(LEAST_CARRIED, min(CARRIED, (room + BETWEEN_CARDS) / max(len(self.comes), 1) - BETWEEN_CARDS))


class _Picture:
    """The route of a job while it is drawn."""

    def __init__(self, progress: Progress) -> None:
        self.progress = progress
        self.cards: Cards = cards_of(progress.route)
        self.drawn = [card_of(node, progress.states) for node in self.cards.nodes]
        self.rows = rows_of(self.cards)


def route_graph(progress: Progress, tallest: float = TALLEST) -> tuple[str, ...]:
    """The panels of a route as SVG texts, each 960 wide (wider where more lines pass than have room) and at most `tallest` tall.

    One row of cards is never cut, so that a very small `tallest` is overrun. A route without a step is one panel that says so.
    """
    picture = _Picture(progress)
    if not picture.rows:
        nothing = text(MARGIN, 40, "The route has no step.", size=20, bold=True)
        return (document(WIDTH, 64, ("Route of assembly", "The route has no step."), [nothing], name="route-1"),)
    spare = 0.0
    while True:
        panels = [_panel_svg(picture, panel) for panel in _panels(picture, tallest - spare)]
        over = max(height for _, height in panels) - tallest
        if over <= 0 or spare > tallest / 2:
            return tuple(svg for svg, _ in panels)
        spare += over


def _panels(picture: _Picture, tallest: float) -> list[_Panel]:
    rows, lines = picture.rows, picture.cards.lines
    heights = [max(picture.drawn[node].tall for node in row.nodes) + BETWEEN + _over(row) for row in rows]
    spans = paged(rows, heights, picture.cards, tallest - TITLE - KEY - CARRIED_TALL)
    panel_of = {node: p for p, (first, end) in enumerate(spans) for row in rows[first:end] for node in row.nodes}
    found = []
    for p, (first, end) in enumerate(spans):
        comes = {x.first for x in lines if panel_of[x.first] < p == panel_of[x.last]}
        goes: dict[int, int] = {}
        for x in lines:
            if panel_of[x.first] == p < panel_of[x.last]:
                goes[x.first] = min(goes.get(x.first, panel_of[x.last]), panel_of[x.last])
        found.append(_Panel(p + 1, len(spans), tuple(rows[first:end]), tuple(sorted(comes)), goes))
    return found


def _over(row: Row) -> float:
    """Room over a row for the name of the pass that begins there, or between headings."""
    return PASS if row.opens else BAND if row.heads else 0.0


def _panel_svg(picture: _Picture, panel: _Panel) -> tuple[str, float]:
    """A panel and its height."""
    layout, width, lines = _layout(picture, panel)
    foot = TITLE + layout.feet[-1] + 16
    cards = [node for row in panel.rows for node in row.nodes]
    drawn = [
        *_title(picture, panel, width),
        f'<g transform="translate(0 {n(TITLE)})">',
        *_bands(picture, panel, layout, width),
        *_wires(picture, layout, lines),
        *(drawn_card(picture.drawn[node], layout.x[node], layout.y[node]) for node in cards),
        *(_carried(picture, node, panel.carried, layout) for node in panel.comes),
        *(_going(picture, node, panel, layout) for node in panel.goes),
        "</g>",
        *_key(foot, width),
    ]
    said = f"Route of assembly, panel {panel.number} of {panel.count}", _described(picture, panel)
    return document(width, foot + KEY, said, drawn, name=f"route-{panel.number}"), foot + KEY


def _layout(picture: _Picture, panel: _Panel) -> tuple[Layout, float, list[tuple[int, int]]]:
    """Where everything of a panel lies, how wide it is, and its lines.

    Steps of other panels from which lines come have the numbers after those of the cards; ends of lines that go on the numbers after those.
    """
    count = len(picture.drawn)
    here = {node for row in panel.rows for node in row.nodes}
    lines = [(x.first if x.first in here else count + x.first, x.last) for x in picture.cards.lines if x.last in here]
    lines += [(node, 2 * count + node) for node in panel.goes]
    comes, goes = (
        [tuple(k * count + node for node in nodes)] if nodes else [] for k, nodes in ((1, panel.comes), (2, panel.goes))
    )
    rows = [*comes, *(row.nodes for row in panel.rows), *goes]
    above = [*(0.0 for _ in comes), *map(_over, panel.rows), *(0.0 for _ in goes)]
    wide = {node: (WIDE, panel.carried, OUT_WIDE)[node // count] for row in rows for node in row}
    tall = {
        node: picture.drawn[node].tall if node < count else (CARRIED_TALL, OUT_TALL)[node // count - 1] for node in wide
    }
    left = MARGIN + NAMES
    width = max(WIDTH, left + least_room(rows, lines, wide) + MARGIN)
    return laid_out(rows, lines, wide, tall, above, left, width - MARGIN), width, lines


def _title(picture: _Picture, panel: _Panel, width: float) -> list[str]:
    job = picture.progress.standings.job
    title = "Route of assembly"
    drawn = [text(MARGIN, 26, title, size=20, bold=True)]
    beside = MARGIN + text_width(title, 20, bold=True) + 16
    which = f"panel {panel.number} of {panel.count}" if panel.count > 1 else ""
    room = width - MARGIN - beside - text_width(which, 13) - 16
    drawn.append(text(beside, 26, fitted(job.engine.name, room, 13), fill=SOFT))
    if which:
        drawn.append(text(width - MARGIN, 26, which, fill=SOFT, anchor="end"))
    room = width - 2 * MARGIN
    ways = [said_now(picture.progress, most) for most in range(MOST_NOW, 0, -1)]
    said = next((way for way in ways if text_width(way, 14) <= room), ways[-1])
    drawn.append(text(MARGIN, 47, fitted(said, room, 14), size=14))
    return drawn


def said_now(progress: Progress, most: int = MOST_NOW) -> str:
    """How far the route has got, and what can be done now, so many by name: `12 of 90 steps done. Now: Crank laid in; Rods washed.`"""
    states = list(progress.states.values())
    done = f"{sum(state.done for state in states)} of {len(states)} steps done."
    again = [state.step.name for state in states if stand_of(state) is Stand.AGAIN]
    now = [state.step.name for state in states if stand_of(state) is Stand.NOW]
    told = [f"Open again: {_listed(again, most)}."] if again else []
    told += [f"Now: {_listed(now, most)}."] if now else []
    return " ".join((done, *told))


def _listed(names: Sequence[str], most: int) -> str:
    more = len(names) - most
    return "; ".join((*names[:most], *([f"and {more} more"] if more > 0 else [])))


def _bands(picture: _Picture, panel: _Panel, layout: Layout, width: float) -> Iterator[str]:
    """The ground and the name of each heading, and over them the name of the pass that begins."""
    for number, rows in groupby(panel.rows, key=lambda row: row.band):
        listed = list(rows)
        band = picture.cards.bands[number]
        top = layout.y[listed[0].nodes[0]] - 7
        foot = max(layout.y[node] + picture.drawn[node].tall for node in listed[-1].nodes) + 7
        if listed[0].opens:
            yield from _pass_name(picture, band.stage, top - PASS + 20)
        yield f'<rect x="{n(MARGIN)}" y="{n(top)}" width="{n(width - 2 * MARGIN)}" height="{n(foot - top)}" rx="6" fill="{STEEL}"/>'
        names = wrapped(band.group, NAMES - 12, 12, bold=True)
        names = names if len(names) < 3 else [names[0], fitted(" ".join(names[1:]), NAMES - 12, 12, bold=True)]
        yield from column(MARGIN + 8, top + 20, names, size=12, bold=True)


def _pass_name(picture: _Picture, stage: Pass, foot: float) -> list[str]:
    """The name of a pass and how much of it is done, in the column of the headings, where no line runs."""
    states = [state for state in picture.progress.states.values() if state.step.stage is stage]
    done = f"{sum(state.done for state in states)} of {len(states)} done"
    name = stage[:1].upper() + stage[1:]
    size = min(16.0, 16.0 * (NAMES + 4) / text_width(name, 16, bold=True))
    return [text(MARGIN, foot, name, size=round(size, 1), bold=True), text(MARGIN, foot + 16, done, size=12, fill=SOFT)]


def _wires(picture: _Picture, layout: Layout, lines: Sequence[tuple[int, int]]) -> Iterator[str]:
    """Lines with rounded corners, a dot where one branches, an arrow where it enters a card: filled for all, open for each its own."""
    count = len(picture.drawn)
    every = {(x.first, x.last): x.every for x in picture.cards.lines}
    for first, x, top, foot in layout.passing:
        yield f'<g data-wire="{first}">{path(f"M{n(x)} {n(top)}V{n(foot)}", width=1.4)}</g>'
    for wire in layout.wires:
        drawn = [path(_run(wire, end, into), width=1.4) for end, into in wire.ends]
        drawn += [f'<circle cx="{n(x)}" cy="{n(wire.level)}" r="2.6" fill="{INK}"/>' for x in _branches(wire)]
        for end, into in wire.ends:
            if into >= 0:
                drawn.append(_arrow(end, wire.foot, every.get((wire.first % count, into), True)))
        yield f'<g data-wire="{wire.first}">{"".join(drawn)}</g>'


def _run(wire: Wire, end: float, into: int) -> str:
    foot = wire.foot - (HEAD if into >= 0 else 0)
    if abs(end - wire.x) <= 0.5:
        return f"M{n(wire.x)} {n(wire.top)}V{n(foot)}"
    side = 1 if end > wire.x else -1
    r = min(ROUND, abs(end - wire.x) / 2, wire.level - wire.top, foot - wire.level)
    down = f"M{n(wire.x)} {n(wire.top)}V{n(wire.level - r)}q0 {n(r)} {n(side * r)} {n(r)}"
    return f"{down}H{n(end - side * r)}q{n(side * r)} 0 {n(side * r)} {n(r)}V{n(foot)}"


def _branches(wire: Wire) -> list[float]:
    """Where a wire parts: every place on its level but the outermost ends, and where it comes down if it goes on to both sides or straight on."""
    ends = sorted(end for end, _ in wire.ends)
    if len(ends) < 2:
        return []
    inner = [x for x in ends if x not in (ends[0], ends[-1])] + (
        [wire.x] if ends[0] - 0.5 <= wire.x <= ends[-1] + 0.5 else []
    )
    outer = [ends[0]] if wire.x < ends[0] - 0.5 else [ends[-1]] if wire.x > ends[-1] + 0.5 else []
    return sorted(set(inner + outer))


def _arrow(x: float, y: float, every: bool) -> str:
    return path(f"M{n(x - 4.5)} {n(y - HEAD - 1)}h9l-4.5 {n(HEAD)}z", width=1.4, fill=INK if every else PAPER)


def _carried(picture: _Picture, node: int, wide: float, layout: Layout) -> str:
    """A small card for a step that stands on a panel before this one."""
    placed, size = node + len(picture.drawn), 11.5
    x, y = layout.x[placed] - wide / 2, layout.y[placed]
    lines = wrapped(picture.drawn[node].node.name, wide - 12, size)
    if len(lines) > 3:
        lines = [*lines[:2], fitted(" ".join(lines[2:]), wide - 12, size)]
    rect = f'<rect x="{n(x)}" y="{n(y)}" width="{n(wide)}" height="{n(CARRIED_TALL)}" rx="4" fill="{PAPER}" stroke="{LINE}"/>'
    foot = y + CARRIED_TALL / 2 + 4 - leading(size) * (len(lines) - 1) / 2
    return f'<g data-from="{node}">{rect}{"".join(column(x + 6, foot, lines, size=size, fill=SOFT))}</g>'


def _going(picture: _Picture, node: int, panel: _Panel, layout: Layout) -> str:
    """Where a line leaves the panel."""
    placed = node + 2 * len(picture.drawn)
    said = f"panel {panel.goes[node] + 1}"
    return text(layout.x[placed], layout.y[placed] + 12, said, size=WORD, fill=SOFT, anchor="middle")


def _key(top: float, width: float) -> list[str]:
    """What shapes and lines mean."""
    drawn = [path(f"M{n(MARGIN)} {n(top)}H{n(width - MARGIN)}", stroke=LINE)]
    x, y = MARGIN, top + 22
    for stand in Stand:
        drawn += [cell(x + 13, y - 4, stand), text(x + 34, y, stand, size=WORD)]
        x += 34 + text_width(stand, WORD) + 26
    dot = f'<circle cx="{n(x + 6)}" cy="{n(y - 4)}" r="{n(DOT)}" fill="{INK}"/>'
    drawn += [dot, text(x + 18, y, "hold point: not signed before what it asks for is there", size=WORD)]
    x, y = MARGIN, y + 24
    for every, words in ((True, "all of it before"), (False, "each after its own, by number or bank")):
        drawn += [_arrow(x + 13, y + 1, every), text(x + 34, y, words, size=WORD)]
        x += 34 + text_width(words, WORD) + 26
    drawn.append(
        path(f"M{n(x)} {n(y - 10)}h8v12h-8M{n(x + 8)} {n(y - 4)}h7M{n(x + 23)} {n(y - 10)}h-8v12h8", width=1.8)
    )
    return [*drawn, text(x + 30, y, "joined: one after the other", size=WORD)]


def _described(picture: _Picture, panel: _Panel) -> str:
    """The panel in words: card by card how it stands and what it comes after."""
    nodes, lines = picture.cards.nodes, picture.cards.lines
    told = []
    for row in panel.rows:
        for index in row.nodes:
            after = [nodes[x.first].name for x in lines if x.last == index]
            comes = f", after {'; '.join(after)}" if after else ""
            told.append(f"{nodes[index].name} ({picture.drawn[index].said}){comes}.")
    return f"{said_now(picture.progress)} {' '.join(told)}"
