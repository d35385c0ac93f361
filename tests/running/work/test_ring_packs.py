"""Ring packs of an engine at work: gaps as filed and hot go in, the map's middle is the cylinder's own, and a ring without a gap lets nothing past."""

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from blockwright.engine.positions import cylinder
from blockwright.fits.sizes import Sizes
from blockwright.metrology.estimate import Cause, Estimate, Share, Source
from blockwright.running.assess import assess
from blockwright.running.work.hot import Growing
from blockwright.running.work.rings import GAPLESS, MAP_SHARES, MOST_DRAWS, Gaps, Packs, gaps_of, map_of, rings_told
from blockwright.running.work.seats import metal_of

NITRIDED, IRON, FORGED = 10.7e-6, 11.2e-6, 22.3e-6
KNOWN = {"top_ring_c": 210.0, "second_ring_c": 170.0, "bore_c": 130.0, "give_k": 0.0}


def made(engines, job, samples=0):
    found = engines.heat_of(job, samples=samples)
    growing = Growing(job, found.facts, found.draws, found.places, metal_of(job, found.facts, found.draws))
    return SimpleNamespace(
        charge_kg=np.atleast_1d(found.found.cycle.mass_kg),
        job=job,
        draws=found.draws,
        growing=growing,
        packs=Packs(job, found.facts, found.draws, found.found, growing, None),
    )


@pytest.fixture(scope="module")
def boat(engines, harbour):
    """Cylinder 1 of the boat with its temperatures known, without the search for its peak."""
    return engines.changed(engines.single(harbour), temperatures=KNOWN, duty={"peak_pressure_pa": None})


@pytest.fixture(scope="module")
def best(engines, boat):
    return made(engines, boat)


@pytest.fixture(scope="module")
def drawn(engines, boat):
    return made(engines, boat, samples=12)


def hot_by_hand(cold, ring_c):
    """Bore 97.25 mm at 130 °C: pi D (1 + a_b 110) - (pi D - s)(1 + a_r (T - 20))."""
    girth = math.pi * 97.25e-3
    return girth * (1.0 + 110.0 * IRON) - (girth - cold) * (1.0 + NITRIDED * (ring_c - 20.0))


def test_gaps_as_filed_and_hot_go_in(best):
    """What goes in is the fit's own value, which rests on the last reading after the last pass."""
    [gaps] = gaps_of(assess(best.job), best.draws)
    found = {
        r.fit.name: r.found.estimate.value
        for r in assess(best.job).results
        if r.found is not None and r.position == cylinder(1)
    }
    assert float(gaps.top_m[0]) == found["top end gap"]
    assert float(gaps.second_m[0]) == found["second end gap"]
    pack = best.packs.pack(gaps, 1)
    assert pack.rings[0].gap_m == pytest.approx(hot_by_hand(found["top end gap"], 210.0), rel=1e-9)
    assert pack.rings[1].gap_m == pytest.approx(hot_by_hand(found["second end gap"], 170.0), rel=1e-9)


def test_a_packs_sizes_by_hand(best):
    """Land of 2618 at the belt's temperature, .6 % under 97.25 mm when cold, in grey iron between the top and the middle of the bore; wall 4 % and
    land 4.5 % of the bore; the rings' heights as read."""
    [gaps] = gaps_of(assess(best.job), best.draws)
    pack, at = best.packs.pack(gaps, 1), {place: float(column[0]) for place, column in best.growing.places_c.items()}
    bore, wall_c = 97.25e-3, 0.5 * (at["liner_top"] + at["liner_middle"])
    land = 0.994 * bore * (1.0 + FORGED * (at["belt"] - 20.0))
    clearance = 0.5 * (bore * (1.0 + IRON * (wall_c - 20.0)) - land)
    assert 0.1e-3 < clearance < 0.3e-3
    for ring, name in zip(pack.rings, ("top_ring", "second_ring"), strict=True):
        assert ring.clearance_m == pytest.approx(clearance, rel=1e-9)
        assert ring.around_m == pytest.approx(math.pi * 0.96 * bore)
        assert ring.side_m == pytest.approx(0.04 * bore - clearance)
        assert ring.behind_k == pytest.approx(at[name] + 273.15)
        height = (
            Sizes(best.job)
            .one(best.job.in_cylinder(1).rings, f"{name.removesuffix('_ring')} ring height")
            .estimate.value
        )
        assert ring.mass_kg == pytest.approx(7800.0 * math.pi * 0.96 * bore * 0.04 * bore * height)
    [between] = pack.lands
    assert between.volume_m3 == pytest.approx(math.pi * bore * clearance * 0.045 * bore)
    assert between.wall_k == pytest.approx(0.5 * (at["belt"] + at["liner_top"]) + 273.15)


