"""The whole sheet as text ready to set, part by part: what `sheet.typ` lays out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from blockwright import __version__
from blockwright.choices.route.progress import Progress
from blockwright.fits.assessment import Assessment
from blockwright.report.noticed import noticed
from blockwright.report.rows import Block, counts_text
from blockwright.report.sheet import (
    engine_part,
    fit_part,
    picture_part,
    ring_part,
    route_part,
    shop_part,
    words,
    work_part,
)
from blockwright.report.sheet.digests import Digests
from blockwright.report.sheet.engine_part import Fact
from blockwright.report.sheet.softening import shortened

LONGEST_JOB, LONGEST_NAME = 120, 240
"""Letters of a name that have room at the head of the first page."""


@dataclass(frozen=True)
class FileLine:
    """One file of the job with its fingerprint."""

    name: str
    digest: str


@dataclass(frozen=True)
class Sheet:
    """Everything that is printed, in the order of the page."""

    job: str
    customer: str
    engine: str
    invented: bool
    first_day: str
    last_day: str
    readers: str
    readings: str
    headline: str
    state: str
    counts: str
    plan: picture_part.Shown
    plan_beside: bool
    unsettled: tuple[fit_part.Unsettled, ...]
    waiting: tuple[fit_part.Waiting, ...]
    engine_facts: tuple[Fact, ...]
    size_facts: tuple[Fact, ...]
    duty_facts: tuple[Fact, ...]
    cylinders: tuple[engine_part.Seat, ...]
    mains: tuple[engine_part.Seat, ...]
    parts: tuple[engine_part.PartLine, ...]
    groups: tuple[fit_part.FitGroup, ...]
    how_read: str
    at_work: work_part.AtWork | None
    not_worked: str
    bores: tuple[picture_part.Shown, ...]
    rings: tuple[ring_part.RingSet, ...]
    clocks: tuple[ring_part.Clock, ...]
    joints: tuple[route_part.JointLine, ...]
    route: tuple[picture_part.Shown, ...]
    stages: tuple[route_part.Stage, ...]
    signed: tuple[shop_part.Signed, ...]
    orders: tuple[shop_part.Order, ...]
    noticed: tuple[str, ...]
    gauges: tuple[shop_part.GaugeLine, ...]
    settings: tuple[shop_part.SettingLine, ...]
    how_judged: tuple[Fact, ...]
    checked: str
    not_validated: tuple[str, ...]
    cautions: tuple[str, ...]
    not_this: tuple[str, ...]
    program: str
    digest: str
    files: tuple[FileLine, ...]


def sheet_of(
    assessment: Assessment,
    listed: Sequence[Block],
    progress: Progress,
    pictures: picture_part.Pictures,
    clocks: tuple[ring_part.Clock, ...],
    digests: Digests,
    at_work: work_part.AtWork | None = None,
) -> Sheet:
    """The sheet of an assessment; `listed` are its fits as blocks of rows, `progress` its route, `clocks` how its ring gaps lie, `at_work` what
    the engine does at work, where that was worked out.
    """
    job = assessment.job
    first_day, last_day = shop_part.days(job)
    headline, state = shop_part.headline(assessment)
    return Sheet(
        job=shortened(job.sheet.job, LONGEST_JOB),
        customer=shortened(job.sheet.customer, LONGEST_NAME),
        engine=shortened(job.engine.name, LONGEST_NAME),
        invented=job.sheet.invented,
        first_day=first_day,
        last_day=last_day,
        readers=shop_part.readers(job),
        readings=shop_part.spans(job),
        headline=headline,
        state=state,
        counts=counts_text(assessment),
        plan=pictures.plan,
        plan_beside=pictures.plan_beside,
        unsettled=fit_part.unsettled(job, listed),
        waiting=fit_part.waiting(assessment),
        engine_facts=engine_part.engine_facts(job),
        size_facts=engine_part.size_facts(job),
        duty_facts=engine_part.duty_facts(job),
        cylinders=engine_part.cylinders(job),
        mains=engine_part.mains(job),
        parts=engine_part.part_lines(job),
        groups=fit_part.fit_groups(listed),
        how_read=words.HOW_READ,
        at_work=at_work,
        not_worked="" if at_work else work_part.NONE_KEPT,
        bores=pictures.bores,
        rings=ring_part.ring_sets(job),
        clocks=clocks,
        joints=route_part.joints(job, pictures.orders),
        route=pictures.route,
        stages=route_part.stages(progress, assessment),
        signed=shop_part.signed(assessment),
        orders=shop_part.orders(assessment),
        noticed=noticed(assessment),
        gauges=shop_part.gauges(job),
        settings=shop_part.settings(job),
        how_judged=shop_part.how_judged(job),
        checked=words.CHECKED,
        not_validated=tuple(text for _, text in words.NOT_VALIDATED),
        cautions=words.CAUTIONS,
        not_this=words.NOT_THIS,
        program=f"blockwright {__version__}",
        digest=digests.whole,
        files=tuple(FileLine(name, digest) for name, digest in sorted(digests.files.items())),
    )
