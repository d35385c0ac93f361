"""What would settle an undecided fit: true of repeats, and true of every gauge that is named."""

from dataclasses import replace
from importlib import resources
from pathlib import Path

import pytest

from blockwright.choices.settle import MOST_REPEATS, gauge_u, read_with, settle
from blockwright.engine.job import Job
from blockwright.engine.positions import cylinder, main
from blockwright.engine.rules import Authority, LimitRule
from blockwright.fits.assessment import FitResult, Standing
from blockwright.fits.registry import REGISTRY
from blockwright.jobfile.folder import read_folder
from blockwright.metrology.estimate import Cause
from blockwright.metrology.gauges import Gauge, Sense
from blockwright.metrology.readings import Reading
from blockwright.running.assess import judge

WALL = REGISTRY["wall clearance"]


def demo(name: str) -> Job:
    with resources.as_file(resources.files("blockwright.demos") / name) as folder:
        return read_folder(Path(folder)).job


HILL = demo("hillclimb")


def limited(job: Job, fit: str, low_m: float | None = None, high_m: float | None = None) -> Job:
    """The job with the shop's own limits for a fit, which go before all others."""
    rule = LimitRule(fit=fit, authority=Authority.BUILDER, by="Ann", why="tried", low_si=low_m, high_si=high_m)
    return replace(job, sheet=replace(job.sheet, limit=(rule, *job.sheet.limit)))


def near(job: Job, fit: str, at: int, us: float, wide_m: float = 1.0) -> tuple[Job, FitResult]:
    """A fit whose low limit lies `us` standard uncertainties under its value, with the other limit far off."""
    position = REGISTRY[fit].place
    where = next(each for each in job.engine.positions(position) if each.label in (str(at), ""))
    found = judge(job, REGISTRY[fit], where)
    low_m = found.estimate.value - us * found.estimate.u
    tight = limited(job, fit, low_m, low_m + wide_m)
    return tight, judge(tight, REGISTRY[fit], where)


def with_gauges(job: Job, *gauges: Gauge, **changes: dict[str, float | None]) -> Job:
    """The job with more gauges in its register, and figures of some that were there changed."""
    kept = tuple(replace(gauge, **changes.get(gauge.id, {})) for gauge in job.gauge_sheet.gauge)
    return replace(job, gauge_sheet=replace(job.gauge_sheet, gauge=(*kept, *gauges)))


def used(result: FitResult) -> list[str]:
    assert result.found is not None
    return sorted({reading.gauge for _, size in result.found.sizes for reading in size.readings})


def test_a_fit_that_is_decided_needs_nothing() -> None:
    result = judge(HILL, WALL, cylinder(1))
    assert result.standing is Standing.CONFORMS
    assert settle(HILL, result) == ""


def again(job: Job, result: FitResult, times: int) -> FitResult:
    """The fit judged with every spot read so often in all, at the value it has."""
    assert result.found is not None
    extra: list[Reading] = []
    for _, size in result.found.sizes:
        for n in range(times * len(size.readings)):
            source = size.readings[n % len(size.readings)]
            if n >= len(size.readings):
                extra.append(replace(source, id=f"{source.id}+{n}"))
    return judge(replace(job, readings=(*job.readings, *extra)), result.fit, result.position)


def test_so_many_repeats_are_named_as_settle_it() -> None:
    """A gauge that repeats badly and is otherwise good; the pin and its bush were read once at each spot."""
    poor = {
        mark: {"repeatability_si": 3e-6, "repeatability_dof": 0}
        for mark in HILL.gauges
        if HILL.gauges[mark].sense is not Sense.BLADES
    }
    job, result = near(with_gauges(HILL, **poor), "pin in bush", 1, us=1.2)
    assert result.decider is not None
    times = result.decider.repeats
    assert times is not None
    assert 1 < times <= MOST_REPEATS
    assert settle(job, result) == f"Read each of its spots {times} times in all: if the value stays, that settles it."
    assert again(job, result, times).standing is Standing.CONFORMS
    assert again(job, result, times - 1).standing is Standing.UNDECIDED


def test_more_repeats_than_anyone_would_take_are_not_asked_for() -> None:
    job, result = near(HILL, "wall clearance", 1, us=1.2)
    few = replace(result, decider=replace(result.decider, repeats=MOST_REPEATS))
    many = replace(result, decider=replace(result.decider, repeats=MOST_REPEATS + 1))
    assert settle(job, few).startswith("Read each of its spots 20 times")
    assert settle(job, many).startswith("It would take 21 repeats: ")


