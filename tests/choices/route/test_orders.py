"""Orders that differ by architecture differ: made-up engines, and the two demonstrations.

What must come first is said here in words of the trade (common practice, no source), and looked for along the whole graph, not in a list.
"""

import itertools

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from blockwright.choices.route.content import steps_for
from blockwright.choices.route.graph import route_from
from blockwright.choices.route.step import Pass, Proof
from blockwright.engine.assembly import Assembly, CamPlace, Drive, HeadFor, PistonWay, RearSeal
from blockwright.engine.duty import Cooling
from blockwright.engine.layout import Case, Entering, Layout, PinHold
from blockwright.engine.positions import Place

from .engines import ENGINES, ROUTES, job


def final(name):
    return f"final: {name}"


def first(route, before, after):
    """Whether a step must be signed before another, along whatever way."""
    assert before in route.by_key, before
    assert after in route.by_key, after
    return bool(route.path(before, after))


def cylinders(name):
    return range(1, ENGINES[name].engine.cylinders + 1)


@pytest.mark.parametrize("name", ROUTES)
class TestEveryEngine:
    def test_the_order_holds(self, name) -> None:
        route, seen = ROUTES[name], set()
        assert len(route.by_key) == len(route.steps)
        for step in route.steps:
            assert seen >= set(route.needs[step.key]), step.key
            seen.add(step.key)

    def test_one_pass_ends_before_the_next_begins(self, name) -> None:
        route = ROUTES[name]
        by_pass = {stage: [step.key for step in route.steps if step.stage is stage] for stage in Pass}
        assert all(first(route, key, "strip: taken down") for key in by_pass[Pass.MOCK_UP])
        assert all(first(route, "strip: bench clean", key) for key in by_pass[Pass.FINAL])
        assert [step.key for step in route.steps if not route.needs[step.key]] == ["mock-up: parts"]

    def test_everything_is_done_before_the_engine_is_closed_up(self, name) -> None:
        route = ROUTES[name]
        last = final("closed up")
        behind = set(route.beyond(last))
        assert all(first(route, key, last) for key in route.by_key if key != last and key not in behind)

    def test_each_stage_of_turning_is_held_once_in_order(self, name) -> None:
        route, stages = ROUTES[name], ENGINES[name].engine.turning_stages
        held = {
            each.at.label: step.key for step in route.steps for each in step.evidence if each.what == "turning torque"
        }
        counted = [each for step in route.steps for each in step.evidence if each.what == "turning torque"]
        assert len(counted) == len(stages)
        assert set(held) == set(stages)
        assert all(first(route, held[a], held[b]) for a, b in itertools.pairwise(stages))

    def test_two_clips_and_a_photo_for_each_floating_pin(self, name) -> None:
        engine = ENGINES[name].engine
        clips = [
            each.number
            for step in ROUTES[name].steps
            for each in step.evidence
            if each.what == "clips in their grooves"
        ]
        photos = [
            each
            for step in ROUTES[name].steps
            for each in step.evidence
            if each.proof is Proof.PHOTO and "clip" in each.what
        ]
        pins = engine.cylinders if engine.pin is PinHold.FLOATING else 0
        assert clips == [2] * pins
        assert len(photos) == pins

    def test_rings_are_on_before_their_piston_goes_in(self, name) -> None:
        assert all(first(ROUTES[name], final(f"rings on piston {n}"), final(f"piston {n}")) for n in cylinders(name))

    def test_rings_are_filed_in_a_bore_that_is_right(self, name) -> None:
        assert all(first(ROUTES[name], f"mock-up: bore {n}", f"mock-up: rings {n}") for n in cylinders(name))

    def test_plugs_go_in_before_the_crank(self, name) -> None:
        assert first(ROUTES[name], final("plugs"), final("crank laid in"))

    def test_a_clock_is_kept_and_nothing_lies_between(self, name) -> None:
        """Whoever keeps a sealant's clock can follow it at once: no other step must come between, and all that it needs is done before."""
        route = ROUTES[name]
        for step in (each for each in route.steps if each.within):
            started = route.by_key[step.within]
            assert started.open_time_s
            between = [key for key in route.by_key if first(route, started.key, key) and first(route, key, step.key)]
            assert set(between) == {started.key, step.key}
            others = set(route.needs[step.key]) - {started.key}
            assert all(first(route, key, started.key) for key in others), "laid before what the closing waits for"
        clocks = {step.key for step in route.steps if step.open_time_s}
        assert clocks == {step.within for step in route.steps if step.within}


