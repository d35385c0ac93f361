"""Bearings at work: clearances hot by hand, what stands in for what was not read, and films as `running` gives them for the same case."""

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from blockwright.engine.at_work import MainGroove
from blockwright.fits.assessment import Standing
from blockwright.physics.crank_forces import turned
from blockwright.physics.plain_bearing import Motion, at_temperature, running
from blockwright.running.assess import assess
from blockwright.running.work.bearings import DRAW_STEPS, Bearings, Films, columns_of
from blockwright.running.work.bearings_told import told
from blockwright.running.work.better import better
from blockwright.running.work.draws import Draws, spread
from blockwright.running.work.facts import facts_of
from blockwright.running.work.hot import film_fits, held
from blockwright.running.work.seats import LEAST_SHARE, MAIN_FIT, MOST_SHARE, ROD_FIT, metal_of, seats_of

STEEL, IRON, MAGNESIUM, ALUMINIUM = 12.3e-6, 11.2e-6, 26.0e-6, 21.4e-6
EXACT = {"main_housing_c": 110.0, "big_end_c": 122.0, "give_k": 0.0}


def seated(job, samples=0, seed=6):
    facts, draws = facts_of(job), Draws(samples, seed)
    seats, lacking = seats_of(assess(job), facts, draws, metal_of(job, facts, draws))
    return SimpleNamespace(job=job, facts=facts, draws=draws, seats=seats, lacking=lacking)


@pytest.fixture(scope="module")
def whole(engines, harbour):
    """The boat's bearings with their loads, at its peak of some 113 bar, without the peak's search: five draws."""
    job = engines.changed(engines.single(harbour), duty={"peak_pressure_pa": None})
    found = engines.heat_of(job, samples=5)
    metal = metal_of(job, found.facts, found.draws)
    seats, _ = seats_of(assess(job), found.facts, found.draws, metal)
    bearings = Bearings(job, found.facts, seats, columns_of(found.facts, found.draws, found.found, None))
    return SimpleNamespace(
        job=job, draws=found.draws, seats=seats, bearings=bearings, films=bearings.films(5, 1, lambda share: None)
    )


@pytest.mark.parametrize(
    ("housing", "per_k"), [("grey iron", IRON), ("magnesium case", MAGNESIUM), ("aluminium A356", ALUMINIUM)]
)
def test_hot_clearance_of_a_steel_journal_by_hand(engines, harbour, housing, per_k):
    """Oil 105 °C, so the journal is at 117; D (1 + a (110 - 20)) - d (1 + 12.3e-6 · 97), D the journal and what it has cold."""
    job = engines.changed(harbour, engine={"housing_material": housing}, temperatures=EXACT)
    mains = [seat for seat in seated(job).seats if seat.fit == MAIN_FIT]
    assert len(mains) == 5
    for seat in mains:
        d, cold = seat.diameter_m, float(seat.cold_m[0])
        assert d == pytest.approx(2.755 * 0.0254, rel=1e-3)
        assert float(seat.hot_m[0]) == pytest.approx(
            (d + cold) * (1.0 + 90.0 * per_k) - d * (1.0 + 97.0 * STEEL), rel=1e-9
        )
        assert (seat.grown_m > 0.0) is (90.0 * per_k > 97.0 * STEEL)


def test_hot_clearance_of_a_rod_by_hand(engines, harbour):
    job = engines.changed(harbour, temperatures=EXACT)
    for seat in (seat for seat in seated(job).seats if seat.fit == ROD_FIT):
        d, cold = seat.diameter_m, float(seat.cold_m[0])
        assert float(seat.hot_m[0]) == pytest.approx(
            (d + cold) * (1.0 + 102.0 * STEEL) - d * (1.0 + 97.0 * STEEL), rel=1e-9
        )


def test_one_steel_is_one_error_in_rod_and_journal(engines, harbour):
    """Rod and journal of one alloy grow by the difference of their temperatures: an error of the coefficient hardly counts."""
    found = seated(engines.changed(harbour, temperatures=EXACT, duty={"oil_c": 110.0}), samples=2000)
    seat = found.seats[0]
    grown = seat.hot_m - seat.cold_m
    journal_u, share = math.hypot(3.0, 8.0), seat.diameter_m * STEEL
    assert spread(grown).sd == pytest.approx(share * journal_u, rel=0.06), "what is left is the journal's temperature"


def test_cold_clearances_are_drawn_with_the_doubt_of_their_readings(harbour):
    for seat in seated(harbour, samples=4000).seats:
        assert float(seat.cold_m[0]) == seat.cold.value
        assert spread(seat.cold_m).sd == pytest.approx(seat.cold.u, rel=0.08)


def test_what_was_not_read_takes_the_middle_of_its_limits(engines):
    found = seated(engines.reference())
    results = {(r.fit.name, r.position): r for r in assess(engines.reference()).results}
    assert len(found.seats) == 9
    for seat in found.seats:
        limits = results[(seat.fit, seat.position)].limits
        assert not seat.read
        assert float(seat.cold_m[0]) == pytest.approx(0.5 * (limits.low.value + limits.high.value))
    assert found.lacking == ()


