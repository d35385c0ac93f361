"""The form of the route's answer: what `report.route_json` makes, described. A name that is not described here is a fault, which the tests find."""

from __future__ import annotations

import datetime as dt
from typing import Literal

from ninja import Field, Schema
from pydantic import ConfigDict

State = Literal["done", "now", "waits"]


class Whole(Schema):
    """A form to which nothing is added."""

    model_config = ConfigDict(extra="forbid")


class LookTold(Whole):
    """A fit that nobody limits, looked at and accepted on somebody's word."""

    what: str
    why: str


class StepSigned(Whole):
    """The last signature under a step, or that it was undone, with what was given."""

    event: Literal["signed", "undone"]
    by: str
    when: dt.datetime
    note: str
    counts: list[int]
    photos: list[str] = Field(description="Each by the name under which it is kept, and by the one that it came with.")
    eyes: str = Field(description="The second pair of eyes.")
    paint: list[int]
    looks: list[LookTold]


class EvidenceTold(Whole):
    """One thing that must be there before a step can be signed. Of a fit also how it stands."""

    proof: str = Field(description="fit, count, photo, second pair of eyes, or paint mark on each bolt")
    what: str
    at: str
    number: int | None = Field(description="What must be counted.")
    words: str
    standing: str = Field("", description="Of a fit: conforms, undecided, nonconforming, open, ...")
    will_do: bool = Field(False, description="Of a fit: whether it lets the step be signed.")
    look: str = Field("", description="Of a fit that nobody limits: why it may stay so.")
    unit: str = Field("", description="Of a fit: SI unit of its value.")
    value: float | None = Field(None, description="Of a fit that was read: its value.")


class MissingTold(Whole):
    """What a signature with nothing handed in would be refused for."""

    code: str
    what: str
    mend: str


class StepTold(Whole):
    """One step."""

    key: str
    name: str
    stage: str = Field(alias="pass")
    group: str
    at: str
    state: State
    hold_point: bool
    needs: list[str] = Field(description="Keys of every step before it.")
    waits_for: list[str] = Field(description="Those of them that are not done.")
    within: str = Field(description="The step whose clock this one must keep.")
    open_time_s: float | None = Field(description="The clock that it starts.")
    closes: list[str] = Field(description="What can no longer be measured or done after it.")
    parts: list[str]
    tools: list[str]
    uses_up: list[str]
    do: list[str]
    which_way_round: list[str]
    lubricant: str
    torque: list[str]
    take_care: list[str]
    evidence: list[EvidenceTold]
    missing: list[MissingTold]
    open_again: list[str] = Field(description="Why its signature no longer holds.")
    signed: StepSigned | None


class LastChance(Whole):
    """A fit that can no longer be measured after a step that can be done now."""

    before: str
    fit: str
    at: str
    words: str


class RouteClock(Whole):
    """A sealant's clock that runs."""

    step: str
    began: dt.datetime
    ends: dt.datetime
    left_s: float = Field(description="Below nothing where it has set.")
    waiting: list[str]


class RouteCounts(Whole):
    """How many steps there are of each state."""

    steps: int
    done: int
    now: int
    waits: int
    left: int
    hold_points_left: int


class OpenAgain(Whole):
    """A step whose signature no longer holds, and why."""

    step: str
    why: list[str]


class PhotoLost(Whole):
    """A photo under a signature that is missing or altered."""

    photo: str
    words: str


class RouteTold(Whole):
    """How far the assembly has got, as `blockwright route show --json` prints it."""

    form: str = Field(alias="format", description="blockwright route 1")
    program: str
    job: str
    engine: str
    invented: bool
    at: dt.datetime = Field(description="When this was told: what is left of a clock counts from here.")
    counts: RouteCounts
    left: list[str]
    clocks: list[RouteClock]
    last_chances: list[LastChance]
    open_again: list[OpenAgain]
    photos_lost: list[PhotoLost]
    signed_under_no_step: list[str]
    steps: list[StepTold]
