"""The plan of readings: whole, each once, gauges that fit, and gauge and setting taken up as seldom as can be."""

from itertools import groupby, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.choices.plan import ALSO_USUAL, Plan, plan
from blockwright.engine.duty import Duty
from blockwright.engine.features import FEATURES
from blockwright.engine.job import ENGINE_MARK, FORMAT, JobSheet
from blockwright.engine.layout import Case, Engine, Entering, Layout, PinHold, Turning
from blockwright.engine.parts import CylinderParts, MainParts, Part, PartKind
from blockwright.engine.positions import Place, position
from blockwright.fits.registry import REGISTRY
from blockwright.metrology.readings import Reading

MARKS = {PartKind.PISTON: "P", PartKind.PIN: "W", PartKind.RINGS: "R", PartKind.ROD: "C"}
SIZES = {
    "bore_m": 0.086, "stroke_m": 0.086, "rod_length_m": 0.143, "main_journal_m": 0.055, "rod_journal_m": 0.048, "pin_m": 0.021,
    "main_housing_m": 0.059, "big_end_m": 0.052,
}  # fmt: skip


def sheet(layout: Layout = Layout.INLINE, cylinders: int = 4, **more: object) -> JobSheet:
    """An invented engine with a part of each kind in each place."""
    engine = Engine(name="Bench 7", layout=layout, cylinders=cylinders, rotation=Turning.CLOCKWISE,
                    **({"case": Case.CAPS, "housing_material": "grey iron", "bank_angle_rad": 1.5} | SIZES | more))  # fmt: skip
    numbers = [each.number for each in engine.positions(Place.CYLINDER)]
    parts = [Part(mark="B1", kind=PartKind.BLOCK), Part(mark="K1", kind=PartKind.CRANK)]
    parts += [Part(mark=f"{mark}{n}", kind=kind) for kind, mark in MARKS.items() for n in numbers]
    parts += [Part(mark=f"C{half}{n}", kind=PartKind.SHELL) for n in numbers for half in "UL"]
    parts += [Part(mark=f"M{half}{n}", kind=PartKind.SHELL) for n in range(1, engine.main_count + 1) for half in "UL"]
    held = [
        CylinderParts(number=n, piston=f"P{n}", pin=f"W{n}", rings=f"R{n}", rod=f"C{n}", shells=(f"CU{n}", f"CL{n}"))
        for n in numbers
    ]
    seats = [MainParts(number=n, shells=(f"MU{n}", f"ML{n}")) for n in range(1, engine.main_count + 1)]
    duty = Duty(power_w=1e5, at_speed_rad_s=500.0, redline_rad_s=600.0)
    return JobSheet(
        format=FORMAT, job="J1", engine=engine, duty=duty, part=tuple(parts), cylinder=tuple(held), main=tuple(seats)
    )


@st.composite
def sheets(draw: st.DrawFn) -> JobSheet:
    layout = draw(st.sampled_from(Layout))
    cylinders = draw(st.integers(1 if layout is Layout.INLINE else 2, 16))
    return sheet(layout, cylinders, case=draw(st.sampled_from(Case)), pistons=draw(st.sampled_from(Entering)),
                 pin=draw(st.sampled_from(PinHold)), torque_plate=draw(st.booleans()))  # fmt: skip


def planned(made: Plan) -> set[tuple[str, str, str, str, frozenset[str] | None]]:
    return {(each.part, each.feature, each.at, each.spot, each.state) for each in made.readings}


def changes(readings: tuple[Reading, ...]) -> tuple[int, int]:
    """How often gauge or setting change, and how seldom they could: the assembled engine cannot be measured before it is assembled."""
    taken = [(reading.part == ENGINE_MARK, reading.gauge, reading.setting) for reading in readings]
    return len(list(groupby(taken))) - 1, len(set(taken)) - 1


@given(sheets(), st.booleans())
def test_gauge_and_setting_change_as_seldom_as_can_be(job: JobSheet, full: bool) -> None:
    done, least = changes(plan(job, full=full).readings)
    assert done == least


@given(sheets(), st.booleans())
def test_parts_come_before_the_assembled_engine(job: JobSheet, full: bool) -> None:
    assembled = [reading.part == ENGINE_MARK for reading in plan(job, full=full).readings]
    assert assembled == sorted(assembled)


@given(sheets(), st.booleans())
def test_each_row_is_there_once_with_an_id_of_its_own(job: JobSheet, full: bool) -> None:
    made = plan(job, full=full)
    assert len(planned(made)) == len(made.readings)
    assert [each.id for each in made.readings] == [f"r{n}" for n in range(1, len(made.readings) + 1)]
    assert not any(each.taken or each.text for each in made.readings)


