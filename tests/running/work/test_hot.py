"""Fits when hot: gap, wall and pin by hand, and verdicts that are no firmer than readings and draws allow."""

import math
from dataclasses import replace
from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.engine.layout import PinHold
from blockwright.fits.assessment import Standing
from blockwright.metrology.estimate import Cause, Estimate, Share, Source
from blockwright.metrology.verdict import Acceptance, Rule, decide
from blockwright.running.assess import assess
from blockwright.running.work.better import better, cautions, headline
from blockwright.running.work.draws import Draws, spread
from blockwright.running.work.facts import facts_of
from blockwright.running.work.hot import NOT_JUDGED, Growing, Hot, hot_fits, judged, succession
from blockwright.running.work.seats import metal_of

PLACES = {"bore": 130.0, "skirt": 150.0, "top_ring": 215.0, "second_ring": 175.0, "pin": 165.0}
IRON, NITRIDED, FORGED, STEEL = 11.2e-6, 10.7e-6, 22.3e-6, 12.3e-6


def growing(job, samples=0, places=None, seed=6):
    facts, draws = facts_of(job), Draws(samples, seed)
    columns = {place: np.full(1 + samples, value) for place, value in (places or PLACES).items()}
    return Growing(job, facts, draws, columns, metal_of(job, facts, draws))


def fits_of(job, **more):
    grown = growing(job, **more)
    return {(fit.fit, fit.position): fit for fit in hot_fits(assess(job), grown)}


def cold_of(job):
    return {(r.fit.name, str(r.position)): r.found for r in assess(job).results if r.found is not None}


def test_gaps_by_hand(harbour):
    """Grey iron at 130 °C, nitrided stainless at 215 and 175 °C, 97.25 mm."""
    fits, cold, girth = fits_of(harbour), cold_of(harbour), math.pi * 97.25e-3
    for name, ring_c in (("top end gap", 215.0), ("second end gap", 175.0)):
        for number in range(1, 5):
            key = (name, f"cylinder {number}")
            s = cold[key].estimate.value
            by_hand = girth * (1.0 + 110.0 * IRON) - (girth - s) * (1.0 + NITRIDED * (ring_c - 20.0))
            assert fits[key].hot.value == pytest.approx(by_hand, rel=1e-9)
            assert fits[key].cold.value == s


@pytest.mark.parametrize(("piston", "per_k"), [("aluminium 2618", FORGED), ("aluminium 4032", 19.8e-6)])
def test_walls_by_hand(engines, harbour, piston, per_k):
    """Skirt at 150 °C in grey iron at 130 °C, from the two sizes as read; 4032 has 19.4e-6 to 100 and 20.2e-6 to 200 °C, so 19.8e-6 to 150."""
    parts = tuple(replace(part, alloy=piston) if part.kind == "piston" else part for part in harbour.sheet.part)
    job = engines.changed(harbour, part=parts)
    fits, cold = fits_of(job), cold_of(job)
    walls = [key for key in fits if key[0] == "wall clearance"]
    assert len(walls) == 3
    for key in walls:
        bore, skirt = (size.estimate.value for _, size in cold[key].sizes[:2])
        by_hand = bore * (1.0 + 110.0 * IRON) - skirt * (1.0 + 130.0 * per_k)
        assert fits[key].hot.value == pytest.approx(by_hand, rel=1e-9, abs=1e-12)


def test_pins_by_hand(harbour):
    """Boss of 2618, rod and pin of steel, all at 165 °C."""
    fits, cold = fits_of(harbour), cold_of(harbour)
    for name, outer_per_k in (("pin in piston", FORGED), ("pin in bush", STEEL)):
        key = (name, "cylinder 1")
        hole, pin = (size.estimate.value for _, size in cold[key].sizes[:2])
        by_hand = hole * (1.0 + 145.0 * outer_per_k) - pin * (1.0 + 145.0 * STEEL)
        assert fits[key].hot.value == pytest.approx(by_hand, rel=1e-9)


def test_at_twenty_degrees_hot_is_cold(harbour):
    for fit in fits_of(harbour, places=dict.fromkeys(PLACES, 20.0)).values():
        assert fit.hot.value == pytest.approx(fit.cold.value, rel=1e-9)


