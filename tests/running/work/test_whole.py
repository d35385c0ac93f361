"""The whole engine at work: one call that gives the same twice, tells what it lacks, refuses in words, and never ends in a traceback."""

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest

from blockwright.engine.at_work import LinerKind, MainGroove
from blockwright.engine.duty import Cooling
from blockwright.engine.layout import Layout, PinHold
from blockwright.engine.rules import Units
from blockwright.fits.assessment import Standing
from blockwright.problems import BlockwrightError
from blockwright.running.work import SAMPLES, SEED, kept, work
from blockwright.running.work.loads import OUTSIDE_PA
from blockwright.running.work.result import Spread
from blockwright.running.work.trace import Trace


@pytest.fixture(scope="module")
def steps():
    """What is told while `alone` is worked out."""
    return []


@pytest.fixture(scope="module")
def alone(engines, harbour, steps):
    """Cylinder 1 of the boat without draws."""
    return work(
        engines.single(harbour), samples=0, processes=1, progress=lambda what, share: steps.append((what, share))
    )


@pytest.fixture(scope="module")
def plain(engines):
    """The reference engine, of which nothing was read."""
    return work(engines.reference(duty={"redline_rad_s": 6500.0 * math.pi / 30.0}), samples=0, processes=1)


def spreads(record, path=""):
    """Every number with a spread in a record, by where it is."""
    if isinstance(record, Spread):
        yield path, record
    elif isinstance(record, tuple):
        for i, each in enumerate(record):
            yield from spreads(each, f"{path}[{i}]")
    elif hasattr(record, "__dataclass_fields__"):
        for name in record.__dataclass_fields__:
            yield from spreads(getattr(record, name), f"{path}.{name}")


def test_best_values_do_not_hang_on_draws(alone, one):
    """What is told as the value is worked out from the best of everything, whether it is drawn or not."""
    first, second = dict(spreads(alone)), dict(spreads(one))
    assert first.keys() == second.keys()
    assert len(first) > 50
    for where, spread in first.items():
        assert second[where].value == pytest.approx(spread.value, rel=5e-4, abs=1e-9), where
        assert spread.sd == 0.0
    assert sum(spread.sd > 0.0 for spread in second.values()) > 40


def test_a_best_value_lies_among_its_draws(one):
    """Within four standard deviations of the span's ends, whatever a model bends."""
    for where, spread in spreads(one):
        if spread.sd > 0.0:
            assert spread.low - 2.0 * spread.sd <= spread.value <= spread.high + 2.0 * spread.sd, where
            assert spread.error == pytest.approx(spread.sd / math.sqrt(40), rel=1e-9)


def test_the_same_seed_gives_the_same_and_another_other_draws(engines, harbour, one):
    again = work(engines.single(harbour), samples=40, seed=6, processes=1)
    assert replace(again, seconds=0.0) == replace(one, seconds=0.0)


def test_every_step_is_told_in_order(alone, steps):
    shares = [share for _, share in steps]
    assert shares == sorted(shares)
    assert (shares[0], shares[-1]) == (0.0, 1.0)
    named = [what for what, _ in steps if what != "bearings"]
    assert named == ["cycle and heat", "forces", "other clearances and oils", "rings", "done"]
    assert alone.seconds > 0.0


def test_what_was_not_read_is_told(one, plain):
    assert one.missing == ("wall clearance: not read",)
    assert (plain.fits, plain.rings, plain.gap_map) == ((), (), None)
    assert len(plain.missing) == 7
    assert plain.headline == "No fit could be worked out hot: the readings for it are missing."
    assert len(plain.bearings) == 9
    assert not any(bearing.read for bearing in plain.bearings)


def test_a_symmetric_engine_has_symmetric_films(plain):
    """Nothing read, so every rod and every main has the same clearance: rods are alike, mains mirror each other."""
    found = {bearing.name: bearing for bearing in plain.bearings}
    rods = [found[f"rod bearing, cylinder {n}"].film_m.value for n in range(1, 5)]
    assert rods == pytest.approx([rods[0]] * 4, rel=1e-6)
    for one, other in ((1, 5), (2, 4)):
        assert found[f"main {one}"].film_m.value == pytest.approx(found[f"main {other}"].film_m.value, rel=1e-6)
        assert found[f"main {one}"].loss_w.value == pytest.approx(found[f"main {other}"].loss_w.value, rel=1e-6)
    at = [found[f"rod bearing, cylinder {n}"].film_at_deg for n in (1, 3, 4, 2)]
    assert [(b - a) % 720.0 for a, b in itertools.pairwise(at)] == pytest.approx([180.0] * 3, abs=1.0)