def test_another_reading_of_the_gap_goes_through(engines, boat, best):
    """A tenth of a millimetre more at the top ring's last reading is a tenth more of the gap, and blows by more."""
    rings = boat.in_cylinder(1).rings
    shown = [r for r in boat.shown if (r.feature, r.part) == ("top gap", rings)]
    assert shown
    wider = replace(
        boat,
        readings=tuple(
            replace(r, low_si=r.low_si + 1e-4, high_si=r.high_si + 1e-4) if r in shown else r for r in boat.readings
        ),
    )
    other = made(engines, wider)
    [gaps], [was] = gaps_of(assess(wider), other.draws), gaps_of(assess(boat), best.draws)
    assert float(gaps.top_m[0] - was.top_m[0]) == pytest.approx(1e-4, rel=1e-2)
    assert rings_told(other.packs, [gaps])[0].blow_by_share.value > rings_told(best.packs, [was])[0].blow_by_share.value


def test_the_maps_middle_is_the_cylinders_own(best):
    [gaps] = gaps_of(assess(best.job), best.draws)
    [told], mapped = rings_told(best.packs, [gaps]), map_of(best.packs, gaps)
    middle = int(np.flatnonzero(MAP_SHARES == 1.0)[0])
    assert mapped.here == (float(gaps.top_m[0]), float(gaps.second_m[0]))
    assert (mapped.top_m[middle], mapped.second_m[middle]) == pytest.approx(mapped.here, rel=1e-5)
    assert mapped.blow_by_share[middle][middle] == pytest.approx(told.blow_by_share.value, rel=1e-4)
    assert mapped.between_pa[middle][middle] == pytest.approx(max(told.under_top_pa), rel=1e-4)
    assert mapped.position == "cylinder 1"


def test_a_wider_second_gap_lowers_the_pressure_between(best):
    [gaps] = gaps_of(assess(best.job), best.draws)
    between = np.array(map_of(best.packs, gaps).between_pa)
    assert np.all(np.diff(between, axis=1) <= 1e-6 * between.max())
    assert np.all(np.diff(between, axis=0) >= -1e-6 * between.max()), "and a wider top gap raises it"


def test_what_is_told_of_a_pack(best):
    [gaps] = gaps_of(assess(best.job), best.draws)
    [told] = rings_told(best.packs, [gaps])
    assert told.settled
    assert told.angle_deg[0] == -360.0
    assert told.angle_deg[-1] == 360.0
    at = int(np.argmax(told.chamber_pa))
    assert 0.0 < told.angle_deg[at] < 30.0
    assert 101325.0 <= max(told.under_top_pa) < max(told.chamber_pa)
    assert min(told.under_top_pa) > 0.5 * 101325.0
    a_minute = told.blow_by_share.value * float(best.charge_kg[0]) * 3600.0 / 2.0
    assert told.blow_by_l_min.value == pytest.approx(a_minute * 287.0 * 293.15 / 101325.0 * 1e3, rel=1e-6)
    assert told.looser.count(".") >= 2