def test_what_two_readings_share_cancels_when_hot_too(harbour):
    """Bore gauge and micrometer on one setting: of known temperatures and expansions the hot wall has the cold one's doubt and no more."""
    for fit in fits_of(harbour, samples=4000).values():
        if fit.fit == "wall clearance":
            u = cold_of(harbour)[(fit.fit, fit.position)].estimate.u
            assert fit.cold.sd == pytest.approx(u, rel=0.05)
            apart = math.hypot(97.25e-3 * 110.0 * 0.4e-6, 97.1e-3 * 130.0 * 0.6e-6)
            assert fit.hot.sd == pytest.approx(math.hypot(u, apart), rel=0.05)


def test_a_hotter_ring_closes_its_gap_and_a_hotter_bore_opens_it(harbour):
    key = ("top end gap", "cylinder 1")
    at = {bump: fits_of(harbour, places=PLACES | bump_of)[key].hot.value for bump, bump_of in (
        ("now", {}), ("ring", {"top_ring": 225.0}), ("bore", {"bore": 140.0}),
    )}  # fmt: skip
    assert at["ring"] < at["now"] < at["bore"]
    assert at["now"] - at["ring"] == pytest.approx(10.0 * NITRIDED * math.pi * 97.25e-3, rel=0.01)


def test_pressed_pins_are_not_asked_for_room(engines, harbour):
    pressed = engines.changed(harbour, engine={"pin": PinHold.PRESSED})
    names = {fit for fit, _ in fits_of(pressed)}
    assert "pin in bush" not in names
    assert "pin in piston" in names


def judged_as(job, mean, u, low=0.0, samples=2000, fit="wall clearance", acceptance=Acceptance.GUARDED, touch=0.001):
    job = replace(job, sheet=replace(job.sheet, rules=replace(job.rules, acceptance=acceptance, touch=touch)))
    draws = Draws(samples, 6)
    estimate = Estimate(mean, {Source(Cause.REPEATABILITY, "made up"): Share(u)})
    column = draws.size(estimate)
    return judged(job, draws, Hot(fit, "cylinder 1", "made up", column, column, estimate, "made up", low)), estimate


@pytest.mark.parametrize("off", [-4.0, -2.2, -1.0, -0.2, 0.2, 1.0, 2.2, 4.0])
@pytest.mark.parametrize("acceptance", list(Acceptance))
def test_the_verdict_is_that_of_the_reading_where_it_is_normal(harbour, off, acceptance):
    """Away from 1.645 u on either side, by two standard errors of two thousand draws, sampling and the closed form must agree."""
    found, estimate = judged_as(harbour, off * 1e-5, 1e-5, acceptance=acceptance)
    assert found.standing == str(decide(estimate, 0.0, None, Rule(harbour.rules.level, acceptance)))
    wanted = NormalDist().cdf(-off)
    assert found.below == pytest.approx(wanted, abs=4.0 * math.sqrt(wanted * (1.0 - wanted) / 2000) + 1e-3)
    assert found.inside == pytest.approx(1.0 - found.below)
    assert found.above == 0.0


def test_a_gap_is_held_to_the_chance_of_touching_that_is_put_up_with(harbour):
    """Mean 2.5 u over nil: .6 % of touching; good for a wall at 95 %, for a gap at 1 %, not for a gap at .1 %."""
    wall, _ = judged_as(harbour, 2.5e-5, 1e-5)
    gap, _ = judged_as(harbour, 2.5e-5, 1e-5, fit="top end gap")
    easier, _ = judged_as(harbour, 2.5e-5, 1e-5, fit="top end gap", touch=0.02)
    assert wall.standing == Standing.CONFORMS
    assert gap.standing == Standing.UNDECIDED
    assert easier.standing == Standing.CONFORMS


def test_few_draws_prove_little(harbour):
    """A gap that never touched in forty draws: one in a thousand is not shown by that; in two thousand it is, as nearly as may be."""
    few, _ = judged_as(harbour, 9e-5, 1e-5, fit="top end gap", samples=40)
    many, _ = judged_as(harbour, 9e-5, 1e-5, fit="top end gap", samples=2000)
    assert (few.below, few.standing) == (0.0, Standing.UNDECIDED)
    assert (many.below, many.standing) == (0.0, Standing.CONFORMS)
    wall, _ = judged_as(harbour, 9e-5, 1e-5, samples=40)
    assert wall.standing == Standing.CONFORMS, "for 95 % forty are enough"
    assert judged_as(harbour, 9e-5, 1e-5, samples=10)[0].standing == Standing.UNDECIDED


