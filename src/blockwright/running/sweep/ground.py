"""What every case of one job rests on: the job as judged, and when its charge burns; and the facts of a case.

The geometry of the engine is the job's own in every case: a compression ratio that is assumed from the job's boost stays as it is where the boost
is swept. Where the job gives a peak pressure, it holds at the job's duty: the burning is set so that it comes out there, and kept for all cases.
Temperatures given in the job are held in every case.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from blockwright.engine.duty import Cooling
from blockwright.engine.job import Job
from blockwright.fits.assessment import Assessment
from blockwright.problems import BlockwrightError, Problem
from blockwright.running.assess import assess
from blockwright.running.sweep.cases import Case
from blockwright.running.work.draws import Draws
from blockwright.running.work.facts import Facts, facts_of
from blockwright.running.work.heat import network
from blockwright.running.work.kept import digest_of
from blockwright.running.work.matched import matched

ALONE = Draws(0, 0)
"""The best values and no draws."""


@dataclass(frozen=True)
class Ground:
    """A job made ready for cases. `half_burnt_rad` is None where the job gives no peak pressure to fit the burning to."""

    job: Job
    digest: str
    half_burnt_rad: float | None

    @property
    def assessment(self) -> Assessment:
        """The job as judged; worked out once in each process, for it cannot be sent from one to another."""
        found = _ASSESSED.get(self.digest)
        if found is None:
            _ASSESSED.clear()
            found = _ASSESSED[self.digest] = assess(self.job)
        return found


_ASSESSED: dict[str, Assessment] = {}


def ground_of(job: Job) -> Ground:
    """A job made ready for cases; takes a second or two where its peak pressure has to be met.

    Raises
    ------
    BlockwrightError
        Where the job lacks what nothing can stand for, or its own duty cannot be had with its peak.
    """
    half = None
    if job.duty.peak_pressure_pa is not None:
        facts = facts_of(job)
        half = float(matched(job, facts, ALONE, network(job, facts, ALONE)).half_burnt_rad[0])
    return Ground(job, digest_of(job), half)


def job_of(job: Job, case: Case) -> Job:
    """The job with a case's duty and oil. An oil that is not the job's own is the middle of its grade, whatever the job's sheet of oil says."""
    own, work = job.duty, job.at_work
    if case.coolant_c is not None and own.cooling is Cooling.AIR:
        what = "this engine is cooled by air: no coolant's temperature can be swept."
        raise BlockwrightError(Problem("sweep-coolant", what, "Leave --coolant out."))
    other = bool(case.oil) and case.oil != own.oil_grade
    duty = replace(
        own, power_w=case.power_w, at_speed_rad_s=case.speed_rad_s, boost_pa=case.boost_pa, peak_pressure_pa=None,
        coolant_c=own.coolant_c if case.coolant_c is None else case.coolant_c,
        oil_c=own.oil_c if case.oil_c is None else case.oil_c, oil_grade=case.oil or own.oil_grade,
    )  # fmt: skip
    at_work = replace(work, oil_40_m2_s=None, oil_100_m2_s=None, oil_hths_pa_s=None) if other else work
    return replace(job, sheet=replace(job.sheet, duty=duty, at_work=at_work))


def facts_at(ground: Ground, case: Case) -> Facts:
    """Facts of a case: its duty's, on the job's own geometry and burning."""
    own, here = facts_of(ground.job), facts_of(job_of(ground.job, case))
    held = {"compression": own["compression"]}
    if ground.half_burnt_rad is not None:
        held["half_burnt"] = replace(own["half_burnt"], value=ground.half_burnt_rad)
    return Facts({**here.by_name, **held})