def test_forces_by_hand(plain):
    """6000 and 6500 rev/min, 86 mm of stroke: mean piston speed 2 S n; r w² (1 + r/l) at the redline. The free force of order 2 is
    4 m r w² (k + k³/4 + 15 k⁵/128), k = r/l: the exact slider-crank's second harmonic to the sixth power of k."""
    found, redline, k = plain.forces, 6500.0 * math.pi / 30.0, 0.043 / 0.143
    assert found.mean_piston_m_s == pytest.approx(17.2)
    assert found.redline_piston_m_s == pytest.approx(17.2 * 6.5 / 6.0)
    assert found.top_acceleration_m_s2 == pytest.approx(0.043 * redline**2 * (1.0 + k))
    assert found.free_n[0] == pytest.approx(0.0, abs=1e-6 * found.free_n[1])
    moving = 680.0 * 0.086**3 + 0.3 * 570.0 * 0.086**2 * 0.143
    by_hand = 4.0 * moving * 0.043 * (200.0 * math.pi) ** 2 * (k + k**3 / 4.0 + 15.0 * k**5 / 128.0)
    assert found.free_n[1] == pytest.approx(by_hand, rel=5e-4)


def test_thrust_on_either_side_is_that_of_the_curve(one):
    """Largest on the major side is the curve's top, on the minor side its bottom, and the power stroke makes the first the larger."""
    forces = one.forces
    assert forces.largest_major_n.value == pytest.approx(max(forces.side_n), rel=1e-4)
    assert forces.largest_minor_n.value == pytest.approx(-min(forces.side_n), rel=1e-4)
    assert forces.largest_major_n.value > forces.largest_minor_n.value > 0.0
    assert forces.largest_pin_n.value < max(forces.gas_n) < 2.0 * forces.largest_pin_n.value


def test_a_given_peak_is_told(one):
    assert one.cycle.peak_pa.value == pytest.approx(112e5 + OUTSIDE_PA, rel=2e-4)
    assert one.cycle.energy_left_over < 5e-6
    assert not any("peak pressure given cannot be had" in caution for caution in one.cautions)


@pytest.mark.parametrize("samples", [-1, 100_001])
def test_so_many_draws_are_not_made(harbour, samples):
    with pytest.raises(BlockwrightError, match="draws cannot be made"):
        work(harbour, samples=samples)


def test_a_seed_below_nil(harbour):
    with pytest.raises(BlockwrightError, match="a seed is not below nil"):
        work(harbour, samples=0, seed=-1)


@pytest.mark.parametrize(
    ("change", "code", "said"),
    [
        ({"engine": {"firing_order": ()}}, "work-firing", "the firing order is not given"),
        ({"duty": {"oil_grade": "treacle"}}, "oil-grade", "'treacle' is no oil grade"),
        ({"duty": {"oil_c": 200.0}}, "work-range", "oil feed temperature: 200 °C"),
        ({"at_work": {"oil_40_m2_s": 10e-6, "oil_100_m2_s": 14e-6}}, "work-range", "the oil thinner there"),
        ({"at_work": {"rod_bearing_width_m": 0.09}}, "work-range", "width over diameter"),
        ({"at_work": {"rod_mass_kg": 0.4, "rod_big_mass_kg": 0.5}}, "work-range", "centre of gravity of the rod"),
        ({"engine": {"housing_material": "cheese"}}, "alloy-unknown", "'cheese' is not in the materials list"),
    ],
)
def test_what_cannot_be_worked_out_is_one_clear_message(engines, change, code, said):
    with pytest.raises(BlockwrightError) as refused:
        work(engines.reference(**change), samples=0, processes=1)
    [problem] = refused.value.problems
    assert problem.code == code
    assert said in problem.what
    assert problem.mend


