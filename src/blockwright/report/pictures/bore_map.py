"""One bore over its depth: the walls across the engine and along the crank, how round it is at each height, what runs where, what is wanted.

The wall's deviations are drawn many times larger than the depth; the picture says how many, and carries a scale bar. Out-of-round is drawn as two
diameters a height, as a difference of diameters (ISO roundness is radial).
"""

from __future__ import annotations

from blockwright.engine.layout import HEIGHTS
from blockwright.fits.bores import WAYS
from blockwright.quantities import Kind, show
from blockwright.report.colours import BLUE, INK, LINE, OCHRE, PAPER, SOFT, STEEL
from blockwright.report.fineness import limits_fineness
from blockwright.report.pictures import bore_section as section
from blockwright.report.pictures.bore_seen import BoreSeen, Wanted, unit_m
from blockwright.report.pictures.drawing import column, document, fitted, leading, n, path, text, text_width, wrapped
from blockwright.report.pictures.layered import isotonic
from blockwright.report.pictures.shapes import Block, shape
from blockwright.report.pictures.standing import Seen, summed_up
from blockwright.report.rows import limits_text, short_words, value_alone

WIDTH, MARGIN, TALL = 960.0, 28.0, 330.0
DECK = 128.0
AXES = {"thrust": 344.0, "axial": 604.0}
HALF, METAL, ROOM = 74.0, 122.0, 34.0
LANE, LANES = 17.0, 124.0
"""Width of a lane of travel, and where the first begins."""
ROUND_X, ROUND_R, ROUND_ROOM = 794.0, 36.0, 10.0
KEY_X, KEY_LINE = 572.0, 21.0
WAY_WORDS = {"thrust": "across the engine (thrust)", "axial": "along the crank (axial)"}


def bore_map(bore: BoreSeen) -> str:
    """SVG of one bore, 960 wide."""
    scale = section.scale_of([bore], ROOM, TALL)
    frames = {way: section.Frame(AXES[way], DECK, HALF, METAL, scale) for way in WAYS}
    foot = DECK + TALL
    verdicts, height = _verdicts(bore, foot + 110 + KEY_LINE * max(0, len(bore.wanted) - 2))
    drawn = [
        *_heading(bore),
        *_depths(frames["thrust"], bore),
        *_travels(frames["thrust"], bore),
        *(_section(frames[way], bore, way) for way in WAYS),
        *_rounds(frames["axial"], bore),
        *_scale_bar(frames["thrust"], bore, foot + 42),
        *verdicts,
    ]
    return document(WIDTH, height, (f"Bore {bore.number}", described(bore)), drawn, name=f"bore-{bore.number}")


def size_text(bore: BoreSeen, size_m: float, half_m: float) -> str:
    """A diameter as the shop writes it, as finely as its uncertainty."""
    return show(size_m, Kind.LENGTH, bore.unit, u=half_m / 2, with_unit=False)


def small_unit(bore: BoreSeen) -> str:
    """The unit in which a form's deviations are told beside sizes in the shop's."""
    return "um" if bore.unit == "mm" else "thou"


def step_text(bore: BoreSeen, step_m: float) -> str:
    """A step of a scale: `20 µm`."""
    unit = small_unit(bore)
    return f"{step_m / unit_m(unit):g} {'µm' if unit == 'um' else unit}"


def small_text(bore: BoreSeen, size_m: float) -> str:
    """A form's deviation."""
    unit = small_unit(bore)
    shown = show(size_m, Kind.LENGTH, unit, u=0.4e-6, with_unit=False)
    return f"{shown} {'µm' if unit == 'um' else unit}"


def described(bore: BoreSeen) -> str:
    """The bore in words: what was read, spot by spot, and what is said of it."""
    spots = [
        f"{height} {way} {size_text(bore, size.value_m, size.half_m)} {bore.unit}"
        for height in HEIGHTS
        for way in WAYS
        if (size := bore.diameters.get(f"{height} {way}")) is not None
    ]
    fits = [f"{result.fit.name}: {short_words(result)}" for result in bore.results]
    came = [f"work ordered: {said}" for _, said in bore.came_back]
    return f"{', '.join(spots) or 'Nothing read yet'}. {'; '.join((*fits, *came))}."


def _heading(bore: BoreSeen) -> list[str]:
    words = ", ".join(("diameters at 20 °C", *([bore.state] if bore.state else [])))
    return [
        text(MARGIN, 44, f"Bore {bore.number}", size=24, bold=True),
        text(MARGIN + 150, 44, fitted(bore.engine_name, WIDTH - 2 * MARGIN - 150, 14), size=14, fill=SOFT),
        text(MARGIN, 68, fitted(words, 230, 13), fill=SOFT),
        *(text(AXES[way], 84, WAY_WORDS[way], size=14, bold=True, anchor="middle") for way in WAYS),
        text(ROUND_X + 30, 84, "how round", size=14, bold=True, anchor="middle"),
    ]