@given(sheets())
def test_every_spot_that_a_usual_fit_needs_is_planned_in_its_state(job: JobSheet) -> None:
    rows = planned(plan(job))
    for fit in REGISTRY.values():
        if not fit.positions(job.engine) or (fit.on_request and fit.name not in ALSO_USUAL):
            continue
        for need in fit.needs:
            feature = FEATURES[need.feature]
            if need.optional and feature.name != "bore":
                continue
            assert {
                spot
                for _, name, _, spot, state in rows
                if name == feature.name and (state or frozenset()) == need.state(job.engine)
            } == set(feature.spots), (fit.name, need.feature)


@given(sheets())
def test_a_full_plan_holds_the_usual_one(job: JobSheet) -> None:
    assert planned(plan(job)) < planned(plan(job, full=True))


@given(sheets(), st.booleans())
def test_gauges_settings_and_masters_are_all_registered_and_take_the_size(job: JobSheet, full: bool) -> None:
    made = plan(job, full=full)
    gauges = {gauge.id: gauge for gauge in made.gauges}
    settings = {setting.id: setting for setting in made.settings}
    assert len(gauges) == len(made.gauges)
    for reading in made.readings:
        gauge, nominal = gauges[reading.gauge], FEATURES[reading.feature].nominal(job.engine)
        assert gauge.measures is FEATURES[reading.feature].kind
        if reading.setting:
            assert settings[reading.setting].gauge == gauge.id
            assert nominal == settings[reading.setting].size_m
        elif nominal is not None:
            assert gauge.takes(nominal - 0.05e-3)
    for setting in made.settings:
        assert gauges[setting.master].takes(setting.size_m)
        assert gauges[setting.gauge].sense.compares


@given(sheets(), st.booleans())
def test_every_position_is_one_of_the_engines(job: JobSheet, full: bool) -> None:
    for reading in plan(job, full=full).readings:
        place = FEATURES[reading.feature].place
        if place is None:
            assert reading.at == ""
        else:
            assert position(reading.at) in job.engine.positions(place)


def test_rings_are_read_in_their_own_bore_only() -> None:
    for reading in plan(sheet(Layout.V, 8)).readings:
        if reading.feature.endswith(" gap"):
            assert reading.part == f"R{reading.at.removeprefix('cylinder ')}"


@pytest.mark.parametrize(("size_mm", "frame"), [
    (86.0, "M75"), (75.0, "M50"), (75.3, "M75"), (50.0, "M25"), (100.0, "M75"), (48.0, "M25"),
])  # fmt: skip
def test_a_part_at_the_edge_of_two_frames_wants_the_smaller(size_mm: float, frame: str) -> None:
    """What goes into a hole is a little smaller than its nominal size: a skirt in a bore of 100 mm does not reach into the frame from 100."""
    made = plan(sheet(bore_m=size_mm * 1e-3))
    assert {reading.gauge for reading in made.readings if reading.feature == "skirt"} == {frame}


def test_a_length_that_nothing_tells_beforehand_is_read_with_a_caliper() -> None:
    made = plan(sheet())
    assert {reading.gauge for reading in made.readings if reading.feature == "pin length"} == {"CA1"}
    assert {reading.gauge for reading in made.readings if reading.feature == "top ring height"} == {"M0"}


def test_a_hole_whose_size_is_not_given_has_no_setting() -> None:
    """Nothing is guessed: the builder sets the gauge and writes the setting down."""
    made = plan(sheet(big_end_m=None, main_housing_m=None), full=True)
    for name in ("big end", "main housing"):
        assert {reading.setting for reading in made.readings if reading.feature == name} == {""}


def test_each_cylinder_and_main_in_the_order_of_their_numbers() -> None:
    made = plan(sheet(Layout.V, 12))
    bores = list(dict.fromkeys(reading.at for reading in made.readings if reading.feature == "bore"))
    assert bores == [f"cylinder {n}" for n in range(1, 13)]
    skirts = [reading.part for reading in made.readings if reading.feature == "skirt"]
    assert skirts == [f"P{n}" for n in range(1, 13)]


def test_runout_is_planned_between_the_end_mains_only() -> None:
    asked = [each.at for each in plan(sheet()).readings if each.feature == "crank runout"]
    assert asked == ["main 2", "main 3", "main 4"]


def test_turning_torque_follows_the_assembly() -> None:
    for layout, case in product((Layout.INLINE, Layout.FLAT), Case):
        job = sheet(layout, 4, case=case)
        turned = [reading.at for reading in plan(job).readings if reading.feature == "turning torque"]
        assert turned == [f"stage {name}" for name in job.engine.turning_stages]
