"""`assess` as a whole: pure, repeatable, in step with the size of the job; which fits it looks for; what a shared setting buys."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.engine.layout import Layout
from blockwright.fits import sizes
from blockwright.fits.assess import assess
from blockwright.fits.assessment import Standing
from blockwright.fits.registry import REGISTRY, nearest
from blockwright.metrology.estimate import Cause
from blockwright.metrology.gauges import Sense

MM = 1e-3


def furnished(bench, cylinders):
    """An inline engine with bores, skirts, gaps, pins and journals read: 6 + 1 + 1 + 3 + 4 spots a cylinder."""
    bench.engine["cylinders"] = cylinders
    for number in range(1, cylinders + 1):
        bench.furnish(number).bore(number).read(f"P{number}", "skirt", state="bare", mm=85.92)
        bench.read(f"R{number}", "top gap", f"cylinder {number}", "plate on", mm=0.40, depth_m=0.02)
        bench.read(f"W{number}", "pin", front=22.0, middle=22.0, rear=22.0)
        bench.journal("rod journal", f"throw {number}", size=50.0)
    return bench


SPOTS_A_CYLINDER = 6 + 1 + 1 + 3 + 4


def summary(assessment):
    """What is said of every fit, with value and uncertainty to the last bit."""
    return [
        (r.fit.name, str(r.position), r.words, r.missing, r.remedy, r.notes, r.found and (r.estimate.value, r.estimate.u, r.found.governs))
        for r in assessment.results
    ]  # fmt: skip


# ---- pure and repeatable ----------------------------------------------------------------------------------------------------


def test_the_same_job_gives_the_same_assessment(bench):
    job = furnished(bench, 4).order("B", "bore", low=85.99, high=86.01).job()
    first, second = assess(job), assess(job)
    assert first == second
    assert first is not second


def test_an_equal_job_laid_out_anew_gives_an_equal_assessment(new_bench):
    one, other = (furnished(new_bench(), 3).assess() for _ in range(2))
    assert summary(one) == summary(other)
    assert (one.flags, one.orders) == (other.flags, other.orders)


@given(st.randoms(use_true_random=False))
def test_the_order_of_the_rows_is_nothing(new_bench, chance):
    bench = furnished(new_bench(), 2)
    for value in (0.001, -0.001):
        bench.read("P1", "skirt", state="bare", mm=85.92 + value)
    before = summary(bench.assess())
    chance.shuffle(bench.readings)
    assert summary(bench.assess()) == before


def test_a_job_is_not_changed_by_being_judged(bench):
    job = furnished(bench, 2).job()
    before = (job.sheet, job.gauge_sheet, job.readings, job.records)
    assess(job)
    assert (job.sheet, job.gauge_sheet, job.readings, job.records) == before


# ---- in step with the size of the job ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("cylinders", [1, 2, 4, 8, 16])
def test_every_spot_is_worked_out_once(bench, monkeypatch, cylinders):
    """However many fits rest on it: counted, for seconds waver."""
    worked_out = []
    plain = sizes.evaluate
    monkeypatch.setattr(sizes, "evaluate", lambda *given: worked_out.append(given[0][0]) or plain(*given))
    furnished(bench, cylinders).assess()
    assert len(worked_out) == SPOTS_A_CYLINDER * cylinders
    assert len({(r.part, r.feature, r.at, r.spot) for r in worked_out}) == len(worked_out)


def test_repeats_of_a_spot_are_one_evaluation(bench, monkeypatch):
    worked_out = []
    plain = sizes.evaluate
    monkeypatch.setattr(sizes, "evaluate", lambda *given: worked_out.append(len(given[0])) or plain(*given))
    for _ in range(5):
        bench.bore(1)
    bench.assess()
    assert worked_out == [5] * 6


# ---- which fits are looked for ----------------------------------------------------------------------------------------------


def shown(bench):
    return {(result.fit.name, str(result.position)) for result in bench.assess().results}


def test_a_fit_on_request_shows_once_something_of_it_is_read(bench):
    """One of three ways over the deck: the fit is begun, and says what is still to read."""
    assert ("deck flatness", "bank 1") not in shown(bench)
    bench.read("B", "deck hollow", "bank 1", along=0.02)
    assert ("deck flatness", "bank 1") in shown(bench)
    result = next(r for r in bench.assess().results if r.fit.name == "deck flatness")
    assert (result.standing, result.missing) == (
        Standing.OPEN, ("deck hollow of B at bank 1 (across)", "deck hollow of B at bank 1 (corners)"),
    )  # fmt: skip


def test_only_at_the_place_where_it_was_read(bench):
    bench.read("P1", "top groove depth", mm=3.7).read("CU2", "shell crush", mm=0.03)
    assert {each for each in shown(bench) if REGISTRY[each[0]].on_request} == {
        ("top ring flush depth", "cylinder 1"), ("rod shell crush", "cylinder 2"),
    }  # fmt: skip


def test_readings_that_usual_fits_need_begin_no_other(bench):
    """Bore and bare skirt are read for the wall clearance; nobody has asked for back clearance or the coating's."""
    bench.bore(1).read("P1", "skirt", state="bare", mm=85.9)
    assert not {each for each in shown(bench) if REGISTRY[each[0]].on_request}
    bench.read("P2", "skirt", state="coated", mm=85.9)
    assert {each for each in shown(bench) if REGISTRY[each[0]].on_request} == {("coated wall clearance", "cylinder 2")}


