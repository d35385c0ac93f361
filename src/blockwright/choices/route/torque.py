"""How a joint is tightened: the maker's order and stages; an order from the centre out only where he gives none, and marked so.

No torque is ever made up: where nobody gave one the step says so. Tightening again is asked for only where the maker asks: bolts tightened by
stretch, and most gaskets of layered steel, must not be touched again (common practice, no source).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from blockwright.engine.fasteners import Fastener, Joint
from blockwright.engine.job import Job
from blockwright.engine.rules import Units
from blockwright.quantities import Kind, show

USUAL_LUBRICANT = "by the maker's word; else common practice: clean engine oil on thread and under the head"
NEEDS_ORDER = (Joint.MAIN_CAPS, Joint.BEDPLATE, Joint.CASE, Joint.HEADS, Joint.CAM_CAPS, Joint.SUMP, Joint.BARRELS)
"""Joints that leak, bend or bind where the order is wrong; of others an order is given only if the maker gives it."""
ON_EACH = {
    Joint.MAIN_CAPS: " on each cap", Joint.MAIN_SIDES: " on each cap", Joint.RODS: " on each rod", Joint.HEADS: " on each head",
    Joint.BARRELS: " on each barrel", Joint.OIL_JETS: " on each jet", Joint.PLUGS: " on each plug",
}  # fmt: skip
"""Joints that an engine has several of."""


@dataclass(frozen=True)
class Tightening:
    """How one joint is tightened. `order` numbers the bolts in the order in which they are drawn; `generated` where no maker gave it.

    `dry_lines` are for a mock-up, after which it all comes apart again.
    """

    joint: Joint
    told: Fastener | None = None
    order: tuple[int, ...] = ()
    generated: bool = False
    lines: tuple[str, ...] = ()
    dry_lines: tuple[str, ...] = ()

    @property
    def with_lubricant(self) -> tuple[str, ...]:
        """The lines, with what the maker wants on the thread before them if he says it."""
        maker = self.told.lubricant if self.told else ""
        return (f"threads of the {self.joint}: {self.lubricant}", *self.lines) if maker else self.lines

    @property
    def count(self) -> int | None:
        """Bolts at one place; `None` where nobody said."""
        return None if self.told is None else self.told.count or len(self.told.pattern) or None

    @property
    def lubricant(self) -> str:
        """What goes on the thread, by whose word."""
        maker = self.told.lubricant if self.told else ""
        return f"{maker} (the bolt maker's word)" if maker else USUAL_LUBRICANT

    @property
    def one_use(self) -> bool:
        """Whether the bolts are thrown away once they were tight."""
        return self.told is not None and self.told.one_use


def tightening(job: Job, joint: Joint) -> Tightening:
    """How a joint of this job is tightened, in words for its step."""
    told = next((each for each in job.sheet.fastener if each.joint is joint), None)
    if told is None:
        line = f"no torque is given for the {joint}: find the maker's, and write it into job.toml as [[fastener]]"
        return Tightening(joint, lines=(line,), dry_lines=(line,))
    generated = not told.pattern and joint in NEEDS_ORDER and (told.count or 0) > 2
    order = centre_out(told.count, told.rows) if generated and told.count else told.pattern
    lines = tuple(_lines(job, told, order, generated))
    return Tightening(joint, told, order, generated, (*lines, *_final_lines(told)), (*lines, *_dry_lines(told)))


def centre_out(count: int, rows: int = 2) -> tuple[int, ...]:
    """An order from the centre out, crosswise from row to row. Bolts are numbered row by row, each row from the front.

    >>> centre_out(10)
    (3, 8, 2, 7, 4, 9, 1, 6, 5, 10)
    >>> centre_out(4, rows=1)
    (2, 3, 1, 4)
    """
    share, extra = divmod(count, max(rows, 1))
    lengths = [share + (row < extra) for row in range(max(rows, 1))]
    starts = [sum(lengths[:row]) for row in range(len(lengths))]
    spots = [
        (abs(index - 0.5 * (length - 1)) / max(length, 1), index >= 0.5 * length, row, start + index + 1)
        for row, (start, length) in enumerate(zip(starts, lengths, strict=True))
        for index in range(length)
    ]
    return tuple(spot[-1] for spot in sorted(spots))


def _lines(job: Job, told: Fastener, order: tuple[int, ...], generated: bool) -> Iterator[str]:
    by = f" ({told.source})" if told.source else " (no source given)"
    many = ON_EACH.get(told.joint, " bolt" if told.count == 1 else " bolts")
    alone = told.count == 1 and told.joint in ON_EACH
    bolts = f"{told.count}{many}" if told.count and not alone else ""
    if told.size or bolts:
        yield f"{told.joint}: {', '.join(text for text in (told.size, bolts) if text)}"
    ways = list(_ways(job, told))
    if ways:
        yield f"{'' if told.size or bolts else f'{told.joint}: '}{'; then '.join(ways)}{by}"
    else:
        yield f"no torque is given for the {told.joint}: find the maker's"
    if order:
        whose = "generated, centre out, no maker's order given: prefer his" if generated else f"the maker's order{by}"
        yield f"order {' '.join(map(str, order))}: {whose}"
    if generated and len(told.stages) < 2:
        yield "all round in three stages, about half, three quarters and all of it (common practice, no source)"


def _dry_lines(told: Fastener) -> Iterator[str]:
    if told.one_use:
        yield "the old bolts, for the mock-up only: new ones are spent once they were tight"


def _final_lines(told: Fastener) -> Iterator[str]:
    if told.one_use:
        yield "new bolts: these are thrown away once they were tight"
    yield (
        f"tighten again: {told.retorque}"
        if told.retorque
        else "do not tighten again later: the maker does not ask for it"
    )


def _ways(job: Job, told: Fastener) -> Iterator[str]:
    yield from told.stages
    if told.angle_rad is not None:
        yield f"turn on by {math.degrees(told.angle_rad):.3g}°"
    if told.stretch_m is not None:
        unit = "thou" if job.rules.units is Units.INCH else "mm"
        yield f"until each bolt is {show(told.stretch_m, Kind.LENGTH, unit)} longer, over both ends"
