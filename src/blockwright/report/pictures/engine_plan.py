"""The plan of the engine: drawn from the job's own geometry, every cylinder, throw and main filled by the worst verdict there.

Shape and word carry the verdict, colour helps. Under the plan stands what the fillings mean and, position by position, which fits are not as
they should be; fits of the whole engine and of the stages of turning stand there too.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

from blockwright.engine.layout import Engine, Layout
from blockwright.engine.positions import Place, Position, cylinder, main, throw
from blockwright.fits.assessment import Assessment
from blockwright.report.colours import INK, LINE, SOFT, STEEL
from blockwright.report.pictures.drawing import (
    column,
    document,
    leading,
    n,
    path,
    safe,
    text,
    text_width,
    wrapped,
)
from blockwright.report.pictures.plan_place import BETWEEN_THROWS, MAIN_TALL, SHARED_SPACING, Plan, planned
from blockwright.report.pictures.shapes import Block, Disc, shape
from blockwright.report.pictures.standing import MEANING, Look, Seen, seen

MARGIN, EDGE, LEAST_WIDTH = 24.0, 4.0, 680.0
WORD, SMALL = 13.0, 11.0
NUMBERS = ("", "single", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
           "thirteen", "fourteen", "fifteen", "sixteen")  # fmt: skip
NOTHING = Seen(Look.UNREAD)
WELL = (Look.CONFORMS, Look.UNLIMITED)


def engine_plan(assessment: Assessment) -> str:
    """SVG of the plan of an assessed job."""
    return plan_svg(assessment.job.engine, seen(assessment))


def plan_svg(engine: Engine, verdicts: Mapping[Position, Seen]) -> str:
    """SVG of the plan of an engine; a position that is not in `verdicts` is drawn as not measured."""
    plan = planned(engine)
    width = max(LEAST_WIDTH, plan.width + 2 * MARGIN)
    head, top = _heading(engine, width)
    left, y = (width - plan.width) / 2, top + plan.height + 30
    keyed, y = _key(_looks(engine, verdicts), width, y)
    listed, y = _list(_to_see(engine, verdicts), width, y + 12)
    drawn = [
        *head,
        f'<g transform="translate({n(left)} {n(top)})">',
        *_body(plan),
        *_cylinders(plan, verdicts),
        *_crank(plan, verdicts),
        "</g>",
        *keyed,
        *listed,
    ]
    return document(width, y, (f"Plan of {engine.name}", _described(engine, verdicts)), drawn, name="engine-plan")


def plan_alone(engine: Engine, verdicts: Mapping[Position, Seen], *, words: bool = True, name: str = "plan") -> str:
    """SVG of the plan alone, for a page that says the rest itself; without `words` only shapes and numbers, to be shown small."""
    plan = planned(engine)
    drawn = [
        f'<g transform="translate({n(MARGIN)} {n(EDGE)})">',
        *_body(plan, words=words),
        *_cylinders(plan, verdicts, words=words),
        *_crank(plan, verdicts, words=words),
        "</g>",
    ]
    said = (f"Plan of {engine.name}", _described(engine, verdicts))
    return document(plan.width + 2 * MARGIN, plan.height + 2 * EDGE, said, drawn, name=name)


def looks_used(engine: Engine, verdicts: Mapping[Position, Seen]) -> list[Look]:
    """How the positions of a plan are filled, worst first, each once."""
    return _looks(engine, verdicts)


def layout_words(engine: Engine) -> str:
    """`inline four`, `V eight, 90° between banks`, `flat six`."""
    count = NUMBERS[engine.cylinders] if engine.cylinders < len(NUMBERS) else str(engine.cylinders)
    words = f"{engine.layout} {count}" if engine.cylinders > 1 else "single cylinder"
    if engine.layout is Layout.V and engine.bank_angle_rad is not None:
        words += f", {math.degrees(engine.bank_angle_rad):.0f}° between banks"
    return words


def _capital(said: str) -> str:
    return said[:1].upper() + said[1:]


def _heading(engine: Engine, width: float) -> tuple[list[str], float]:
    """Name, what is drawn, and which end is the front; and where the plan begins."""
    room = width - 2 * MARGIN
    spacing = (
        "" if engine.bore_spacing_m or engine.cylinders == 1 else " Bore spacing is not given: drawn at 1.12 bores."
    )
    said = f"{_capital(layout_words(engine))}, from above.{spacing}"
    names, lines = wrapped(engine.name, room, 22, bold=True), wrapped(said, room, 13)
    drawn = column(MARGIN, 38, names, size=22, bold=True)
    y = 38 + leading(22) * (len(names) - 1) + 23
    drawn += column(MARGIN, y, lines, fill=SOFT)
    y += leading(13) * (len(lines) - 1) + 26
    drawn.append(path(f"M{n(MARGIN)} {n(y - 5)}l14 -7v14z", stroke="none", width=0, fill=INK))
    ends = wrapped(f"front: {engine.front}", room - 22, 14, bold=True)
    drawn += column(MARGIN + 22, y, ends, size=14, bold=True)
    return drawn, y + leading(14) * (len(ends) - 1) + 18


def _body(plan: Plan, *, words: bool = True) -> list[str]:
    """The block's outline, the crank's line with its nose at the front, and the names of the banks."""
    return [
        f'<rect x="0" y="0" width="{n(plan.width)}" height="{n(plan.height)}" rx="14" fill="{STEEL}" stroke="{LINE}" stroke-width="2"/>',
        path(f"M-2 {n(plan.crank_y)}H{n(plan.width - 14)}", stroke=LINE, width=10),
        f'<rect x="-16" y="{n(plan.crank_y - 32)}" width="13" height="64" rx="3" fill="{LINE}"/>',
        *(text(14, bank.y, bank.name, size=12, fill=SOFT) for bank in plan.banks if words),
    ]


def _cylinders(plan: Plan, verdicts: Mapping[Position, Seen], *, words: bool = True) -> list[str]:
    return [
        _placed(
            cylinder(number), disc, verdicts, str(number), (disc.box[3] + 18, WORD, SHARED_SPACING if words else 0.0)
        )
        for bank in plan.banks
        for number, disc in bank.cylinders.items()
    ]


def _crank(plan: Plan, verdicts: Mapping[Position, Seen], *, words: bool = True) -> list[str]:
    drawn = []
    room = BETWEEN_THROWS if words else 0.0
    over_mains = plan.crank_y - MAIN_TALL / 2 - 8
    for i, block in enumerate(plan.throws, 1):
        drawn.append(_placed(throw(i), block, verdicts, str(i), (over_mains, SMALL, -room)))
    for i, block in enumerate(plan.mains, 1):
        drawn.append(_placed(main(i), block, verdicts, str(i), (block.box[3] + 14, SMALL, room)))
    return drawn


def _placed(
    position: Position,
    where: Disc | Block,
    verdicts: Mapping[Position, Seen],
    label: str,
    words: tuple[float, float, float],
) -> str:
    """A shape with its word; `words` is where their foot stands, their size, and their room: negative where they grow upwards, none for no word."""
    here = verdicts.get(position, NOTHING)
    y, size, room = words
    lines = wrapped(here.look, abs(room) - 4, size, bold=True) if room else []
    if room < 0:
        y -= leading(size) * (len(lines) - 1)
    x = where.x
    said = "".join(
        text(x, y + leading(size) * i, line, size=size, bold=True, anchor="middle") for i, line in enumerate(lines)
    )
    number_size = 22 if isinstance(where, Disc) else 14
    return (
        f'<g data-at="{position}"><title>{safe(f"{position}: {here.words}")}</title>'
        f'{shape(where, here, label, number_size)}<g class="word">{said}</g></g>'
    )


def _looks(engine: Engine, verdicts: Mapping[Position, Seen]) -> list[Look]:
    places = (Place.CYLINDER, Place.THROW, Place.MAIN)
    used = {verdicts.get(position, NOTHING).look for place in places for position in engine.positions(place)}
    return [look for look in Look if look in used]


def _key(looks: Iterable[Look], width: float, y: float) -> tuple[list[str], float]:
    """What the fillings that are used mean, and where the next line stands."""
    drawn, x = [], MARGIN
    for look in looks:
        wide = 36 + text_width(MEANING[look], 13) + 20
        if x > MARGIN and x + wide > width - MARGIN + 20:
            x, y = MARGIN, y + 26
        drawn.append(shape(Block(x + 11, y - 4.5, 22, 16), Seen(look, 0.5), "", 1))
        drawn.append(text(x + 36, y, MEANING[look]))
        x += wide
    notes = ["On the crank's line: tall blocks are mains, low ones throws, numbered from the front."]
    if Look.CONFORMS in looks:
        notes.append("Filled too: inside common practice, where nobody else gives a limit.")
    drawn += column(MARGIN, y + 22, notes, size=12, fill=SOFT)
    return drawn, y + 22 + leading(12) * (len(notes) - 1)


def _to_see(engine: Engine, verdicts: Mapping[Position, Seen]) -> list[tuple[str, str]]:
    """What is not as it should be, worst first; positions of which the same is to be said, together."""
    every = (*(p for place in (Place.CYLINDER, Place.MAIN, Place.THROW) for p in engine.positions(place)), *verdicts)
    groups: dict[tuple[Place, Look, str], list[Position]] = {}
    for position in dict.fromkeys(every):
        here = verdicts.get(position, NOTHING)
        if here.look not in WELL:
            groups.setdefault((position.place, here.look, here.words), []).append(position)
    ordered = sorted(groups.items(), key=lambda item: list(Look).index(item[0][1]))
    return [(_together(place, found), words) for (place, _, words), found in ordered]


def _together(place: Place, found: Sequence[Position]) -> str:
    if place is Place.ENGINE:
        return "whole engine"
    labels = [position.label for position in found]
    kind = {Place.STAGE: "turning"}.get(place, str(place))
    if place is Place.STAGE:
        return f"turning after {', '.join(labels)}"
    return f"{kind} {labels[0]}" if len(labels) == 1 else f"{kind}s {_run(labels)}"


def _run(labels: Sequence[str]) -> str:
    """`1 to 6` for numbers that follow each other, else a list."""
    numbers = [int(label) for label in labels]
    if len(numbers) > 2 and numbers == list(range(numbers[0], numbers[-1] + 1)):
        return f"{numbers[0]} to {numbers[-1]}"
    return ", ".join(labels)


def _list(items: Sequence[tuple[str, str]], width: float, y: float) -> tuple[list[str], float]:
    """What to see to, in words, and the height of the whole picture."""
    room = width - 2 * MARGIN
    if not items:
        line = "Nothing is out, undecided or left to measure."
        return [text(MARGIN, y + 22, line, size=15, bold=True)], y + 44
    drawn = [text(MARGIN, y + 22, "To see to", size=15, bold=True)]
    y += 44
    indent = 176.0
    for name, words in items:
        names, said = wrapped(name, indent - 10, 13, bold=True), wrapped(words, room - indent, 13)
        drawn += column(MARGIN, y, names, bold=True)
        drawn += column(MARGIN + indent, y, said)
        y += leading(13) * max(len(names), len(said)) + 4
    return drawn, y + 8


def _described(engine: Engine, verdicts: Mapping[Position, Seen]) -> str:
    """The plan in words."""
    told = "; ".join(f"{name}: {words}" for name, words in _to_see(engine, verdicts))
    return f"{layout_words(engine)}, front: {engine.front}. {told or 'Everything conforms'}."