def heaviest(cause: Cause, job: Job = HILL, *, factor: float | None = 0.5) -> tuple[Job, FitResult]:
    """An undecided fit in which repeats do not help, told that this cause weighs most."""
    tight, result = near(job, "wall clearance", 1, us=1.0)
    assert result.decider is not None
    source = next(source for source, _ in result.estimate.budget if source.cause is cause)
    return tight, replace(
        result, decider=replace(result.decider, repeats=None, best_possible=None, largest=source, gauge_factor=factor)
    )


@pytest.mark.parametrize(("cause", "words"), [
    (Cause.SETTING, "weighs most. Set the gauge again, give that setting its own mark, and read once more."),
    (Cause.RESOLUTION, "the scale's step weighs most."),
    (Cause.CALIBRATION, "the certificate of "),
    (Cause.EXPANSION, "expansion coefficient weighs most."),
    (Cause.PART_TEMPERATURE, "temperature weighs most"),
    (Cause.GAUGE_TEMPERATURE, "temperature weighs most"),
])  # fmt: skip
def test_what_weighs_most_is_named(cause: Cause, words: str) -> None:
    job, result = heaviest(cause)
    said = settle(job, result)
    assert said.startswith("Repeats alone cannot settle it: ")
    assert words in said


def test_blades_are_named_for_a_gap() -> None:
    job, result = near(HILL, "top end gap", 1, us=0.5)
    assert result.decider is not None
    assert result.decider.repeats is None
    assert settle(job, result).startswith("Repeats alone cannot settle it: the step between two blades weighs most.")


def test_better_temperatures_are_only_advised_where_they_would_do() -> None:
    """A wide thermometer makes temperature weigh most; without its share the fit is told where the rest is small, else not."""
    warm = replace(HILL, sheet=replace(HILL.sheet, rules=replace(HILL.rules, thermometer_k=8.0)))
    for us, advised in ((1.5, True), (0.05, False)):
        job, result = near(warm, "wall clearance", 1, us=us)
        assert result.decider is not None
        assert result.decider.largest is not None
        assert result.decider.largest.cause in (Cause.PART_TEMPERATURE, Cause.GAUGE_TEMPERATURE)
        said = settle(job, result)
        assert ("write down both temperatures" in said) == advised
        assert ("without its share too it could not be told" in said) != advised


def test_too_near_the_limit_for_any_gauge() -> None:
    job, result = near(HILL, "wall clearance", 1, us=0.01)
    assert result.decider is not None
    assert result.decider.gauge_factor is None
    assert settle(job, result).endswith(
        "No gauge alone could tell: it lies too near the limit. Work it to its aim, or sign a judgement."
    )


def test_limits_too_narrow_for_these_readings_say_so() -> None:
    at = judge(HILL, WALL, cylinder(1)).estimate
    job = limited(HILL, "wall clearance", at.value - 0.5 * at.u, at.value + 0.5 * at.u)
    result = judge(job, WALL, cylinder(1))
    assert result.decider is not None
    assert result.decider.repeats is None
    assert settle(job, result).startswith(
        "With these readings nothing could be proven inside limits so narrow (at best "
    )


COARSE = {"resolution_si": 20e-6}
FINE = {"resolution_si": 0.1e-6, "certificate_si": 0.2e-6, "repeatability_si": 0.1e-6}


def coarse_micrometer(*more: Gauge) -> tuple[Job, FitResult, str]:
    """Wall clearance undecided for the scale of the micrometer that read the skirt. (Its certificate cancels: the bore gauge was set on it.)"""
    mark = next(m for m in used(judge(HILL, WALL, cylinder(1))) if not HILL.gauges[m].sense.compares)
    job, result = near(with_gauges(HILL, *more, **{mark: COARSE}), "wall clearance", 1, us=1.2)
    assert result.standing is Standing.UNDECIDED
    return job, result, mark


def test_a_gauge_that_is_named_could_really_tell() -> None:
    fine = Gauge(id="M9", low_si=75e-3, high_si=100e-3, **FINE)
    job, result, mark = coarse_micrometer(fine)
    assert f"M9 in place of {mark} could tell, if the value stays." in settle(job, result)
    swapped = read_with(job, result, job.gauges[mark], fine)
    assert swapped.estimate.value == pytest.approx(result.estimate.value, rel=1e-12)
    assert swapped.standing is Standing.CONFORMS


