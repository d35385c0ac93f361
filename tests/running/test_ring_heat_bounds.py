"""What heat demands of an end gap: against hand calculation, the normal distribution it nearly is, and an independent simulation."""

import math
from dataclasses import replace
from importlib import resources
from pathlib import Path

import numpy as np
import pytest

from blockwright.engine.heat import Temperatures
from blockwright.engine.positions import cylinder
from blockwright.engine.rules import Authority
from blockwright.fits.registry import REGISTRY
from blockwright.jobfile.folder import read_folder
from blockwright.metrology.estimate import Cause, Estimate, Share, Source
from blockwright.running.ring_heat import computed_offers, ring_heat

TOP = "top end gap"


@pytest.fixture(scope="module")
def job():
    folder = Path(str(resources.files("blockwright.demos") / "harbour"))
    known = read_folder(folder).job
    given = Temperatures(top_ring_c=220.0, bore_c=120.0, give_k=15.0, source="test bed")
    return replace(known, sheet=replace(known.sheet, temperatures=given))


def least_gap(bore_m, a_bore, a_ring, bore_c, ring_c):
    """Ends just meet: pi D (1 + a_b dT_b) = (pi D - s)(1 + a_r dT_r)."""
    return math.pi * bore_m * (1.0 - (1.0 + a_bore * (bore_c - 20.0)) / (1.0 + a_ring * (ring_c - 20.0)))


def test_mean_closing_by_hand(job):
    """Grey iron 11.2e-6 at 120 °C, nitrided stainless 10.7e-6 at 220 °C, bore 97.25 mm."""
    expected = least_gap(97.25e-3, 11.2e-6, 10.7e-6, 120.0, 220.0)
    assert ring_heat(job, TOP, cylinder(1)).closure_m == pytest.approx(expected, rel=2e-3)


def test_the_bound_is_the_quantile_of_a_distribution_that_is_nearly_normal(job):
    heat = ring_heat(job, TOP, cylinder(1))
    slopes = (
        (math.pi * 97.25e-3 * 100.0, 0.4e-6),
        (math.pi * 97.25e-3 * 200.0, 0.3e-6),
        (math.pi * 97.25e-3 * 11.2e-6, 15.0),
        (math.pi * 97.25e-3 * 10.7e-6, 15.0),
    )
    sd = math.hypot(*(slope * u for slope, u in slopes))
    assert heat.closure_sd_m == pytest.approx(sd, rel=0.01)
    assert heat.least_gap_m == pytest.approx(heat.closure_m + 3.0902 * sd, rel=0.02)
    assert 0.0 < heat.standard_error_m < 0.1 * sd


def test_weights_are_shares_of_the_variance(job):
    weights = {weight.words: weight.share for weight in ring_heat(job, TOP, cylinder(1)).weights}
    assert sum(weights.values()) == pytest.approx(1.0, rel=1e-9)
    parts = {
        "temperature of the bore": (11.2e-6 * 15.0) ** 2,
        "temperature of the ring": (10.7e-6 * 15.0) ** 2,
        "expansion of the bore": (100.0 * 0.4e-6) ** 2,
        "expansion of the ring": (200.0 * 0.3e-6) ** 2,
    }
    for words, part in parts.items():
        assert weights[words] == pytest.approx(part / sum(parts.values()), rel=0.02)


@pytest.mark.parametrize("u", [0.0, 10e-6])
def test_chance_of_touching_against_an_independent_simulation(job, u):
    heat = ring_heat(job, TOP, cylinder(1))
    shares = {Source(Cause.REPEATABILITY, "gap"): Share(u)} if u else {}
    gap = Estimate(heat.closure_m + 1.5 * heat.closure_sd_m, shares)
    rng = np.random.default_rng(7)
    n = 200_000
    least = least_gap(
        97.25e-3,
        rng.normal(11.2e-6, 0.4e-6, n),
        rng.normal(10.7e-6, 0.3e-6, n),
        rng.normal(120, 15, n),
        rng.normal(220, 15, n),
    )
    share = float(np.mean(least >= gap.value + rng.normal(0.0, u or 1e-12, n)))
    assert heat.chance_of_touching(gap) == pytest.approx(
        share, abs=5 * math.sqrt(share / n) + 5 * math.sqrt(share / 100_000)
    )


def test_only_end_gaps_get_a_bound_and_only_a_low_one(job):
    [offer] = computed_offers(job, REGISTRY[TOP], cylinder(1))
    assert (offer.authority, offer.high, offer.aim) == (Authority.COMPUTED, None, None)
    assert offer.low == ring_heat(job, TOP, cylinder(1)).least_gap_m
    assert "220 °C" in offer.source
    assert computed_offers(job, REGISTRY["wall clearance"], cylinder(1)) == ()


def test_in_an_aluminium_bore_heat_opens_the_gap(job):
    """21.4e-6 x 130 K is more than 10.7e-6 x 200 K."""
    engine = replace(job.sheet.engine, liner_material="aluminium A356")
    hot = replace(job.sheet.temperatures, bore_c=150.0)
    light = replace(job, sheet=replace(job.sheet, engine=engine, temperatures=hot))
    assert ring_heat(light, TOP, cylinder(1)).closure_m < 0.0