def test_the_other_fits_of_a_feature_that_is_begun_wait_for_it(bench):
    """Half a big end: its size says what is missing; its roundness does not say it again."""
    bench.read("C1", "big end", state="caps torqued; shells out", square=54.0)
    names = {name for name, at in shown(bench) if at == "cylinder 1"}
    assert "big-end size" in names
    assert "big-end out-of-round" not in names


def test_a_withdrawn_reading_begins_nothing(bench):
    bench.read("B", "deck hollow", "bank 1", along=0.02).withdraw("B", "deck hollow", "along")
    assert ("deck flatness", "bank 1") not in shown(bench)


def test_a_limit_asks_for_a_fit(bench):
    bench.limit("bore finish", 0.002, 0.005)
    assert {("bore finish", "cylinder 1"), ("bore finish", "cylinder 2")} <= shown(bench)


def test_a_limit_at_one_position_asks_for_it_there(bench):
    bench.limit("bore finish", 0.002, 0.005, at="cylinder 2")
    assert ("bore finish", "cylinder 2") in shown(bench)
    assert ("bore finish", "cylinder 1") not in shown(bench)


def test_counts(bench):
    assessment = (
        furnished(bench, 2)
        .limit("wall clearance", 0.070, 0.090)
        .limit("wall clearance", 0.100, 0.120, at="cylinder 2")
        .assess()
    )
    assert assessment.count(Standing.NONCONFORMING) == len(assessment.out) == 1
    assert str(assessment.out[0].position) == "cylinder 2"
    assert assessment.count(Standing.OPEN) == len(assessment.unsettled) > 0


def test_fits_stand_in_the_order_of_the_registry_and_of_the_cylinders(bench):
    bench.engine |= {"layout": Layout.V, "cylinders": 12, "bank_angle_rad": 1.0}
    results = bench.assess().results
    names = list(dict.fromkeys(result.fit.name for result in results))
    assert names == [name for name in REGISTRY if name in names]
    walls = [result.position.number for result in results if result.fit.name == "wall clearance"]
    assert walls == list(range(1, 13))


def test_an_assigned_part_that_is_not_on_the_list_is_open_and_no_crash(bench):
    bench.furnish(1, piston="P9")
    del bench.parts["P9"]
    result = bench.bore(1).judge("wall clearance", "cylinder 1")
    assert result.missing == ("skirt of P9, bare",)


@pytest.mark.parametrize(
    ("typed", "name"), [("wall clearence", "wall clearance"), ("Top End Gap", "top end gap"), ("xyzzy", "")]
)
def test_the_nearest_fit(typed, name):
    assert nearest(typed) == name


# ---- a shared setting -------------------------------------------------------------------------------------------------------

MICROMETER = {"resolution_si": 1e-6, "certificate_si": 4e-6, "repeatability_si": 0.8e-6}


def set_on(new_bench, master, skirt_mm=85.94, bore_mm=0.0):
    """A bore gauge set at 86 mm on a micrometer, and the skirt measured with micrometer M1."""
    bench = new_bench()
    for mark in ("M1", "M2"):
        bench.gauge(id=mark, **MICROMETER)
    bench.gauge(id="D", sense=Sense.DEVIATION, resolution_si=1e-6, certificate_si=1e-6, repeatability_si=0.8e-6)
    bench.setting(id="S", gauge="D", size_m=86.0 * MM, master=master, master_temp_c=20.0)
    bench.bore(1, *[(bore_mm, bore_mm)] * 3, size=0.0, gauge="D", setting="S")
    bench.read("P1", "skirt", state="bare", mm=skirt_mm, gauge="M1")
    return bench.judge("wall clearance", "cylinder 1").estimate


def calibrations(estimate):
    return {source.owner: share.u for source, share in estimate.budget if source.cause is Cause.CALIBRATION}


@given(st.floats(85.1, 86.2), st.floats(-0.3, 0.3))
def test_setting_the_bore_gauge_on_the_skirts_micrometer_takes_its_calibration_out(new_bench, skirt_mm, bore_mm):
    """The micrometer's error at that size is in the setting and in the skirt alike: it leaves the clearance, and only it does.

    U = 4 µm at k = 2 is u = 2 µm: once in the skirt and once in another master, sqrt(2) x 2 µm together.
    """
    same, other = set_on(new_bench, "M1", skirt_mm, bore_mm), set_on(new_bench, "M2", skirt_mm, bore_mm)
    assert same.value == pytest.approx(other.value, rel=1e-12)
    assert "M1" not in calibrations(same)
    assert calibrations(other) == pytest.approx({"M1": -2e-6, "M2": 2e-6, "D": 0.5e-6}, rel=1e-9)
    assert other.u**2 - same.u**2 == pytest.approx(2 * (2e-6) ** 2, rel=1e-6)


def test_what_is_not_shared_stays(new_bench):
    """The repeatability of bore, skirt and setting act, and the three steps of scale: none of these cancels."""
    causes = sorted(source.cause for source, _ in set_on(new_bench, "M1").budget)
    assert causes == sorted([Cause.REPEATABILITY] * 2 + [Cause.RESOLUTION] * 3 + [Cause.SETTING, Cause.CALIBRATION])


def test_far_from_its_setting_the_micrometers_error_is_another(new_bench):
    """The skirt of a piston 2 mm smaller lies at another place of the micrometer's scale: nothing cancels."""
    far = set_on(new_bench, "M1", skirt_mm=84.0)
    mine = [share.u for source, share in far.budget if (source.cause, source.owner) == (Cause.CALIBRATION, "M1")]
    assert sorted(mine) == pytest.approx([-2e-6, 2e-6], rel=1e-9)
