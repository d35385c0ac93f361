"""Where slot and pin lie in a mark: the geometry behind every drawing of it, pure and in the units of a canvas.

Where the picture is too coarse for what was decided, or a plain rule looked at the value alone, the verdict wins: the pin is moved or
cut until it says what the standing says, by as little as can be seen. The slot stands at the same place in every mark; only with fewer
than two limits has the scale to come from elsewhere.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

CONFORMS, UNDECIDED, NONCONFORMING, ACCEPTED = "conforms", "undecided", "nonconforming", "accepted"
UNLIMITED, OPEN = "no limit given", "open"
STANDINGS = (CONFORMS, UNDECIDED, NONCONFORMING, ACCEPTED, UNLIMITED, OPEN)

FINEST = 2.0**-20
"""Places are kept to this part of a canvas unit, so that noise of the last digit never moves a pin."""


@dataclass(frozen=True)
class Mark:
    """What a mark shows, all numbers in one unit: limits (`None` where a side is open), aim, value, and half the pin's width.

    The half-width is the expanded uncertainty. `standing` is one of `STANDINGS`; with "open" the value is not looked at. Raises ValueError
    for another word, a number that is not finite, or a negative half-width.
    """

    low: float | None
    high: float | None
    aim: float | None
    value: float
    half: float
    standing: str

    def __post_init__(self) -> None:
        if self.standing not in STANDINGS:
            raise ValueError(f"{self.standing!r} is no standing; there are: {', '.join(STANDINGS)}")
        read = () if self.standing == OPEN else (self.value, self.half)
        given = [number for number in (self.low, self.high, self.aim, *read) if number is not None]
        if not all(map(math.isfinite, given)) or any(number < 0.0 for number in read[1:]):
            raise ValueError(f"a mark needs finite numbers, and a half-width that is not negative: {self}")


class Span(NamedTuple):
    """A stretch of the picture, from left to right."""

    start: float
    end: float


@dataclass(frozen=True)
class Canvas:
    """How a picture is laid out: its width, the plate on either side, and the thickness of a wall.

    `least` is the width of the thinnest pin, `tip` of the point of a pin that goes on past the picture, `grid` the step on which pins end.
    """

    width: float
    plate: float
    wall: float
    least: float
    tip: float
    grid: float


@dataclass(frozen=True)
class Placed:
    """A mark laid out on a canvas, in its units from the left edge.

    Where the limits exclude each other (`crossed`) there is no slot, and the left wall is the high limit's.
    """

    left: Span | None
    right: Span | None
    aim: float | None
    pins: tuple[Span, ...]
    past_left: bool = False
    past_right: bool = False
    crossed: bool = False


def place(mark: Mark, canvas: Canvas) -> Placed:
    """Lay a mark out on a canvas. A larger value never lies further left, and a mirrored mark gives the mirrored picture."""
    left, right = _walls(mark, canvas)
    scale, crossed = _scale(mark, canvas), _crossed(mark)
    aim = None if mark.aim is None else _aim(mark, canvas, scale.at(mark.aim), left, right)
    if mark.standing == OPEN:
        return Placed(left, right, aim, (), crossed=crossed)
    pin = _pin(mark, canvas, scale)
    pins = (pin,) if crossed or left is right is None else _told(mark, canvas, pin, left, right)
    past_left, past_right = pins[0].start < canvas.tip, pins[-1].end > canvas.width - canvas.tip
    return Placed(left, right, aim, tuple(_kept(canvas, pin) for pin in pins), past_left, past_right, crossed)


def _walls(mark: Mark, canvas: Canvas) -> tuple[Span | None, Span | None]:
    """The walls of the slot, always at the same place; two equal limits leave the narrowest slot there is."""
    if mark.standing == UNLIMITED:
        return None, None
    inner = canvas.plate + canvas.wall
    if mark.low is not None and mark.low == mark.high:
        inner = math.floor((canvas.width - canvas.least) / 2 / canvas.grid) * canvas.grid
    left = None if mark.low is None else Span(inner - canvas.wall, inner)
    right = None if mark.high is None else Span(canvas.width - inner, canvas.width - inner + canvas.wall)
    return left, right


@dataclass(frozen=True)
class _Scale:
    """From a value to a place: `anchor` lies at `origin` from the left, `reach` away from it is `room` further."""

    anchor: float
    origin: float
    reach: float
    room: float

    def at(self, value: float) -> float:
        steps = (value - self.anchor) / self.reach
        return self.origin + round(min(max(steps, -4.0), 4.0) * self.room / FINEST) * FINEST


def _scale(mark: Mark, canvas: Canvas) -> _Scale:
    """The slot fills the room between the walls. Without two walls the aim, the limit's size or the pin gives the scale; the value only
    where nothing else can, since a scale that follows the value would hide where it lies.
    """
    room, middle = canvas.width - 2.0 * canvas.plate - canvas.wall, canvas.width / 2.0
    low, high = (None, None) if mark.standing == UNLIMITED else (mark.low, mark.high)
    if low is not None and high is not None:
        anchor = (low + high) / 2.0
        return _Scale(anchor, middle, abs(high - low) or _one_sided(mark, anchor, 0.0), room)
    if low is not None:
        return _Scale(low, middle - room / 2.0, _one_sided(mark, low, 1.0), room)
    if high is not None:
        return _Scale(high, middle + room / 2.0, _one_sided(mark, high, -1.0), room)
    anchor = mark.aim if mark.aim is not None else 0.0 if mark.standing == OPEN else mark.value
    return _Scale(anchor, middle, _room_for_pin(mark, anchor, 0.0), room)


def _one_sided(mark: Mark, limit: float, inward: float) -> float:
    """How much fills the room beyond a limit that stands alone: all the way to zero if that lies inwards, or else half the limit.

    An aim other than zero comes first: then it is twice the way to the aim.
    """
    if mark.aim and mark.aim != limit:
        return _room_for_pin(mark, limit, 2.0 * abs(mark.aim - limit))
    return _room_for_pin(mark, limit, abs(limit) if limit * inward < 0.0 else abs(limit) / 2.0)


def _room_for_pin(mark: Mark, anchor: float, reach: float) -> float:
    """The reach, widened so that the pin takes no more than half of the room."""
    if mark.standing == OPEN:
        return reach or 1.0
    return max(reach, 4.0 * mark.half) or 4.0 * abs(mark.value - anchor) or 1.0


def _crossed(mark: Mark) -> bool:
    """Whether the limits exclude each other, so that there is no slot."""
    if mark.low is None or mark.high is None or mark.standing == UNLIMITED:
        return False
    return mark.low > mark.high


def _aim(mark: Mark, canvas: Canvas, at: float, left: Span | None, right: Span | None) -> float | None:
    """Where the aim is drawn: on its own side of each wall, and nowhere if it lies past the picture."""
    assert mark.aim is not None
    half = canvas.grid / 2.0
    if left is not None and mark.low is not None and not _crossed(mark):
        at = max(at, left.end + half) if mark.aim >= mark.low else min(at, left.start - half)
    if right is not None and mark.high is not None and not _crossed(mark):
        at = min(at, right.start - half) if mark.aim <= mark.high else max(at, right.end + half)
    return at if canvas.tip <= at <= canvas.width - canvas.tip else None


def _pin(mark: Mark, canvas: Canvas, scale: _Scale) -> Span:
    """The pin as measured, on the grid, and no thinner than can be seen; an end halfway between two steps is drawn further out."""
    centre, thin = scale.at(mark.value), canvas.least / 2.0
    start = min(scale.at(mark.value - mark.half), centre - thin)
    end = max(scale.at(mark.value + mark.half), centre + thin)
    return Span(
        math.ceil(start / canvas.grid - 0.5) * canvas.grid,
        math.floor(end / canvas.grid + 0.5) * canvas.grid,
    )


def _told(mark: Mark, canvas: Canvas, pin: Span, left: Span | None, right: Span | None) -> tuple[Span, ...]:
    """The pin moved or cut until it says what the standing says."""
    left = left or Span(-math.inf, -math.inf)
    right = right or Span(math.inf, math.inf)
    if mark.standing == CONFORMS:
        return (_inside(pin, left, right, canvas.least),)
    if mark.standing == NONCONFORMING or (mark.standing == ACCEPTED and _wholly_out(mark)):
        return _outside(mark, pin, left, right, canvas.least)
    return (_across(mark, pin, left, right, canvas.least),)


def _inside(pin: Span, left: Span, right: Span, least: float) -> Span:
    start = min(max(pin.start, left.end), right.start - least)
    end = max(min(pin.end, right.start), left.end + least)
    return Span(start, end)


def _outside(mark: Mark, pin: Span, left: Span, right: Span, least: float) -> tuple[Span, ...]:
    """The pin on the plate. A value between the limits that is out all the same, as its pin dwarfs the slot, lies on both sides."""
    below = mark.low is not None and mark.value <= mark.low
    above = mark.high is not None and mark.value >= mark.high
    pieces = []
    if mark.low is not None and below >= above:
        pieces.append(Span(min(pin.start, left.start - least), min(pin.end, left.start)))
    if mark.high is not None and above >= below:
        pieces.append(Span(max(pin.start, right.end), max(pin.end, right.end + least)))
    return tuple(pieces)


def _across(mark: Mark, pin: Span, left: Span, right: Span, least: float) -> Span:
    """The pin across each wall that it reaches, or else across the nearest, and clear of the other."""
    start, end = pin
    low_away, high_away = _away(mark.low, mark.value), _away(mark.high, mark.value)
    reached = max(mark.half, min(low_away, high_away))
    if low_away <= reached:
        start, end = min(start, left.start - least), max(end, left.end + least)
    if high_away <= reached:
        start, end = min(start, right.start - least), max(end, right.end + least)
    if low_away > reached:
        start = max(start, left.end)
    if high_away > reached:
        end = min(end, right.start)
    return Span(start, end)


def _away(limit: float | None, value: float) -> float:
    return math.inf if limit is None else abs(value - limit)


def _wholly_out(mark: Mark) -> bool:
    below = mark.low is not None and mark.value + mark.half < mark.low
    return below or (mark.high is not None and mark.value - mark.half > mark.high)


def _kept(canvas: Canvas, pin: Span) -> Span:
    """The pin within the picture; one that goes on past it ends at the edge, with a body behind its point."""
    first, last = canvas.tip, canvas.width - canvas.tip
    start, end = min(pin.start, last - canvas.least), max(pin.end, first + canvas.least)
    return Span(0.0 if start < first else start, canvas.width if end > last else end)
