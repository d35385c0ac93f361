"""The builder's own changes to the route, and his signatures under its steps."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from enum import StrEnum

from blockwright.problems import Place
from blockwright.quantities.declared import Written, entry


class Proof(StrEnum):
    """Kinds of evidence."""

    FIT = "fit"
    COUNT = "count"
    PHOTO = "photo"
    EYES = "second pair of eyes"
    PAINT = "paint mark on each bolt"


@dataclass(frozen=True, kw_only=True)
class OwnEvidence(Written):
    """One thing that must be there before a step of the builder's own can be signed."""

    proof: Proof = entry("fit, count, photo, second pair of eyes, or paint mark on each bolt")
    what: str = entry("name of the fit; or what is to be counted, photographed, looked at, marked")
    at: str = entry("a fit: where; 'cylinder 3', or 'stage main 2' for a turning torque", default="")
    number: int | None = entry(
        "a count or paint marks: how many there must be; any number where not given", default=None
    )


@dataclass(frozen=True, kw_only=True)
class StepChange(Written):
    """One change to the route: a step of the builder's own (it has a name), one moved (`after`, `before`), or one struck."""

    key: str = entry("key of the step; a new one for a step of your own")
    name: str = entry("a step of your own: what it is called", default="")
    do: tuple[str, ...] = entry("a step of your own: what to do, a line each", default=())
    after: tuple[str, ...] = entry("keys of steps that are to be signed before it", default=())
    before: tuple[str, ...] = entry("keys of steps that are to wait for it", default=())
    evidence: tuple[OwnEvidence, ...] = entry(
        "a step of your own: what must be there before it can be signed", default=()
    )
    struck: bool = entry("yes to leave the step out; a hold point cannot be struck", default=False)
    why: str = entry("the reason; a step that is struck needs one", default="")
    by: str = entry("who says so; a step that is struck needs a name", default="")


class Signed(StrEnum):
    """What was signed: that a step is done, or that it was undone."""

    SIGNED = "signed"
    UNDONE = "undone"


class Leaned(StrEnum):
    """Kinds of thing that a signature leans on."""

    FIT = "fit"
    PART = "part"


@dataclass(frozen=True)
class Relied:
    """What a piece of evidence was when a step was signed.

    For a part: its mark, and a short digest of what was said of it. For a fit: its name and position, its value in SI, its standing in words, and
    each reading that it rests on with a short digest of what it said.
    """

    kind: Leaned
    name: str
    at: str = ""
    value_si: float | None = None
    standing: str = ""
    digests: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Look:
    """A fit that was read and that nobody limits, looked at and accepted on the signer's word: `turning torque, stage main 3`, and why."""

    what: str
    why: str


@dataclass(frozen=True)
class Given:
    """What was handed in with a signature: counts, photos and paint marks in the order in which the step asks for them.

    A photo is called by the name under which it is kept, and by its own: `0123456789abcdef.jpg from clips.jpg`.
    """

    counts: tuple[int, ...] = ()
    photos: tuple[str, ...] = ()
    eyes: str = ""
    paint: tuple[int, ...] = ()
    looks: tuple[Look, ...] = ()


@dataclass(frozen=True)
class Signing:
    """One signature under a step, or that it was undone and why. `digest` seals it to the one before."""

    number: int
    event: Signed
    step: str
    by: str
    when: dt.datetime
    given: Given = Given()
    note: str = ""
    relied: tuple[Relied, ...] = ()
    digest: str = ""
    place: Place = field(default=Place(), compare=False)