def test_the_best_values_are_the_same_with_draws(best, drawn):
    [gaps], [more] = gaps_of(assess(best.job), best.draws), gaps_of(assess(drawn.job), drawn.draws)
    [alone], [told] = rings_told(best.packs, [gaps]), rings_told(drawn.packs, [more])
    assert told.blow_by_share.value == pytest.approx(alone.blow_by_share.value, rel=1e-4)
    assert told.blow_by_l_min.value == pytest.approx(alone.blow_by_l_min.value, rel=1e-4)
    assert told.top_gap_m.value == pytest.approx(alone.top_gap_m.value, rel=1e-9)
    assert told.blow_by_share.sd > 0.0
    assert alone.blow_by_share.sd == 0.0
    assert told.blow_by_share.low < told.blow_by_share.value < told.blow_by_share.high
    assert MOST_DRAWS >= 12


def test_a_draw_of_a_pack_is_the_pack_of_that_draw(engines, boat, drawn):
    """Blow-by of litres and of charge keep step, draw by draw."""
    [gaps] = gaps_of(assess(boat), drawn.draws)
    [told] = rings_told(drawn.packs, [gaps])
    ratio = told.blow_by_l_min.sd / told.blow_by_share.sd
    assert ratio == pytest.approx(told.blow_by_l_min.value / told.blow_by_share.value, rel=0.25)


def test_gaps_that_were_not_read_have_no_pack(engines, boat):
    job = replace(boat, readings=tuple(r for r in boat.readings if r.feature != "second gap"), passes=())
    found = made(engines, job)
    assert gaps_of(assess(job), found.draws) == ()


def test_a_second_ring_without_a_through_gap(engines, boat, best):
    """Its set says so: whatever was read of its second, nothing goes past it through a gap, and less is blown by."""
    mark = boat.in_cylinder(1).rings
    parts = tuple(replace(p, gapless_second=True) if p.mark == mark else p for p in boat.sheet.part)
    job = engines.changed(boat, part=parts)
    found = made(engines, job)
    [gaps] = gaps_of(assess(job), found.draws)
    assert gaps.gapless
    assert found.packs.pack(gaps, 1).rings[1].gap_m == 0.0
    [told], [was] = rings_told(found.packs, [gaps]), rings_told(best.packs, list(gaps_of(assess(boat), best.draws)))
    assert told.looser == GAPLESS
    assert 0.0 <= told.blow_by_share.value < was.blow_by_share.value
    assert max(told.under_top_pa) > max(was.under_top_pa)
    bare = replace(job, readings=tuple(r for r in job.readings if r.feature != "second gap"))
    assert [each.gapless for each in gaps_of(assess(bare), found.draws)] == [True]


def test_nothing_goes_past_gaps_that_are_shut(engines, boat, best):
    """Rings whose ends meet, and sides as smooth as a model can have them: what is left is a thousandth."""
    shut = Gaps(cylinder(1), np.zeros(1), np.zeros(1))
    tight = best.packs.pack(shut, 1)
    assert (tight.rings[0].gap_m, tight.rings[1].gap_m) == (0.0, 0.0)
    [open_], [told] = rings_told(best.packs, list(gaps_of(assess(boat), best.draws))), rings_told(best.packs, [shut])
    assert told.blow_by_share.value < 0.25 * open_.blow_by_share.value


def test_a_gap_below_nil_is_held_at_nil(engines, boat, best):
    """A reading so tight that a draw falls below nil must not hold the whole calculation up."""
    estimate = Estimate(2e-6, {Source(Cause.REPEATABILITY, "a blade"): Share(5e-6)})
    found = made(engines, boat, samples=40)
    column = found.draws.size(estimate)
    assert column.min() < 0.0
    hot = found.growing.gap(column, "top end gap", 1)
    assert np.isfinite(hot).all()
    assert hot.min() == pytest.approx(hot_by_hand(0.0, 210.0), rel=0.2)