ABOVE = ("caps, piston on its rod from above", "bedplate", "in-block cam, V", "harbour", "belt")
BELOW = ("caps, piston from below", "bedplate, piston from below")
ALONE = ("split, pistons alone", "one angle, alone")


@pytest.mark.parametrize("name", ABOVE)
def test_from_above_the_piston_comes_on_its_rod_after_the_crank(name) -> None:
    route = ROUTES[name]
    for n in cylinders(name):
        assert first(route, final("crank laid in"), final(f"piston {n}"))
        assert first(route, final(f"piston {n} on its rod"), final(f"rings on piston {n}"))
        assert final(f"rod {n}") not in route.by_key
        assert any(each.proof is Proof.PAINT for each in route.by_key[final(f"piston {n}")].evidence)


@pytest.mark.parametrize("name", BELOW)
def test_from_below_the_piston_is_in_before_the_crank_and_joined_after(name) -> None:
    route = ROUTES[name]
    closed = final("end float" if "bedplate" in name else "thrust")
    for n in cylinders(name):
        assert first(route, final(f"piston {n}"), final("crank laid in"))
        assert first(route, closed, final(f"rod {n}"))
        assert first(route, f"mock-up: piston {n} in its bore", "mock-up: crank laid in")


@pytest.mark.parametrize("name", ALONE)
def test_in_a_split_case_rods_are_on_the_crank_first_and_pistons_go_in_alone(name) -> None:
    route = ROUTES[name]
    for n in cylinders(name):
        assert first(route, final(f"rod {n}"), final("crank laid in"))
        assert first(route, final("case closed"), final(f"piston {n}"))
        assert final(f"piston {n} on its rod") not in route.by_key
        piston = route.by_key[final(f"piston {n}")]
        assert "service hole" in piston.name
        assert {Proof.COUNT, Proof.PHOTO} <= {each.proof for each in piston.evidence}
    assert first(route, final("rod side"), final("case closed"))


@pytest.mark.parametrize(("name", "many"), [("split, pushrods", 4), ("hillclimb", 6)])
def test_under_a_barrel_the_pin_is_in_before_the_piston_is_covered(name, many) -> None:
    route = ROUTES[name]
    for n in cylinders(name):
        assert first(route, final("case closed"), final(f"piston {n} on its rod"))
        assert first(route, final(f"piston {n} on its rod"), final(f"piston {n}"))
        assert first(route, final(f"piston {n}"), final(f"head of cylinder {n}"))
        other = n % many + 1
        assert not first(route, final(f"head of cylinder {n}"), final(f"piston {other}"))


def test_in_a_split_case_with_pistons_first_they_hang_on_the_crank_before_it_is_laid_in() -> None:
    route = ROUTES["split, pistons first"]
    for n in cylinders("split, pistons first"):
        assert first(route, final(f"rod {n}"), final(f"piston {n} on its rod"))
        assert first(route, final(f"rings on piston {n}"), final("crank laid in"))
        assert first(route, final("crank laid in"), final(f"piston {n}"))
        assert first(route, final(f"piston {n}"), final("case closed"))


def test_cam_and_lifters_of_a_pushrod_flat_are_in_before_the_case_closes() -> None:
    route = ROUTES["split, pushrods"]
    assert first(route, final("cam and lifters"), final("case closed"))
    assert first(route, final("cam and lifters"), final("crank laid in"))
    assert first(route, "mock-up: cam", "mock-up: crank closed in")
    assert any("marks" in each.what for each in route.by_key[final("crank laid in")].evidence)


@pytest.mark.parametrize(
    "name", ["in-block cam, V", "in-block cam, seal of two halves", "short block with its cam", "harbour"]
)
def test_an_in_block_cam_goes_in_before_the_crank(name) -> None:
    route = ROUTES[name]
    assert first(route, final("cam"), final("crank laid in"))
    assert first(route, final("cam"), final("lifters"))
    assert final("cams") not in route.by_key


@pytest.mark.parametrize("name", ["caps, piston on its rod from above", "bedplate", "hillclimb"])
def test_overhead_cams_come_after_the_heads(name) -> None:
    route = ROUTES[name]
    heads = [key for key in route.by_key if key.startswith("final: head")]
    engine, how = ENGINES[name].engine, ENGINES[name].sheet.assembly
    assert len(heads) == (engine.cylinders if how.head_for is HeadFor.CYLINDER else len(engine.numbering))
    assert all(first(route, head, final("cams")) for head in heads)
    assert first(route, final("cams"), final("timing"))
    assert first(route, final("timing"), final("front cover"))
    assert final("cam") not in route.by_key
    assert final("lifters") not in route.by_key