@given(st.integers(0, 5000), st.integers(1, 5000))
def test_the_rule_of_succession(failed, drawn):
    """Laplace: (k + 1)/(n + 2), the mean of a beta distribution with k + 1 and n - k + 1."""
    failed = min(failed, drawn)
    found = succession(failed, drawn)
    a, b = failed + 1.0, drawn - failed + 1.0
    assert found.below == pytest.approx(a / (a + b))
    assert found.below + found.inside == pytest.approx(1.0)
    assert 0.0 < found.below < 1.0


def test_without_draws_nothing_is_judged(harbour):
    for mean in (-1e-4, 1e-4):
        found, _ = judged_as(harbour, mean, 1e-5, samples=0)
        assert (found.standing, found.said) == (Standing.UNDECIDED, NOT_JUDGED)
        assert found.below == float(mean < 0.0)
        assert (found.bins, found.counts) == ((), ())


def test_every_draw_is_in_a_bin(harbour):
    found, _ = judged_as(harbour, 1e-5, 1e-5, samples=500)
    assert sum(found.counts) == 500
    assert len(found.bins) == len(found.counts) + 1


def test_a_clearance_that_would_do_better_is_where_its_chance_is_met(harbour):
    """Gap with mean 2 u over nil hot, 0.3 mm closed by heat: 1 in 1000 wants 3.0902 u over what heat takes."""
    draws = Draws(4000, 6)
    estimate = Estimate(0.32e-3, {Source(Cause.REPEATABILITY, "made up"): Share(1e-5)})
    cold = draws.size(estimate)
    hot = Hot("top end gap", "cylinder 1", "made up", cold, cold - 0.3e-3, estimate, "made up")
    fit = judged(harbour, draws, hot)
    [told] = better(harbour, [fit], [])
    assert told.low_m == pytest.approx(0.3e-3 + 3.0902 * spread(cold).sd, rel=1e-3)
    assert told.now_m == 0.32e-3
    enough = Estimate(0.40e-3, estimate.shares)
    column = draws.size(enough)
    fine = judged(
        harbour, draws, Hot("top end gap", "cylinder 1", "made up", column, column - 0.3e-3, enough, "made up")
    )
    assert list(better(harbour, [fine], [])) == []


def test_the_headline_names_the_worst(harbour):
    good, _ = judged_as(harbour, 9e-5, 1e-5)
    doubt, _ = judged_as(harbour, 0.5e-5, 1e-5)
    worse, _ = judged_as(harbour, -0.5e-5, 1e-5)
    out, _ = judged_as(harbour, -9e-5, 1e-5)
    assert headline([good, good], 2000) == "All 2 fits that could be worked out hold hot, as far as the model knows."
    assert headline([good, doubt], 2000).startswith(
        "Nothing is shown to fail hot; Wall clearance, cylinder 1, is least sure"
    )
    assert "(and one other)" in headline([good, doubt, worse], 2000)
    assert (
        headline([good, doubt, worse, out], 2000)
        == "Wall clearance, cylinder 1, does not hold hot; 2 more are not sure."
    )
    assert headline([], 2000).startswith("No fit could be worked out hot")
    assert headline([judged_as(harbour, 1e-5, 1e-5, samples=0)[0]], 0).startswith("1 fits worked out hot, none judged")


def test_hot_oil_is_told_whatever_its_film(harbour, one):
    """150 °C is what a film should not pass: by its best value, or by what 95 of 100 draws hold."""
    sound, *rest = one.bearings
    assert sound.temperature_c.high < 150.0
    hot = replace(sound, name="a hot one", temperature_c=replace(sound.temperature_c, high=151.0))
    for bearings, told in ((one.bearings, False), ((hot, *rest), True)):
        said = [
            c for c in cautions(harbour, one.facts, one.cycle, one.nodes, bearings, True) if "hotter than 150 °C" in c
        ]
        assert said == ["the oil may get hotter than 150 °C, however thick its film: a hot one"] * told
