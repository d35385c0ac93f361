"""The engine's oil as its bearings get it: from its maker's sheet, from its grade, or the usual one."""

from __future__ import annotations

from dataclasses import dataclass

from blockwright.engine.job import Job
from blockwright.materials.at_work import assumed
from blockwright.materials.oils import Grade, grade
from blockwright.physics.oil import Walther, viscosity_index, walther
from blockwright.physics.plain_bearing import OilSupply
from blockwright.running.work.facts import Facts

USUAL_GRADE = "10W-40"
ROUNDS = 60


@dataclass(frozen=True)
class Oil:
    """An oil: its line, its viscosity under shear, and what it is called; `known` where the job says which."""

    name: str
    line: Walther
    hths_pa_s: float
    known: bool


def oil_of(job: Job) -> Oil:
    """The job's oil. Raises BlockwrightError for a grade that is not known."""
    work = job.at_work
    written = job.duty.oil_grade or USUAL_GRADE
    of_grade = grade(written)
    at_100 = work.oil_100_m2_s or of_grade.middle_100_m2_s
    hths = work.oil_hths_pa_s or _sheared(of_grade, at_100)
    if work.oil_40_m2_s is not None:
        return Oil(written, walther(40.0, work.oil_40_m2_s, 100.0, at_100), hths, True)
    return Oil(written, _line(at_100, "W" in written.upper()), hths, bool(job.duty.oil_grade))


def oil_of_grade(of_grade: Grade) -> Oil:
    """The middle of a grade, as a multigrade oil."""
    return Oil(of_grade.name, _line(of_grade.middle_100_m2_s, True), _sheared(of_grade, of_grade.middle_100_m2_s), True)


def supply_of(oil: Oil, facts: Facts, *, feed_c: float, feed_pa: float, share: float, factor: float) -> OilSupply:
    """Oil at a feed; `factor` is on its viscosity."""
    return OilSupply(
        oil.line, facts.value("oil_density"), feed_c, max(feed_pa, 0.0), min(max(share, 0.0), 1.0), factor * oil.hths_pa_s
    )  # fmt: skip


def _sheared(of_grade: Grade, at_100_m2_s: float) -> float:
    """What such an oil usually keeps under shear, Pa s, and no less than its grade promises."""
    return max(of_grade.hths_pa_s, assumed("shear_share").value * at_100_m2_s * 1e6 * 1e-3)


def _line(at_100_m2_s: float, multigrade: bool) -> Walther:
    """The line through a viscosity at 100 °C with the usual viscosity index of its kind."""
    wanted = assumed("viscosity_index" if multigrade else "viscosity_index_single").value
    low, high = 1.2 * at_100_m2_s, 40.0 * at_100_m2_s
    for _ in range(ROUNDS):
        middle = (low * high) ** 0.5
        low, high = (middle, high) if viscosity_index(middle, at_100_m2_s) > wanted else (low, middle)
    return walther(40.0, low, 100.0, at_100_m2_s)