def test_without_a_journal_it_is_said_what_is_lacking(engines):
    found = seated(engines.reference(engine={"rod_journal_m": None, "main_journal_m": None}))
    assert found.seats == ()
    assert len(found.lacking) == 9
    assert found.lacking[0] == "rod film, cylinder 1: neither its clearance nor its limits and journal are known"


def test_journals_as_read_stand_for_nominal_ones(engines, harbour):
    job = engines.changed(
        harbour,
        engine={"rod_journal_m": None, "main_journal_m": None},
        at_work={"main_groove": MainGroove.ROUND, "main_bearing_width_m": None},
    )
    mains = [seat for seat in seated(job).seats if seat.fit == MAIN_FIT]
    assert len(mains) == 5
    for seat in mains:
        assert seat.width_m == pytest.approx(0.36 * seat.diameter_m)
        assert seat.groove_m == pytest.approx(0.18 * seat.width_m)


@pytest.mark.parametrize(
    ("groove", "round_it"), [(MainGroove.ROUND, True), (MainGroove.UPPER, False), (MainGroove.NONE, False)]
)
def test_a_groove_all_the_way_round_is_one_and_others_are_holes(engines, harbour, groove, round_it):
    job = engines.changed(harbour, at_work={"main_groove": groove, "main_groove_width_m": 0.004, "oil_hole_m": 0.006})
    for seat in seated(job).seats:
        rounded = round_it and seat.fit == MAIN_FIT
        assert (seat.groove_m, seat.hole_m) == ((0.004, 0.0) if rounded else (0.0, 0.006))


def test_draws_beyond_what_the_model_takes_are_held_at_it(harbour):
    seat = seated(harbour).seats[0]
    for hot, share in ((-1e-3, LEAST_SHARE), (0.0, LEAST_SHARE), (1e-3 * seat.diameter_m, 1e-3), (1.0, MOST_SHARE)):
        assert 2.0 * seat.with_clearance(hot).clearance_m == pytest.approx(share * seat.diameter_m, rel=1e-12)


def test_films_are_those_of_running_for_the_same_case(whole):
    """Each draw begins near the best values and ends where one that begins from nothing ends: within 0.3 %, what the temperature settles to."""
    bearings, films = whole.bearings, whole.films
    for index in range(1, 6):
        c = bearings.columns
        listed = [seat.bearing(index) for seat in whole.seats]
        alone = running(listed, bearings.load(index, DRAW_STEPS).motion, bearings.supply(index))
        assert alone.settled.all()
        assert films.film_m[index] == pytest.approx(alone.film_m, rel=3e-3)
        assert films.temperature_c[index] == pytest.approx(alone.temperature_c, abs=0.06)
        assert films.flow_m3_s[index] == pytest.approx(alone.side_flow_m3_s + alone.feed_flow_m3_s, rel=3e-3)
        assert bearings.supply(index).feed_c == c.feed_c[index]
    assert films.film_m[0] == pytest.approx(bearings.best.film_m, rel=1e-12)


def test_oil_of_each_draw_by_hand(whole):
    """The factor on its viscosity is on what it has under shear, which scales it at every temperature."""
    c, oil = whole.bearings.columns, whole.bearings.oil
    for index in range(6):
        supply = whole.bearings.supply(index)
        assert supply.hths_pa_s == pytest.approx(c.viscosity[index] * oil.hths_pa_s, rel=1e-12)
        assert float(supply.viscosity_pa_s(150.0)) == pytest.approx(c.viscosity[index] * oil.hths_pa_s, rel=1e-9)
        assert (supply.feed_pa, supply.heat_share) == (c.feed_pa[index], min(c.share[index], 1.0))
    assert c.viscosity[0] == 1.0
    assert np.ptp(c.viscosity) > 0.0


def test_a_rods_film_is_the_same_in_axes_that_do_not_swing(whole):
    """The load turned into the cylinder's axes, which stand still: there the film feels (crank + rod)/2."""
    bearings = whole.bearings
    motion, forces = bearings.loaded.motion, bearings.loaded.forces.cylinders[0]
    swing = bearings.facts.value("speed") - motion.sliding_rad_s[0]
    still = Motion(
        turned(motion.load_n[0], forces.tilt_rad)[None], (motion.mean_speed_rad_s[0] + swing)[None], motion.sliding_rad_s[:1], motion.period_s
    )  # fmt: skip
    own = Motion(motion.load_n[:1], motion.mean_speed_rad_s[:1], motion.sliding_rad_s[:1], motion.period_s)
    at, listed = np.array([115.0]), [whole.seats[0].bearing(0)]
    one, other = (at_temperature(listed, each, bearings.supply(0), at) for each in (own, still))
    assert still.load_n[0] == pytest.approx(forces.shell_n, abs=1e-6 * np.abs(forces.shell_n).max())
    assert other.film_m == pytest.approx(one.film_m, rel=5e-3)
    assert np.hypot(*other.offset[0].T) == pytest.approx(np.hypot(*one.offset[0].T), abs=5e-3)