def test_the_firing_order_is_asked_for_before_anything_is_worked_out(engines):
    told = []
    with pytest.raises(BlockwrightError, match="firing order"):
        work(engines.reference(engine={"firing_order": ()}), samples=2000, progress=lambda *step: told.append(step))
    assert told == []


def vee(cylinders, degrees, order, **engine):
    facts = {"layout": Layout.V, "cylinders": cylinders, "firing_order": order, "banks": (), "mains": None}
    return facts | {"bank_angle_rad": math.radians(degrees)} | engine


ODD = {
    "single, one main": {"engine": {"cylinders": 1, "firing_order": (), "mains": 1}, "duty": {"power_w": 20e3}},
    "twin on one pin": {"engine": vee(2, 45.0, (1, 2)), "duty": {"power_w": 40e3}},
    "flat twin": {"engine": {"layout": Layout.FLAT, "cylinders": 2, "firing_order": (1, 2)}, "duty": {"power_w": 40e3}},
    "split six": {"engine": vee(6, 60.0, (1, 2, 3, 4, 5, 6), shared_throws=False, mains=4), "duty": {"power_w": 130e3}},
    "three mains": {"engine": {"mains": 3}},
    "seven mains": {"engine": {"mains": 7}},
    "no journals": {
        "engine": {"rod_journal_m": None, "main_journal_m": None},
        "at_work": {"main_groove": MainGroove.ROUND},
    },
    "no oil grade": {"duty": {"oil_grade": ""}},
    "diesel": {"duty": {"fuel": "diesel", "boost_pa": 1e5}, "at_work": {"compression_ratio": None}},
    "air": {"duty": {"cooling": Cooling.AIR}},
    "air, dry liner, head known": {
        "duty": {"cooling": Cooling.AIR, "coolant_c": 210.0},
        "at_work": {"liner": LinerKind.DRY},
    },
    "hard boost": {"duty": {"boost_pa": 2.5e5, "power_w": 250e3}},
    "a peak out of reach": {"duty": {"peak_pressure_pa": 300e5}},
    "magnesium": {"engine": {"housing_material": "magnesium case", "liner_material": "grey iron"}},
    "hardly any power": {"duty": {"power_w": 1e3}},
    "20 000 rev/min": {"duty": {"at_speed_rad_s": 2094.0, "redline_rad_s": 2300.0, "power_w": 200e3}},
    "500 rev/min": {"duty": {"at_speed_rad_s": 52.4, "power_w": 5e3}},
}


@pytest.mark.slow
@pytest.mark.parametrize("name", ODD)
def test_odd_engines_are_worked_out(engines, name):
    found = work(engines.reference(**ODD[name]), samples=0, processes=1)
    for where, spread in spreads(found):
        assert math.isfinite(spread.value), where
    assert found.cycle.energy_left_over < 1e-5
    said = " ".join(found.cautions)
    assert ("cannot be had" in said) is (name == "a peak out of reach")
    assert ("rough guide" in said) is (name == "diesel")
    assert ("fire unevenly" in said) is (name == "twin on one pin")
    assert ("beyond the crank's bays" in said) is (name == "seven mains")


@pytest.mark.slow
def test_sixteen_cylinders(engines):
    order = (1, 12, 8, 11, 7, 14, 5, 16, 4, 15, 3, 10, 6, 9, 2, 13)
    found = work(engines.reference(engine=vee(16, 90.0, order), duty={"power_w": 350e3}), samples=0, processes=1)
    assert len(found.bearings) == 16 + 9


def test_pressed_pins_and_inches(engines, harbour):
    job = engines.changed(
        engines.single(harbour),
        engine={"pin": PinHold.PRESSED},
        rules={"units": Units.INCH},
        duty={"peak_pressure_pa": None},
    )
    found = work(job, samples=0, processes=1)
    assert {fit.fit for fit in found.fits} == {
        "top end gap",
        "second end gap",
        "pin in piston",
        "rod film",
        "main film",
    }
    assert " psi" in found.rings[0].looser
    assert " bar" not in found.rings[0].looser
    for each in found.better:
        assert "mm" not in each.words


