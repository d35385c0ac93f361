"""What the steps rest on: the engine, how it goes together, which fits are asked for, marks of parts, and how keys are made."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from blockwright.choices.route.content.held import Holding
from blockwright.choices.route.step import Evidence, Proof
from blockwright.choices.route.torque import Tightening, tightening
from blockwright.engine.assembly import Assembly, CamPlace, HeadFor, PistonWay
from blockwright.engine.duty import Cooling
from blockwright.engine.fasteners import Joint
from blockwright.engine.job import Job
from blockwright.engine.layout import Case, Engine
from blockwright.engine.parts import PartKind
from blockwright.engine.positions import Place, Position

BY_MAKER = "by the maker's word; else common practice: "
CLEAN_OIL = f"{BY_MAKER}clean engine oil"
LIP_OIL = f"{BY_MAKER}a film of oil on the lip; some lips of fluorine plastic want to stay dry"
FINGERS = "Fingers clear of throws, rods and counterweights when the crank is turned: nothing stops them."
BUILD_PASTE = f"{BY_MAKER}assembly paste, since it stays where it is put until the oil comes"
USUAL_OPEN_S = 600.0
"""How long a sealant stays open where nobody read its tube: ten minutes (common practice, no source)."""


def dry(name: str) -> str:
    """Key of a step of the mock-up."""
    return f"mock-up: {name}"


def wash(name: str) -> str:
    """Key of a step of strip and wash."""
    return f"strip: {name}"


def final(name: str) -> str:
    """Key of a step of the final assembly."""
    return f"final: {name}"


def count(what: str, number: int | None = None) -> Evidence:
    """A count as evidence; `number` is what must be counted, where that is known."""
    return Evidence(Proof.COUNT, what, number=number)


def eyes(what: str) -> Evidence:
    """A second pair of eyes on something."""
    return Evidence(Proof.EYES, what)


def photo(what: str) -> Evidence:
    """A photo of something."""
    return Evidence(Proof.PHOTO, what)


def paint(what: str, tight: Tightening, places: int = 1) -> Evidence:
    """A paint mark on each bolt of a joint, counted where their number is known."""
    return Evidence(Proof.PAINT, what, number=None if tight.count is None else tight.count * places)


@dataclass(frozen=True)
class Facts:
    """A job's engine with everything that its order of assembly rests on."""

    job: Job
    how: Assembly
    held: Holding

    @property
    def engine(self) -> Engine:
        """The engine."""
        return self.job.engine

    @property
    def water(self) -> bool:
        """Whether water cools it."""
        return self.job.duty.cooling is Cooling.WATER

    @property
    def split(self) -> bool:
        """Whether the case is split on the crank line."""
        return self.engine.case is Case.SPLIT

    @property
    def below(self) -> bool:
        """Whether pistons go in from below, before the crank is closed in."""
        return self.how.pistons_enter is PistonWay.BELOW

    @property
    def rod_with_piston(self) -> bool:
        """Whether a piston brings its rod along into the bore, to be joined to the crank there and then."""
        return self.how.pistons_enter is PistonWay.ABOVE

    @property
    def driven(self) -> bool:
        """Whether the cam drive, and with it front cover and sump, is part of this build."""
        return self.how.heads or self.how.cam is not CamPlace.OVERHEAD

    @cached_property
    def cylinders(self) -> tuple[Position, ...]:
        """Cylinders in the order of their numbers, which is that of the turning torque's stages."""
        return self.engine.positions(Place.CYLINDER)

    @cached_property
    def mains(self) -> tuple[Position, ...]:
        """Main bearings, front to rear."""
        return self.engine.positions(Place.MAIN)

    @cached_property
    def head_places(self) -> tuple[tuple[Position, tuple[Position, ...]], ...]:
        """Where each head goes, and the cylinders that it covers."""
        if self.how.head_for is HeadFor.CYLINDER:
            return tuple((at, (at,)) for at in self.cylinders)
        banks = self.engine.positions(Place.BANK)
        return tuple(
            (bank, tuple(at for at in self.cylinders if at.number in numbers))
            for bank, numbers in zip(banks, self.engine.numbering, strict=True)
        )

    @property
    def heads(self) -> tuple[str, ...]:
        """Keys of the final steps that put the heads on; nothing for a short block."""
        return tuple(final(head_name(at)) for at, _ in self.head_places) if self.how.heads else ()

    @property
    def closed(self) -> str:
        """Key of the final step after which the crank is closed in, and turns as it should."""
        return final("thrust" if self.engine.case is Case.CAPS else "end float")

    @property
    def joined(self) -> tuple[str, ...]:
        """Keys of the final steps after which every piston hangs on the crank."""
        last = "rod" if self.below and not self.split else "piston"
        return (self.closed, *(final(f"{last} {at.label}") for at in self.cylinders))

    @property
    def open_s(self) -> float:
        """How long the sealant stays open."""
        return self.how.sealant_open_s or USUAL_OPEN_S

    @property
    def open_words(self) -> str:
        """By whose word."""
        return (
            "The tube's time is taken, as written in [assembly]."
            if self.how.sealant_open_s
            else "Ten minutes are taken (common practice, no source): read the tube and write sealant_open in [assembly]."
        )

    @property
    def services(self) -> tuple[str, ...]:
        """Key of the step that closes the holes through which pins went in; nothing where there are none."""
        return (final("service holes"),) if self.how.pistons_enter is PistonWay.ALONE else ()

    def tight(self, joint: Joint) -> Tightening:
        """How a joint is tightened."""
        return tightening(self.job, joint)

    def one(self, kind: PartKind) -> tuple[str, ...]:
        """Mark of the only part of a kind, if there is one."""
        mark = self.job.only(kind)
        return (mark,) if mark else ()

    def of(self, at: Position, *fields: str) -> tuple[str, ...]:
        """Marks of what is assigned to a cylinder: `piston`, `pin`, `rings`, `rod`, `shells`."""
        held = self.job.in_cylinder(at.number)
        marks = (getattr(held, field) for field in fields)
        return tuple(each for mark in marks for each in ((mark,) if isinstance(mark, str) else mark) if each)


def head_name(at: Position) -> str:
    """What the step of a head is called by: `head 2` for a bank, `head of cylinder 3`."""
    return f"head {at.label}" if at.place is Place.BANK else f"head of {at}"


def facts_of(job: Job) -> Facts:
    """What the steps of a job rest on."""
    return Facts(job, job.sheet.assembly.of(job.engine), Holding(job))
