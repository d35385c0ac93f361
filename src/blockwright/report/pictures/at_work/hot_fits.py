"""What a fit becomes when hot, position by position: how the draws lie, the limits, and the share beyond them. All panels share one scale."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from blockwright.report.colours import BLUE, PAPER, SOFT, STEEL, VERMILION
from blockwright.report.pictures.at_work import amounts as told
from blockwright.report.pictures.at_work.axes import BASE, MARGIN, SMALL, WIDTH, Scale, linear, written_along
from blockwright.report.pictures.at_work.films import KINDS
from blockwright.report.pictures.at_work.labels import dashed, heading
from blockwright.report.pictures.drawing import document, fitted, n, path, text, text_width
from blockwright.running.work.result import HotFit

ACROSS, GAP, TALL, ROW = 2, 28.0, 92.0, 196.0
CELL = (WIDTH - 2 * MARGIN - GAP) / ACROSS
OVER, INSET = 8.0, 12.0
LITTLE = 0.001
"""A smaller share is told as `under 0.1 %`."""


@dataclass(frozen=True)
class _Frame:
    """Where a panel stands, in which unit it counts, and how many draws its highest bar holds."""

    left: float
    top: float
    x: Scale
    per: float
    most: int
    unit: str

    @property
    def foot(self) -> float:
        return self.top + TALL

    def at(self, size_m: float) -> float:
        return self.left + self.x.at(size_m / self.per)


def hot_picture(fits: Sequence[HotFit], *, unit: str) -> str:
    """SVG of one fit at all its positions, hot; sizes in `unit`. Raises ValueError for no fits."""
    if not fits:
        raise ValueError("no fit was given to draw")
    unit = "um" if fits[0].fit in KINDS else unit
    said = sentence(fits, unit)
    title = _title(fits[0])
    drawn_any = any(fit.counts for fit in fits)
    note = (
        "Bars: how the draws lie; barred: beyond a limit."
        if drawn_any
        else "Worked out once, without draws: a line for each."
    )
    head, y = heading(title, said, *_limits_told(fits, unit), note)
    per = told.unit_m(unit)
    x = linear(_reach(fits, per), INSET, CELL - INSET, steps=4)
    most = max((count for fit in fits for count in fit.counts), default=1)
    panels = []
    for i, fit in enumerate(fits):
        left, top = MARGIN + (CELL + GAP) * (i % ACROSS), y + 52 + ROW * (i // ACROSS)
        panels.append(_panel(fit, _Frame(left, top, x, per, most, unit)))
    height = y + 52 + ROW * math.ceil(len(fits) / ACROSS) - 20
    name = f"work-hot-{dashed(fits[0].fit)}"
    return document(WIDTH, height, (title, said), [*head, *panels], name=name)


def _title(fit: HotFit) -> str:
    """What is drawn: `Gap of the top ring, hot`."""
    kind = f", {KINDS[fit.fit]}" if fit.fit in KINDS else ""
    return f"{fit.words[:1].upper()}{fit.words[1:]}{kind}"


def sentence(fits: Sequence[HotFit], unit: str) -> str:
    """The worst of them, and from where to where they run, in two sentences."""
    least, most = (pick(fits, key=lambda fit: fit.hot.value) for pick in (min, max))
    span = f"Hot from {_hot(least, unit)} ({least.position}) to {_hot(most, unit)} ({most.position})."
    if len(fits) == 1:
        span = f"Hot: {_hot(least, unit)} ({least.position})."
    return f"{_worst(fits)} {span}"


def _worst(fits: Sequence[HotFit]) -> str:
    limited = [fit for fit in fits if fit.low is not None or fit.high is not None]
    if not limited:
        return f"Nobody gives a limit for the hot {fits[0].fit}."
    worst = max(limited, key=lambda fit: fit.below + fit.above)
    if worst.below + worst.above <= 0.0:
        return "Nothing lies beyond a limit at any position."
    return f"Worst at {worst.position}: {beyond(worst)}; {worst.said}."


def _hot(fit: HotFit, unit: str) -> str:
    return told.length(fit.hot.value, unit, fit.hot.sd)


def _limits_told(fits: Sequence[HotFit], unit: str) -> list[str]:
    """The limits of all positions in words, where they are the same and somebody gives them."""
    limits = {(fit.low, fit.high, fit.authority) for fit in fits}
    if len(limits) > 1:
        return ["Dashed: the limits, which differ by position."]
    [(low, high, authority)] = limits
    if low is None and high is None:
        return []
    words = [f"{way} {_size(limit, unit)}" for way, limit in (("from", low), ("up to", high)) if limit is not None]
    return [f"Dashed: the limits, {' '.join(words)} ({authority})."]


def _size(size_m: float, unit: str) -> str:
    return told.micron(size_m) if unit == "um" else told.length(size_m, unit)


def beyond(fit: HotFit) -> str:
    """The share beyond each limit, in words."""
    shares = [(fit.below, "below", fit.low), (fit.above, "above", fit.high)]
    known = [(share, way) for share, way, limit in shares if limit is not None and share > 0.0]
    if len(known) > 1 and all(share < LITTLE for share, _ in known):
        return f"{told.per_cent(LITTLE / 2)} beyond"
    parts = [f"{told.per_cent(share)} {way}" for share, way in known if len(known) == 1 or share >= LITTLE]
    return ", ".join(parts) or "none beyond"


def _reach(fits: Sequence[HotFit], per: float) -> list[float]:
    """What the scale must reach: bins and values, and a little beyond each limit."""
    values = [each / per for fit in fits for each in (*fit.bins, fit.hot.value)]
    limits = {limit / per for fit in fits for limit in (fit.low, fit.high) if limit is not None}
    little = 0.05 * (max((*values, *limits)) - min((*values, *limits)))
    return [*values, *(limit + side * little for limit in limits for side in (-1, 1))]


def _panel(fit: HotFit, frame: _Frame) -> str:
    """One position: its name and standing, the bars, the limits, the axis, and the share beyond."""
    right = frame.left + CELL
    value = fitted(_hot(fit, frame.unit), CELL * 0.5, SMALL, bold=True)
    room = CELL - text_width(value, SMALL, bold=True) - 10
    share = fitted(_beyond_shortly(fit), room, SMALL)
    drawn = (
        text(frame.left, frame.top - 28, fitted(fit.position, CELL * 0.5, BASE, bold=True), size=BASE, bold=True),
        text(right, frame.top - 28, fitted(fit.standing, CELL * 0.48, SMALL), size=SMALL, anchor="end"),
        *_beyond_ground(fit, frame),
        *_bars(fit, frame),
        *_limits(fit, frame),
        *_axis(frame),
        text(frame.left, frame.foot + 42, value, size=SMALL, bold=True),
        text(right, frame.foot + 42, share, size=SMALL, anchor="end"),
    )
    return "".join(drawn)


def _beyond_shortly(fit: HotFit) -> str:
    """The share beyond the limits in few words: both sides together where both have some."""
    if fit.low is None and fit.high is None:
        return "no limit"
    both = fit.below >= LITTLE and fit.above >= LITTLE
    return f"{told.per_cent(fit.below + fit.above)} beyond" if both else beyond(fit)


def _bars(fit: HotFit, frame: _Frame) -> list[str]:
    """The draws in their bins, beyond a limit barred; a line at the value where there are none."""
    if not fit.counts:
        x = frame.at(fit.hot.value)
        out = _out(fit, fit.hot.value)
        return [path(f"M{n(x)} {n(frame.foot)}V{n(frame.top + 8)}", stroke=VERMILION if out else BLUE, width=5)]
    inside, beyond_box, beyond_bars = "", "", ""
    for i, count in enumerate(fit.counts):
        for low, high in _split(fit, fit.bins[i], fit.bins[i + 1]) if count else ():
            tall = (TALL - 12) * count / frame.most
            left, wide = frame.at(low), frame.at(high) - frame.at(low)
            box = f"M{n(left)} {n(frame.foot)}v{n(-tall)}h{n(wide)}v{n(tall)}z"
            if _out(fit, (low + high) / 2):
                beyond_box += box
                beyond_bars += "".join(f"M{n(left)} {n(y)}h{n(wide)}" for y in _levels(frame.foot, tall))
            else:
                inside += box
    mark = path(f"M{n(frame.at(fit.hot.value))} {n(frame.foot)}v7", width=2.4)
    return [
        path(inside, stroke=BLUE, width=0.6, fill=BLUE) if inside else "",
        path(beyond_box, stroke=VERMILION, width=1.4, fill=PAPER) if beyond_box else "",
        path(beyond_bars, stroke=VERMILION, width=2.6) if beyond_bars else "",
        mark,
    ]


def _levels(foot: float, tall: float) -> list[float]:
    """Where the bars of a barred column lie, from its foot up."""
    return [foot - 2 - 5 * i for i in range(int((tall - 2) // 5) + 1)] if tall > 3 else []


def _split(fit: HotFit, low: float, high: float) -> list[tuple[float, float]]:
    """A bin, cut where a limit lies in it."""
    cuts = [limit for limit in (fit.low, fit.high) if limit is not None and low < limit < high]
    edges = [low, *cuts, high]
    return list(pairwise(edges))


def _out(fit: HotFit, size_m: float) -> bool:
    return (fit.low is not None and size_m < fit.low) or (fit.high is not None and size_m > fit.high)


def _limits(fit: HotFit, frame: _Frame) -> list[str]:
    """The limits as upright lines."""
    ends = [frame.at(limit) for limit in (fit.low, fit.high) if limit is not None]
    return [path(f"M{n(x)} {n(frame.foot)}V{n(frame.top - OVER)}", width=2.0, dash="6 3") for x in ends]


def _beyond_ground(fit: HotFit, frame: _Frame) -> list[str]:
    """The ground beyond the limits."""
    spans = []
    if fit.low is not None:
        spans.append((frame.left, frame.at(fit.low)))
    if fit.high is not None:
        spans.append((frame.at(fit.high), frame.left + CELL))
    top = frame.top - OVER
    lines = [f"M{n(a)} {n(top)}H{n(b)}V{n(frame.foot)}H{n(a)}z" for a, b in spans if b > a]
    return [path(line, stroke="none", width=0, fill=STEEL) for line in lines]


def _axis(frame: _Frame) -> list[str]:
    """The foot of a panel, with its numbers and its unit."""
    drawn = [path(f"M{n(frame.left)} {n(frame.foot)}h{n(CELL)}", width=1.2)]
    for x, said in written_along(frame.x, 2.0 - GAP / 2, CELL + GAP / 2 - 2.0):
        drawn.append(path(f"M{n(frame.left + x)} {n(frame.foot)}v5", stroke=SOFT, width=1.0))
        drawn.append(text(frame.left + x, frame.foot + 20, said, size=SMALL, fill=SOFT, anchor="middle"))
    return drawn