def test_a_belt_runs_outside_the_cover() -> None:
    route = ROUTES["belt"]
    assert first(route, final("front seal"), final("timing"))
    assert not first(route, final("timing"), final("sump"))


def test_caps_one_by_one_and_the_thrust_last() -> None:
    route = ROUTES["in-block cam, seal of two halves"]
    mains = [final(f"main {n}") for n in range(1, 6)]
    assert all(first(route, a, b) for a, b in zip(mains, [*mains[1:], final("thrust")], strict=True))
    assert "snug" in " ".join(route.by_key[final("main 3")].do)
    assert "snug" not in " ".join(route.by_key[final("main 2")].do)
    assert any("fore and aft" in line for line in route.by_key[final("thrust")].do)
    assert first(route, final("rear seal"), final("crank laid in"))


@pytest.mark.parametrize("name", ["bedplate", "bedplate, piston from below", "sixteen"])
def test_a_bedplate_closes_all_mains_within_the_clock(name) -> None:
    route = ROUTES[name]
    assert final("main 1") not in route.by_key
    step = route.by_key[final("bedplate")]
    assert step.within == final("sealant on the bedplate")
    films = [each.at.label for each in route.by_key[step.within].evidence if each.what == "main film"]
    assert films == [str(n) for n in range(1, ENGINES[name].engine.main_count + 1)]
    assert set(step.closes) == {f"main film, main {n}" for n in films}


def test_jets_o_rings_and_an_inner_pump_are_in_before_the_sealant() -> None:
    route = ROUTES["split, pistons alone"]
    for name in ("oil jets", "case o-rings", "oil pump"):
        assert first(route, final(name), final("sealant on the case")), name


@pytest.mark.parametrize(
    ("name", "reached", "what"),
    [
        ("one angle, alone", (2, 3), "piston"),
        ("one angle, from above", (1, 4), "piston"),
        ("one angle, from below", (2,), "rod"),
    ],
)
def test_cylinders_reached_at_one_angle_have_the_crank_set_for_them_alone(name, reached, what) -> None:
    """Nothing that turns the crank may come between: the one before is done before the crank is set, this one before the next."""
    route = ROUTES[name]
    for n in cylinders(name):
        setting = final(f"crank set for cylinder {n}")
        assert (setting in route.by_key) == (n in reached)
        if n in reached:
            assert setting in route.needs[final(f"{what} {n}")]
            if n > 1:
                assert final(f"{what} {n - 1}") in route.needs[setting]
            if n + 1 in cylinders(name):
                assert first(route, final(f"{what} {n}"), final(f"{what} {n + 1}"))
            assert f"mock-up: angle of cylinder {n}" in route.by_key
    assert not [key for key in ROUTES["split, pistons alone"].by_key if "angle" in key or "crank set" in key]


@pytest.mark.parametrize("name", [name for name in ROUTES if "final: sump" in ROUTES[name].by_key])
def test_covers_and_both_seals_come_before_the_sump(name) -> None:
    route = ROUTES[name]
    for step in ("front cover", "front seal", "rear seal", "oil pump", "rod side"):
        assert first(route, final(step), final("sump")), step
    assert (final("rear cover") in route.by_key) == ENGINES[name].sheet.assembly.rear_cover
    if ENGINES[name].sheet.assembly.rear_cover:
        assert first(route, final("rear cover"), final("rear seal"))


def test_the_sump_waits_for_every_rod() -> None:
    for name, route in ROUTES.items():
        if final("sump") in route.by_key:
            assert all(first(route, final(f"piston {n}"), final("sump")) for n in cylinders(name))


def test_a_short_block_ends_in_its_bag() -> None:
    bare, with_cam = ROUTES["short block"], ROUTES["short block with its cam"]
    for route in (bare, with_cam):
        assert route.steps[-1].key == final("bagged")
        assert not [key for key in route.by_key if "start" in key or "head" in key or "lash" in key]
    assert final("sump") not in bare.by_key
    assert final("sump") in with_cam.by_key


@pytest.mark.parametrize("name", [name for name in ROUTES if "short" not in name])
def test_from_priming_to_the_first_oil(name) -> None:
    route = ROUTES[name]
    for a, b in (
        ("sump", "oil and filter"), ("oil and filter", "priming"), ("lash", "priming"), ("priming", "valve covers"), ("leak-down test", "first start"),
        ("priming", "first start"), ("first start", "running in"), ("running in", "first oil"),
    ):  # fmt: skip
        assert first(route, final(a), final(b)), (a, b)
    assert (final("water pipes") in route.by_key) == (ENGINES[name].duty.cooling is Cooling.WATER)