def test_a_bearing_that_heat_closes_does_not_pass(engines, harbour):
    """Housing and big end given at nil degrees: every clearance shuts, and the model's least one must not be taken for it."""
    cold = {"main_housing_c": 0.0, "big_end_c": 0.0, "give_k": 0.0}
    job = engines.changed(engines.single(harbour), temperatures=cold, duty={"peak_pressure_pa": None})
    found = work(job, samples=26, processes=1)
    films = [fit for fit in found.fits if fit.fit in ("rod film", "main film")]
    assert len(films) == 3
    assert all(fit.hot.value < 0.0 for fit in films)
    assert not any(fit.standing == Standing.CONFORMS for fit in films)
    assert any(
        caution.startswith("tighter when hot than the film's model takes: rod bearing, cylinder 1")
        for caution in found.cautions
    )


def test_a_builders_own_pressure(engines, harbour, alone, tmp_path, monkeypatch):
    """The cycle's own pressure given back as a trace: forces, films and rings are those of the cycle."""
    angles = tuple(alone.cycle.angle_deg[:-1])
    own = Trace(angles, tuple(p - OUTSIDE_PA for p in alone.cycle.pressure_pa[:-1]), "pressure as given in own.csv")
    found = work(engines.single(harbour), samples=0, processes=1, pressure=own)
    assert found.cycle.given == "pressure as given in own.csv"
    assert found.digest == ""
    assert found.forces.largest_pin_n.value == pytest.approx(alone.forces.largest_pin_n.value, rel=1e-4)
    for one, other in zip(found.bearings, alone.bearings, strict=True):
        assert one.film_m.value == pytest.approx(other.film_m.value, rel=1e-3)
    assert found.rings[0].blow_by_share.value == pytest.approx(alone.rings[0].blow_by_share.value, rel=1e-3)
    monkeypatch.setattr(kept, "_folder", lambda: tmp_path)
    kept.keep(found)
    assert list(tmp_path.iterdir()) == []


def test_a_harder_pressure_thins_films_and_blows_by_more(engines, harbour, alone):
    angles = tuple(alone.cycle.angle_deg[:-1])
    hard = Trace(angles, tuple(1.3 * (p - OUTSIDE_PA) for p in alone.cycle.pressure_pa[:-1]), "harder")
    found = work(engines.single(harbour), samples=0, processes=1, pressure=hard)
    assert found.forces.largest_major_n.value > alone.forces.largest_major_n.value
    assert all(a.film_m.value < b.film_m.value for a, b in zip(found.bearings, alone.bearings, strict=True))
    assert found.rings[0].blow_by_l_min.value > alone.rings[0].blow_by_l_min.value
    assert found.nodes == alone.nodes, "heat is still the cycle's"


@pytest.mark.slow
@pytest.mark.parametrize("name", ["harbour", "hillclimb"])
def test_a_whole_demo(engines, name):
    """Every fit that was read is judged, each spread has its error, and the heat is that of one cylinder times all."""
    job = engines.demo(name)
    found = work(job, samples=60, processes=2)
    assert (found.samples, found.seed) == (60, SEED)
    assert SAMPLES >= 2000
    assert {fit.standing for fit in found.fits} <= {str(s) for s in Standing}
    cylinders = job.engine.cylinders
    assert len(found.rings) == cylinders
    assert sum(fit.fit == "top end gap" for fit in found.fits) == cylinders
    for where, spread in spreads(found):
        assert math.isfinite(spread.value), where
        assert spread.error == pytest.approx(spread.sd / math.sqrt(60), rel=0.05) or "rings" in where, where
    for fit in found.fits:
        assert sum(fit.counts) == 60
        assert fit.below + fit.inside + fit.above == pytest.approx(1.0)
    torque = np.array(found.forces.torque_nm[:-1])
    indicated_w = float(torque.mean()) * job.duty.at_speed_rad_s
    gross_w = found.cycle.indicated_pa.value * math.pi / 4 * job.engine.bore_m**2 * job.engine.stroke_m * cylinders
    assert indicated_w == pytest.approx(gross_w * job.duty.at_speed_rad_s / (4.0 * math.pi), rel=0.15), (
        "less or more what breathing takes"
    )