def _depths(frame: section.Frame, bore: BoreSeen) -> list[str]:
    """The deck's line, the heights and how deep they lie."""
    right = ROUND_X - ROUND_R - ROUND_ROOM
    drawn = [
        path(f"M{n(MARGIN)} {n(frame.deck)}H{n(WIDTH - MARGIN)}", width=1.6),
        text(MARGIN, frame.deck - 6, "deck", size=12, fill=SOFT),
        section.heights_drawn(frame, bore, MARGIN, right),
    ]
    tall = 36.0 if bore.depths else 18.0
    lines = _heights(frame, bore)
    for height, y in zip(
        HEIGHTS, _apart([y - 5 for y in lines], tall, frame.deck + 15, frame.deck + TALL), strict=True
    ):
        drawn.append(text(MARGIN, y, height, size=13, bold=True))
        if bore.depths:
            depth = show(bore.depths[height], Kind.LENGTH, bore.unit, u=2e-3)
            drawn.append(text(MARGIN, y + 17, fitted(depth, LANES - MARGIN - 4, 12), size=12, fill=SOFT))
    return drawn


def _heights(frame: section.Frame, bore: BoreSeen) -> list[float]:
    return [frame.y(bore.drawn_depths[height]) for height in HEIGHTS]


def _apart(ys: list[float], least: float, low: float, high: float) -> list[float]:
    """Places near those given, at least so far apart, between bounds."""
    return isotonic(ys, [1.0] * len(ys), [least] * len(ys), low, high)


def _travels(frame: section.Frame, bore: BoreSeen) -> list[str]:
    """A lane for whatever runs over the wall, with its name along it."""
    drawn = []
    for i, travel in enumerate(bore.travels):
        x = LANES + (LANE + 6) * i
        top, foot = frame.y(travel.from_m), frame.y(travel.to_m)
        drawn.append(
            f'<rect x="{n(x)}" y="{n(top)}" width="{n(LANE)}" height="{n(foot - top)}" rx="3" fill="{STEEL}" stroke="{SOFT}"/>'
        )
        name = fitted(travel.name, foot - top - 8, 11)
        middle_x, middle = x + LANE / 2 + 4, (top + foot) / 2
        said = text(middle_x, middle, name, size=11, anchor="middle")
        drawn.append(said.replace("<text ", f'<text transform="rotate(-90 {n(middle_x)} {n(middle)})" ', 1))
    return drawn


def _section(frame: section.Frame, bore: BoreSeen, way: str) -> str:
    """One direction: metal, reference, limits, walls, and the diameters written on the axis."""
    parts = [
        section.metal(frame, bore, (way,)),
        section.reference(frame, bore),
        section.limit_lines(frame, bore, way),
        section.walls(frame, bore, way),
    ]
    places = _apart(_heights(frame, bore), 20.0, frame.deck + 11, frame.deck + TALL)
    for height, y in zip(HEIGHTS, places, strict=True):
        size = bore.diameters.get(f"{height} {way}")
        said = "not read" if size is None else size_text(bore, size.value_m, size.half_m)
        wide = text_width(said, 13, bold=True) + 8
        ground = f'<rect x="{n(frame.axis - wide / 2)}" y="{n(y - 10)}" width="{n(wide)}" height="20" fill="{PAPER}"/>'
        colour = SOFT if size is None else INK
        parts.append(ground + text(frame.axis, y + 4.5, said, bold=size is not None, fill=colour, anchor="middle"))
    return f'<g data-way="{way}">{"".join(parts)}</g>'


def _rounds(frame: section.Frame, bore: BoreSeen) -> list[str]:
    """At each height two diameters about a true circle, their difference drawn larger, and said."""
    apart = {height: bore.apart_m(height) for height in HEIGHTS}
    widest = max((abs(each) for each in apart.values() if each is not None), default=0.0)
    per_m = ROUND_ROOM / max(widest, section.LEAST_REACH_M)
    drawn = []
    r = ROUND_R
    tall = 2 * (r + ROUND_ROOM / 2) + 8
    ys = _apart(_heights(frame, bore), tall, DECK + tall / 2, DECK + TALL - tall / 2)
    if widest:
        times = per_m * bore.nominal_m / (2 * r)
        said = f"drawn {float(f'{times:.1e}'):,.0f} times larger"
        drawn.append(text(ROUND_X + 30, DECK - 26, said, size=12, fill=SOFT, anchor="middle"))
    for (height, each), y in zip(apart.items(), ys, strict=True):
        drawn.append(f'<g data-height="{height}">{_round(y, r, each, per_m)}{_round_words(bore, y, each)}</g>')
    return drawn