@pytest.mark.parametrize("name", [name for name in ROUTES if "short" not in name])
def test_the_mock_up_asks_what_only_it_can_show(name) -> None:
    route = ROUTES[name]
    for a, b in (
        ("deck 1", "quench"),
        ("quench", "valve to piston"),
        ("cam timing", "valve to piston"),
        ("room in the case", "pump and pick-up"),
    ):
        assert first(route, f"mock-up: {a}", f"mock-up: {b}"), (a, b)


def test_the_clock_is_the_tubes_own_where_it_is_written_down() -> None:
    told = steps_for(job(case=Case.BEDPLATE, assembly={"sealant_open_s": 1500.0}))
    untold = steps_for(job(case=Case.BEDPLATE))
    assert {step.open_time_s for step in told} == {None, 1500.0}
    assert {step.open_time_s for step in untold} == {None, 600.0}
    assert any("no source" in line for step in untold if step.open_time_s for line in step.do)
    assert not any("no source" in line for step in told if step.open_time_s for line in step.do)


ASSEMBLIES = st.fixed_dictionaries(
    {},
    optional={
        "cam": st.sampled_from(CamPlace), "pushrods": st.booleans(), "pistons_enter": st.sampled_from(PistonWay), "thrust_main": st.integers(1, 2),
        "dry_sump": st.booleans(), "pump_inside": st.booleans(), "oil_jets": st.booleans(), "case_o_rings": st.booleans(),
        "rear_seal": st.sampled_from(RearSeal), "rear_cover": st.booleans(), "cam_drive": st.sampled_from(Drive), "heads": st.booleans(),
        "head_for": st.sampled_from(HeadFor), "one_angle": st.sets(st.integers(1, 2)).map(tuple),
    },
)  # fmt: skip
SHAPES = st.fixed_dictionaries(
    {
        "layout": st.sampled_from(Layout), "cylinders": st.integers(2, 6), "case": st.sampled_from(Case), "pistons": st.sampled_from(Entering),
        "pin": st.sampled_from(PinHold),
    }
)  # fmt: skip


@given(ASSEMBLIES, SHAPES)
def test_whatever_is_no_contradiction_has_an_order_that_ends_and_loses_no_check(how, shape) -> None:
    more = {"bank_angle_rad": 1.5} if shape["layout"] is Layout.V else {}
    bare = job(**shape, **more)
    assume(not Assembly(**how).faults(bare.engine))
    told = job(assembly=how, **shape, **more)
    route = route_from(steps_for(told))
    stages = [each.at.label for step in route.steps for each in step.evidence if each.what == "turning torque"]
    assert stages == list(told.engine.turning_stages)
    keys = [step.key for step in route.steps]
    assert keys.index(final("crank laid in")) < keys.index(final("closed up"))
    assert all(
        first(route, final(f"piston {at.label}"), final("closed up")) for at in told.engine.positions(Place.CYLINDER)
    )
    assert all(first(route, step.within, step.key) for step in route.steps if step.within)


@pytest.mark.parametrize("name", [name for name in ROUTES if "alone" in name])
def test_holes_for_pins_are_closed_before_the_sump(name) -> None:
    route = ROUTES[name]
    for n in cylinders(name):
        assert first(route, final(f"piston {n}"), final("service holes"))
    assert first(route, final("service holes"), final("sealant on the sump"))
    assert final("service holes") not in ROUTES["hillclimb"].by_key


@pytest.mark.parametrize("name", [name for name in ROUTES if "short" not in name])
def test_heads_are_built_before_they_go_on_and_everything_is_fitted_before_the_start(name) -> None:
    route = ROUTES[name]
    for head in (key for key in route.by_key if key.startswith("final: head")):
        assert first(route, "strip: heads", head)
    assert first(route, final("leak-down test"), final("ignition"))
    assert first(route, final("ignition"), final("first start"))
    belt = ENGINES[name].sheet.assembly.cam_drive is Drive.BELT
    assert (final("crank pulley") in route.by_key) != belt
    if not belt:
        assert first(route, final("front seal"), final("crank pulley"))
        assert first(route, final("crank pulley"), final("first start"))
    if final("water pipes") in route.by_key:
        assert first(route, final("water pipes"), final("leak-down test"))
