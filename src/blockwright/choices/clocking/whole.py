"""The clocking of one cylinder: its pack, the builder's own angles or a proposed pattern, and what breaks a rule."""

from __future__ import annotations

import math
from dataclasses import dataclass

from blockwright.choices.clocking.facing import facing
from blockwright.choices.clocking.pattern import propose
from blockwright.choices.clocking.rules import Fault, Pattern, elements_of, faults
from blockwright.engine.job import Job
from blockwright.engine.pack import Clocking, Element, Face
from blockwright.engine.parts import Part, PartKind
from blockwright.engine.positions import cylinder


@dataclass(frozen=True)
class Clocked:
    """Where each piece's gap goes in a cylinder, which way up each piece lies, whose pattern it is, and its faults.

    `pattern` is empty where no pattern can keep the rules with what is fixed.
    """

    number: int
    pattern: Pattern
    own: bool
    faults: tuple[Fault, ...]
    facing: tuple[tuple[Element, str], ...]
    by_maker: tuple[Element, ...]


def clocking_of(job: Job, number: int) -> Clocked:
    """The clocking of a cylinder: the builder's angles where he gave them, the rest proposed around them."""
    rings = job.parts.get(job.in_cylinder(number).rings) or Part(mark="", kind=PartKind.RINGS)
    pieces = elements_of(second=rings.second_ring, oil=rings.oil_ring, support=rings.support_rail)
    chosen = _chosen(job, number)
    fixed = {piece: math.degrees(angle) % 360.0 for piece in pieces if (angle := chosen.angle_rad(piece)) is not None}
    held = tuple(piece for piece in pieces if chosen.held(piece))
    own = all(piece in fixed for piece in pieces if piece is not Element.SUPPORT)
    pattern = (
        {piece: fixed[piece] for piece in pieces if piece in fixed}
        if own
        else propose(job.engine, number, pieces, fixed) or {}
    )
    return Clocked(
        number, pattern, own, faults(job.engine, number, pattern, held), _facing(job, rings, pieces), held
    )  # fmt: skip


def _chosen(job: Job, number: int) -> Clocking:
    """The builder's clocking for a cylinder: his own for it, else his general one, else none."""
    at = str(cylinder(number))
    given = sorted((each for each in job.sheet.clocking if each.at in ("", at)), key=lambda each: each.at == "")
    return given[0] if given else Clocking()


def _facing(job: Job, rings: Part, pieces: tuple[Element, ...]) -> tuple[tuple[Element, str], ...]:
    faces = {Element.TOP: rings.top_face, Element.SECOND: rings.second_face}
    return tuple((piece, facing(job.engine, piece, faces.get(piece, Face.MARKED))) for piece in pieces)