def _round(y: float, r: float, apart_m: float | None, per_m: float) -> str:
    circle = f'<circle cx="{n(ROUND_X)}" cy="{n(y)}" r="{n(r)}" fill="{PAPER}" stroke="{LINE}" stroke-width="1.2"'
    if apart_m is None:
        return f'{circle} stroke-dasharray="4 3"/>'
    across, along = r + apart_m * per_m / 2, r - apart_m * per_m / 2
    return (
        f'{circle}/><ellipse cx="{n(ROUND_X)}" cy="{n(y)}" rx="{n(across)}" ry="{n(along)}" fill="none" stroke="{INK}" stroke-width="1.2"/>'
        + path(f"M{n(ROUND_X - across)} {n(y)}h{n(2 * across)}", stroke=BLUE, width=2.4)
        + path(f"M{n(ROUND_X)} {n(y - along)}v{n(2 * along)}", stroke=OCHRE, width=2.4, dash="7 4")
    )


def _round_words(bore: BoreSeen, y: float, apart_m: float | None) -> str:
    x = ROUND_X + ROUND_R + ROUND_ROOM / 2 + 8
    if apart_m is None:
        return text(x, y + 4, "not read", size=12, fill=SOFT)
    said = small_text(bore, abs(apart_m))
    wider = "wider across" if apart_m > 0 else "wider along" if apart_m < 0 else "alike"
    return text(x, y - 2, said, bold=True) + text(x, y + 14, wider, size=12, fill=SOFT)


def _scale_bar(frame: section.Frame, bore: BoreSeen, y: float) -> list[str]:
    """How much larger the wall is drawn, a bar for it, and what the lines are."""
    scale = frame.scale
    unit = unit_m(small_unit(bore))
    step = section.round_step(24 / (scale.wall_per_m * unit)) * unit
    long = step * scale.wall_per_m
    x = MARGIN + 4
    words = [f"walls drawn {times_text(scale, bore)}"]
    if bore.diameters:
        words.append(f"upright grey line: {show(scale.reference_m, Kind.LENGTH, bore.unit, u=5e-7)}")
    return [
        path(f"M{n(x)} {n(y - 10)}v8h{n(long)}v-8", width=1.6),
        text(x + long + 10, y - 2, f"{step_text(bore, step)} of diameter on each wall", size=13),
        *column(x, y + 19, wrapped("; ".join(words), KEY_X - x - 12, 12), size=12, fill=SOFT),
        *_lines_key(bore, y - 2),
    ]


def times_text(scale: section.Scale, bore: BoreSeen) -> str:
    """`1,000 times larger than depth`, to two digits; where depths are not given no such number is true."""
    if not bore.depths:
        return "larger than depth; depths are not given"
    return f"{float(f'{scale.times:.1e}'):,.0f} times larger than depth"


def _lines_key(bore: BoreSeen, y: float) -> list[str]:
    """What is wanted of the bore, with the dashes of its lines, one under the other."""
    drawn = []
    for i, wanted in enumerate(bore.wanted):
        dash = section.LIMIT_DASHES[i % len(section.LIMIT_DASHES)]
        drawn.append(path(f"M{n(KEY_X)} {n(y - 4 + KEY_LINE * i)}h26", width=1.5, dash=dash))
        drawn.append(text(KEY_X + 34, y + KEY_LINE * i, f"{wanted.words}: {_span(wanted, bore.unit)}"))
    return drawn


def _span(wanted: Wanted, unit: str) -> str:
    """`97.2450 to 97.2650 mm`, open sides in words."""
    ends = (wanted.low_m, wanted.high_m)
    low, high = ("" if end is None else show(end, Kind.LENGTH, unit, u=5e-7, with_unit=False) for end in ends)
    return f"{low} to {high} {unit}" if low and high else f"{f'at least {low}' if low else f'up to {high}'} {unit}"


def _verdicts(bore: BoreSeen, y: float) -> tuple[list[str], float]:
    """The fits of the form, each with its mark, value, limits and verdict; and the height of the picture."""
    drawn = [path(f"M{n(MARGIN)} {n(y - 26)}H{n(WIDTH - MARGIN)}", stroke=LINE)]
    for result in bore.results:
        drawn.append(shape(Block(MARGIN + 11, y - 4.5, 22, 16), summed_up([result]), "", 1))
        drawn.append(text(MARGIN + 40, y, result.fit.name, bold=True))
        unit = bore.unit if bore.unit == "mm" else "thou"
        value = value_alone(result, unit) if result.found else ""
        drawn.append(text(MARGIN + 170, y, fitted(value, 174, bold=True), bold=True))
        limits = limits_text(result.limits, result.fit, unit, limits_fineness([result], unit))
        drawn.append(text(MARGIN + 352, y, fitted(limits, 282), fill=SOFT))
        lines = wrapped(short_words(result), WIDTH - 2 * MARGIN - 650, bold=True)
        drawn += column(MARGIN + 650, y, lines, bold=True)
        y += max(26.0, leading(13) * len(lines) + 6)
    for look, said in bore.came_back:
        drawn.append(shape(Block(MARGIN + 11, y - 4.5, 22, 16), Seen(look), "", 1))
        drawn.append(text(MARGIN + 40, y, "work ordered", bold=True))
        drawn.append(text(MARGIN + 170, y, fitted(said, WIDTH - 2 * MARGIN - 170), bold=True))
        y += 26.0
    return drawn, y + 4
