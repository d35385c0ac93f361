"""The clocking of one cylinder: its pack, the builder's own angles or a proposed pattern, and what breaks a rule."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from blockwright.choices.clocking.facing import facing
from blockwright.choices.clocking.frame import bottom_deg
from blockwright.choices.clocking.pattern import propose
from blockwright.choices.clocking.rules import Fault, Pattern, elements_of, faults
from blockwright.engine.job import Job
from blockwright.engine.pack import Clocking, Element, Face
from blockwright.engine.parts import Part, PartKind
from blockwright.engine.positions import cylinder


@dataclass(frozen=True)
class Clocked:
    """Where each piece's gap goes in a cylinder, which way up each piece lies, and what breaks a rule.

    `own` are the pieces where the builder said where; `by_maker` those that a dowel or tab holds, or that go where their maker says: without an
    angle of the builder's they are not in `pattern`. `homeless` are pieces for which the rules leave no place beside those that are fixed.
    """

    number: int
    pattern: Pattern
    own: tuple[Element, ...]
    faults: tuple[Fault, ...]
    facing: tuple[tuple[Element, str], ...]
    by_maker: tuple[Element, ...]
    homeless: tuple[Element, ...] = ()

    @property
    def sound(self) -> bool:
        """Whether every piece has a place and no rule is broken; a wish may be."""
        return not self.homeless and all(fault.wish for fault in self.faults)


def alike(job: Job, clocked: Sequence[Clocked]) -> list[list[Clocked]]:
    """Cylinders of which all the same is to be said, together, in order of the first of each."""
    groups: dict[tuple[object, ...], list[Clocked]] = {}
    for each in clocked:
        down = bottom_deg(job.engine, each.number)
        key = (down, *each.pattern.items(), each.faults, each.facing, each.own, each.by_maker)
        groups.setdefault(key, []).append(each)
    return list(groups.values())


def clocking_of(job: Job, number: int) -> Clocked:
    """The clocking of a cylinder: the builder's angles where he gave them, the rest proposed around them."""
    rings = job.parts.get(job.in_cylinder(number).rings) or Part(mark="", kind=PartKind.RINGS)
    pieces = elements_of(second=rings.second_ring, oil=rings.oil_ring, support=rings.support_rail)
    chosen = _chosen(job, number)
    fixed = {piece: math.degrees(angle) % 360.0 for piece in pieces if (angle := chosen.angle_rad(piece)) is not None}
    by_maker = tuple(piece for piece in pieces if piece is Element.SUPPORT or chosen.held(piece))
    placed = [piece for piece in pieces if piece in fixed or piece not in by_maker]
    pattern = propose(job.engine, number, placed, fixed, by_maker)
    homeless = tuple(piece for piece in placed if piece not in fixed) if pattern is None else ()
    pattern = fixed if pattern is None else pattern
    broken = faults(job.engine, number, pattern, by_maker)
    return Clocked(number, pattern, tuple(fixed), broken, _facing(job, rings, pieces), by_maker, homeless)


def _chosen(job: Job, number: int) -> Clocking:
    """The builder's clocking for a cylinder: his own for it, else his general one, else none."""
    at = str(cylinder(number))
    given = sorted((each for each in job.sheet.clocking if each.at in ("", at)), key=lambda each: each.at == "")
    return given[0] if given else Clocking()


def _facing(job: Job, rings: Part, pieces: tuple[Element, ...]) -> tuple[tuple[Element, str], ...]:
    faces = {Element.TOP: rings.top_face, Element.SECOND: rings.second_face}
    return tuple((piece, facing(job.engine, piece, faces.get(piece, Face.MARKED))) for piece in pieces)
