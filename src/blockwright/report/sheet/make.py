"""The build sheet of a job folder as a PDF."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import asdict
from typing import TYPE_CHECKING

from blockwright.choices.route.evidence import NOTHING_LOST
from blockwright.choices.route.whole import route_progress
from blockwright.fits.assessment import Assessment
from blockwright.report.rows import blocks
from blockwright.report.sheet.data import sheet_of
from blockwright.report.sheet.digests import Digests
from blockwright.report.sheet.fit_part import marks
from blockwright.report.sheet.picture_part import pictures_of
from blockwright.report.sheet.ring_part import clocks
from blockwright.report.sheet.softening import shortened, softened
from blockwright.report.sheet.work_part import at_work
from blockwright.report.typeset import typeset

if TYPE_CHECKING:
    from blockwright.running.work.result import Work

TEMPLATE = "sheet/sheet.typ"
RUNNING_JOB, RUNNING_ENGINE = 28, 44
"""Letters of a name that have room on the one line at the head of a page."""


def sheet_pdf(
    assessment: Assessment,
    digests: Digests,
    paper: str = "a4",
    lost: Mapping[str, str] = NOTHING_LOST,
    work: Work | None = None,
) -> bytes:
    """The sheet of an assessed job, with the fingerprints of the files it was read from, on a paper of `report.paper`.

    `lost` names the photos of signatures that are missing or altered; `work` is the engine at work, where that was worked out for this very job.

    Raises BlockwrightError where it cannot be set, or the builder's changes of the route cannot be.
    """
    listed = blocks(assessment)
    clocked, drawn = clocks(assessment.job)
    progress = route_progress(assessment.job, lost)
    pictures = pictures_of(assessment, progress)
    working, shown = at_work(assessment.job, work)
    sheet = sheet_of(assessment, listed, progress, pictures, clocked, digests, working)
    data = {
        **asdict(softened(sheet)),
        "paper": paper,
        "running_job": shortened(sheet.job, RUNNING_JOB),
        "running_engine": shortened(sheet.engine, RUNNING_ENGINE),
        "title": f"Build sheet: {sheet.job}, {sheet.engine}",
        "keywords": list(digests.keywords),
    }
    when = dt.date.fromisoformat(sheet.last_day) if sheet.last_day else None
    return typeset(TEMPLATE, data, {**marks(listed), **drawn, **pictures.drawn, **shown}, when)