def test_one_process_or_two_give_the_same_numbers(whole):
    """More draws than a block holds, so that two really share them out."""
    c = whole.bearings.columns
    many = replace(c, **{name: np.concatenate([getattr(c, name)[:1]] + [getattr(c, name)[1:]] * 6) for name in vars(c)})
    seats = [
        replace(
            seat, cold_m=np.tile(seat.cold_m[1:], 6), hot_m=np.concatenate([seat.hot_m[:1], np.tile(seat.hot_m[1:], 6)])
        )
        for seat in whole.seats[:1]
    ]
    bearings = Bearings(whole.job, whole.bearings.facts, seats, many)
    done = []
    alone, shared = bearings.films(30, 1, done.append), bearings.films(30, 2, done.append)
    for name in ("film_m", "peak_pa", "loss_w", "flow_m3_s", "temperature_c", "out_c"):
        assert getattr(alone, name).tolist() == getattr(shared, name).tolist()
    assert done == [0.5, 1.0, 0.5, 1.0]
    assert alone.film_m[1:6, 0] == pytest.approx(whole.films.film_m[1:, 0], rel=3e-3)


def test_what_is_told_of_a_bearing(whole):
    bearings = told(whole.bearings, whole.films, whole.draws)
    for bearing, seat in zip(bearings, whole.seats, strict=True):
        load = np.array(bearing.load_n)
        biggest = np.hypot(load[:, 0], load[:, 1]).max()
        assert bearing.specific_pa == pytest.approx(biggest / (seat.diameter_m * seat.width_m), rel=1e-4)
        film = np.array(bearing.film_over_m)
        assert film.min() == pytest.approx(bearing.film_m.value, rel=1e-4)
        at = np.linspace(-360.0, 360.0, len(film))[int(np.argmin(film))]
        assert bearing.film_at_deg == pytest.approx(at, abs=1.0)
        assert bearing.peak_pa.value > bearing.specific_pa
        assert [oil.grade for oil in bearing.oils] == ["20", "30", "40", "50", "60"]
        assert np.all(np.diff([oil.film_m for oil in bearing.oils]) > 0.0), "thicker oil, thicker film"
        assert np.all(np.diff([oil.temperature_c for oil in bearing.oils]) > 0.0)
        assert np.all(np.diff(bearing.tried_c) < 0.0), "looser, cooler"
        assert bearing.out_c.value == pytest.approx(2.0 * bearing.temperature_c.value - 105.0, abs=0.1)


def test_a_window_keeps_its_bounds_between_its_ends(whole):
    for bearing in told(whole.bearings, whole.films, whole.draws):
        window = bearing.window
        assert window is not None
        low = window.least_m if window.least_m is not None else bearing.tried_m[0]
        high = window.most_m if window.most_m is not None else bearing.tried_m[-1]
        for cold, film, hot in zip(bearing.tried_m, bearing.tried_film_m, bearing.tried_c, strict=True):
            if low <= cold <= high:
                assert film >= window.film_bound_m * (1.0 - 1e-6)
                assert window.coolest_c - 1e-6 <= hot <= window.hottest_c + 1e-6


def shut(whole, cold_m):
    """The same bearings, the first with another cold clearance."""
    first = whole.seats[0]
    moved = cold_m - float(first.cold_m[0])
    return (replace(first, cold_m=first.cold_m + moved, hot_m=first.hot_m + moved), *whole.seats[1:])


def test_a_bearing_that_heat_closes_has_no_film(whole):
    """The model would work it at its least clearance and find a thick film there: what is left of the room says otherwise."""
    seats = shut(whole, -40e-6)
    films = held(whole.films, seats)
    assert np.all(films.film_m[:, 0] < 0.0)
    assert films.film_m[:, 1:].tolist() == whole.films.film_m[:, 1:].tolist()
    fit = next(iter(film_fits(whole.job, whole.draws, seats, films)))
    assert fit.below == 1.0
    assert fit.standing != Standing.CONFORMS


def test_a_film_is_never_thicker_than_half_its_room(whole):
    films = held(whole.films, whole.seats)
    assert films.film_m.tolist() == whole.films.film_m.tolist(), "a sound bearing is left as it is"
    tight = shut(whole, 0.5e-6 - whole.seats[0].grown_m)
    limited = held(Films(*(np.array(getattr(whole.films, name)) for name in vars(whole.films))), tight)
    assert limited.film_m[0, 0] == pytest.approx(0.25e-6, rel=1e-6)


def test_other_clearances_are_tried_even_where_the_cold_one_is_below_nil(whole):
    bearings = Bearings(whole.job, whole.bearings.facts, shut(whole, -10e-6), whole.bearings.columns)
    bearing = told(bearings, whole.films, whole.draws)[0]
    assert len(bearing.tried_m) > 5
    assert bearing.window is not None
    words = [each.words for each in better(whole.job, (), (bearing,))]
    assert len(words) == 1
    assert "would keep film and temperature within their bounds" in words[0]
