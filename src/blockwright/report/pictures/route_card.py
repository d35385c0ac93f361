"""One card of the route's picture: the name of a step, its shape by how it stands, and the word for that; alike steps as shapes in a row.

| shape | the step |
| --- | --- |
| filled | is done |
| thick, with a pointer before it | can be done now |
| dashed | waits |
| barred | was signed and is open again |
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from blockwright.choices.route.progress import State, StepState
from blockwright.report.colours import INK, PAPER, SOFT, VERMILION
from blockwright.report.pictures.drawing import column, fitted, leading, n, path, safe, text, text_width, wrapped
from blockwright.report.pictures.route_nodes import Node
from blockwright.report.pictures.shapes import Block, shape
from blockwright.report.pictures.standing import Look, Seen

WIDE, PAD = 240.0, 9.0
NAME, WORD = 13.0, 12.0
CELL_WIDE, CELL_TALL, JOINT, CELL_ROW = 25.0, 18.0, 7.0, 25.0
LABELLED = 52.0
"""Width of a shape that holds the word for how its step stands."""
DOT, DOT_ROOM = 4.2, 14.0
MOST_LINES = 4


class Stand(StrEnum):
    """How a step stands, as it is drawn; the value is the word for it."""

    DONE = "done"
    NOW = "can be done now"
    AGAIN = "open again"
    WAITS = "waits"


SHORT = {Stand.DONE: "done", Stand.NOW: "now", Stand.AGAIN: "again", Stand.WAITS: "waits"}
_LOOK = {Stand.DONE: Look.CONFORMS, Stand.WAITS: Look.UNREAD}


@dataclass(frozen=True)
class Card:
    """A card ready to be drawn: lines of its name, its steps in rows, and what is said of them; `beside` the last row, or under it."""

    node: Node
    stands: tuple[Stand, ...]
    names: tuple[str, ...]
    cells: tuple[tuple[int, ...], ...]
    said: str
    beside: bool

    @property
    def pressing(self) -> bool:
        """Whether there is something to do on it now."""
        return Stand.NOW in self.stands or Stand.AGAIN in self.stands

    @property
    def tall(self) -> float:
        """How tall it is drawn."""
        names = leading(NAME) * len(self.names)
        if len(self.stands) == 1:
            return 2 * PAD + max(names, CELL_TALL)
        return 2 * PAD + names + CELL_ROW * (len(self.cells) + (not self.beside))


def stand_of(state: StepState) -> Stand:
    """How a step stands: open again, whatever it waits for, where a signature no longer holds."""
    if state.done:
        return Stand.DONE
    if state.reopened:
        return Stand.AGAIN
    return Stand.NOW if state.state is State.NOW else Stand.WAITS


def card_of(node: Node, states: Mapping[str, StepState]) -> Card:
    """A card of a route's picture."""
    stands = tuple(stand_of(states[step.key]) for step in node.steps)
    room = WIDE - 2 * PAD - DOT_ROOM - (LABELLED + 8 if len(stands) == 1 else 0)
    pressing = Stand.NOW in stands or Stand.AGAIN in stands
    names = wrapped(node.name, room, NAME, bold=pressing) or ["–"]
    if len(names) > MOST_LINES:
        names = [*names[: MOST_LINES - 1], fitted(" ".join(names[MOST_LINES - 1 :]), room, NAME, bold=pressing)]
    abreast = int((WIDE - 2 * PAD + JOINT) // (CELL_WIDE + JOINT))
    share = -(-len(stands) // -(-len(stands) // abreast))
    cells = tuple(tuple(range(i, min(i + share, len(stands)))) for i in range(0, len(stands), share))
    said = str(stands[0]) if len(stands) == 1 else counts(stands)
    beside = text_width(said, WORD) <= WIDE - 2 * PAD - _cells_wide(len(cells[-1])) - 10
    return Card(node, stands, tuple(names), cells, said, beside)


def counts(stands: Sequence[Stand]) -> str:
    """`2 done, 1 now, 5 wait`; `none done` where all wait."""
    if set(stands) == {Stand.WAITS}:
        return "all wait"
    words = {Stand.DONE: "done", Stand.NOW: "now", Stand.AGAIN: "again", Stand.WAITS: "wait"}
    if len(set(stands)) == 1:
        return f"all {words[stands[0]]}"
    return ", ".join(f"{stands.count(each)} {words[each]}" for each in Stand if each in stands)


def drawn_card(card: Card, x: float, y: float) -> str:
    """SVG of a card with its middle at `x` and its top at `y`."""
    left = x - WIDE / 2
    stroke, width = (INK, 2.4) if card.pressing else (SOFT, 1.0)
    drawn = [
        f'<rect x="{n(left)}" y="{n(y)}" width="{n(WIDE)}" height="{n(card.tall)}" rx="4" fill="{PAPER}" '
        f'stroke="{stroke}" stroke-width="{n(width)}"/>',
        *(_single(card, left + PAD, y) if len(card.stands) == 1 else _several(card, left + PAD, y)),
    ]
    if card.node.hold:
        drawn.append(f'<circle cx="{n(left + WIDE - PAD - DOT + 2)}" cy="{n(y + PAD + 5)}" r="{DOT}" fill="{INK}"/>')
    return f'<g data-card="{quoted(card.node.name)}">{"".join(drawn)}</g>'


def quoted(said: str) -> str:
    """Text that is safe between quotation marks in XML."""
    return safe(said).replace('"', "&quot;")


def cell(x: float, y: float, stand: Stand, label: str = "", wide: float = CELL_WIDE) -> str:
    """The shape of one step about its middle."""
    block = Block(x, y, wide, CELL_TALL)
    if stand is Stand.NOW:
        edge = x - wide / 2
        drawn = path(block.outline(), width=3.0, fill=PAPER)
        drawn += path(f"M{n(edge)} {n(y - 6)}l7 6l-7 6z", stroke="none", width=0, fill=INK)
        x += 3
    elif stand is Stand.AGAIN:
        left, _, right, _ = block.box
        bars = "".join(f"M{n(left)} {n(y + level)}H{n(right)}" for level in (-5, 0, 5))
        drawn = path(block.outline(), stroke=VERMILION, width=2.2, fill=PAPER) + path(bars, stroke=VERMILION, width=2.4)
    else:
        drawn = shape(block, Seen(_LOOK[stand]), "", 1)
    if not label:
        return drawn
    if stand is Stand.AGAIN:
        room = min(wide - 5, text_width(label, WORD, bold=True) + 3)
        drawn += f'<rect x="{n(x - room / 2)}" y="{n(y - 7.5)}" width="{n(room)}" height="15" fill="{PAPER}"/>'
    fill = PAPER if stand is Stand.DONE else INK
    bold = stand is not Stand.WAITS
    return drawn + text(x, y + 4.2, label, size=WORD, bold=bold, fill=fill, anchor="middle")


def _single(card: Card, left: float, top: float) -> list[str]:
    """The shape with its word, and the name beside it."""
    over = max(0.0, CELL_TALL - leading(NAME) * len(card.names)) / 2
    foot = top + PAD + over + 0.99 * NAME
    shown = cell(left + LABELLED / 2, foot - 0.35 * NAME, card.stands[0], SHORT[card.stands[0]], LABELLED)
    return [_stepped(card, 0, shown), *column(left + LABELLED + 8, foot, card.names, size=NAME, bold=card.pressing)]


def _several(card: Card, left: float, top: float) -> list[str]:
    """The name, the shapes under it, and how many of them stand how."""
    drawn = column(left, top + PAD + 0.99 * NAME, card.names, size=NAME, bold=card.pressing)
    middle = top + PAD + leading(NAME) * len(card.names) + CELL_ROW / 2 + 1
    for row, indices in enumerate(card.cells):
        for place, index in enumerate(indices):
            x, y = left + CELL_WIDE / 2 + (CELL_WIDE + JOINT) * place, middle + CELL_ROW * row
            if card.node.joined[index] and place:
                drawn.append(path(f"M{n(x - CELL_WIDE / 2 - JOINT)} {n(y)}h{n(JOINT)}", width=2.2))
            drawn.append(_stepped(card, index, cell(x, y, card.stands[index], card.node.labels[index])))
    foot = middle + CELL_ROW * (len(card.cells) - card.beside)
    beside = _cells_wide(len(card.cells[-1])) + 10 if card.beside else 0.0
    return [*drawn, text(left + beside, foot + 4.2, card.said, size=WORD, fill=INK if card.pressing else SOFT)]


def _stepped(card: Card, index: int, shown: str) -> str:
    return f'<g data-step="{quoted(card.node.steps[index].key)}" data-stand="{card.stands[index]}">{shown}</g>'


def _cells_wide(count: int) -> float:
    return (CELL_WIDE + JOINT) * count - JOINT