@pytest.mark.parametrize(("why", "other"), [
    ("its range does not reach", Gauge(id="M9", low_si=50e-3, high_si=75e-3, **FINE)),
    ("nobody knows how it repeats", Gauge(id="M9", low_si=75e-3, high_si=100e-3, resolution_si=0.1e-6, certificate_si=0.2e-6)),
    ("it has no certificate", Gauge(id="M9", low_si=75e-3, high_si=100e-3, resolution_si=0.1e-6, repeatability_si=0.1e-6)),
    ("what it is made for is not known", Gauge(id="M9", **FINE)),
    ("it compares", Gauge(id="M9", low_si=75e-3, high_si=100e-3, sense=Sense.DEVIATION, **FINE)),
    ("it is not enough better", Gauge(id="M9", low_si=75e-3, high_si=100e-3, resolution_si=18e-6, certificate_si=1e-6, repeatability_si=1e-6)),
])  # fmt: skip
def test_a_gauge_that_could_not_is_not_named(why: str, other: Gauge) -> None:
    job, result, _ = coarse_micrometer(other)
    assert "M9" not in settle(job, result), why
    assert "No one gauge of the register could tell: what the gauges add must come down from ±" in settle(job, result)


def test_what_the_gauges_must_come_down_to_would_do() -> None:
    """Scaling what the gauges add by the factor behind the words decides the fit, and a little less does not."""
    job, result, _ = coarse_micrometer()
    assert result.decider is not None
    factor = result.decider.gauge_factor
    assert factor is not None
    _, _, tail = settle(job, result).partition("must come down from ±")
    now, down = (float(part.split()[0]) for part in tail.split(" to ±"))
    assert down / now == pytest.approx(factor, abs=0.06)


def test_a_comparator_of_the_other_sense_reads_the_same_value() -> None:
    """A needle that runs backwards shows the opposite deviation; the size does not change."""
    job = HILL
    result = judge(job, WALL, cylinder(1))
    mark = next(m for m in used(result) if job.gauges[m].sense.compares)
    known = job.gauges[mark]
    sense = Sense.DEVIATION if known.sense is Sense.BACKWARDS else Sense.BACKWARDS
    other = replace(known, id="BG9", sense=sense)
    swapped = read_with(with_gauges(job, other), result, known, other)
    assert swapped.estimate.value == pytest.approx(result.estimate.value, rel=1e-12)


@pytest.mark.parametrize("name", ["harbour", "hillclimb"])
def test_every_gauge_named_in_the_demonstrations_decides(name: str) -> None:
    """Every fit brought near its limit in turn; whatever gauge is then named, judged again with its figures, tells."""
    job = demo(name)
    for fit in ("pin in piston", "main film", "top side clearance", "pin end play", "rod film"):
        tight, result = near(job, fit, 2, us=1.0)
        if result.standing is not Standing.UNDECIDED:
            continue
        for words in settle(tight, result).split(" or "):
            if " in place of " in words:
                new, _, old = words.split(":")[-1].strip().rpartition(" in place of ")
                other, was = tight.gauges[new.split()[-1]], tight.gauges[old.split()[0]]
                assert gauge_u(other) < gauge_u(was)
                assert read_with(tight, result, was, other).standing is not Standing.UNDECIDED


def test_the_uncertainty_of_a_gauge_adds_its_three_shares() -> None:
    """3, 4 and 12 um: 13 um. Half of a certificate's U of k = 2; a scale step over root 12."""
    gauge = Gauge(id="M1", resolution_si=3e-6 * 12**0.5, certificate_si=8e-6, repeatability_si=12e-6)
    assert gauge_u(gauge) == pytest.approx(13e-6, rel=1e-12)
    assert gauge_u(Gauge(id="M1", resolution_si=1e-6)) == pytest.approx((2 + 1 / 12) ** 0.5 * 1e-6, rel=1e-12)
    assert main(1).label == "1"


def test_what_is_only_assumed_of_a_gauge_is_not_called_its_certificate() -> None:
    """Nothing is to be cut or signed on a figure that nobody wrote down: the certificate comes first."""
    job, result = heaviest(Cause.CALIBRATION)
    assert result.decider is not None
    assert result.decider.largest is not None
    owner = result.decider.largest.owner
    assert f"the certificate of {owner} weighs most." in settle(job, result)
    said = settle(with_gauges(job, **{owner: {"certificate_si": None}}), result)
    assert "the certificate of" not in said
    assert said.startswith(
        f"Repeats alone cannot settle it: what is assumed of {owner}, which has no certificate, weighs most. Write its certificate into gauges.toml first"
    )
    assert "sign a judgement" not in said


def test_limits_too_narrow_on_an_assumed_certificate_want_the_certificate_first() -> None:
    job, result = heaviest(Cause.CALIBRATION)
    assert result.decider is not None
    assert result.decider.largest is not None
    narrow = replace(result, decider=replace(result.decider, best_possible=0.1))
    owner = result.decider.largest.owner
    assert settle(job, narrow).startswith("With these readings nothing could be proven")
    assert "has no certificate" in settle(with_gauges(job, **{owner: {"certificate_si": None}}), narrow)
