"""The engine plan: every position is there, its verdict is said and drawn, and nothing lies on anything else."""

import itertools
import math
import re
from dataclasses import replace
from importlib import resources
from pathlib import Path
from typing import NamedTuple
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.engine.job import Job
from blockwright.engine.layout import Engine, FirstBank, Layout
from blockwright.engine.positions import Place, Position, cylinder, main
from blockwright.engine.rules import Accepted, Record
from blockwright.fits.assess import assess
from blockwright.fits.assessment import Assessment, FitResult, Standing
from blockwright.jobfile.folder import read_folder
from blockwright.report.colours import BLUE, OCHRE, VERMILION
from blockwright.report.pictures.drawing import text_width
from blockwright.report.pictures.engine_plan import engine_plan, layout_words, plan_svg
from blockwright.report.pictures.plan_place import drawn_spacing_m, planned
from blockwright.report.pictures.shapes import Disc, shape
from blockwright.report.pictures.standing import Look, Seen, seen, summed_up

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module", name="harbour")
def _harbour() -> Assessment:
    return assess(demo("harbour"))


def demo(name: str) -> Job:
    with resources.as_file(resources.files("blockwright.demos") / name) as folder:
        return read_folder(Path(folder)).job


ENGINE = demo("harbour").engine


class Box(NamedTuple):
    left: float
    top: float
    right: float
    foot: float

    def apart(self, other: "Box") -> bool:
        return self.right <= other.left or other.right <= self.left or self.foot <= other.top or other.foot <= self.top


def group(picture: ET.Element, at: str) -> ET.Element:
    [found] = [g for g in picture.iter(f"{SVG}g") if g.get("data-at") == at]
    return found


def said(element: ET.Element) -> str:
    return " ".join(text.text or "" for text in element.iter(f"{SVG}text"))


def text_box(text: ET.Element) -> Box:
    """How much room a text takes at most."""
    size = float(text.get("font-size", "13"))
    wide = text_width(text.text or "", size, bold=text.get("font-weight") == "700")
    x, y = float(text.get("x", "")), float(text.get("y", ""))
    left = x - {"start": 0.0, "middle": 0.5, "end": 1.0}[text.get("text-anchor", "start")] * wide
    return Box(left, y - 0.76 * size, left + wide, y + 0.24 * size)


@st.composite
def engines(draw: st.DrawFn) -> Engine:
    layout = draw(st.sampled_from(Layout))
    count = draw(st.integers(1 if layout is Layout.INLINE else 2, 16))
    bore = ENGINE.bore_m
    engine = replace(
        ENGINE,
        layout=layout,
        cylinders=count,
        bank_angle_rad=math.radians(60) if layout is Layout.V else None,
        shared_throws=None if layout is Layout.INLINE else draw(st.booleans()),
        mains=draw(st.none() | st.integers(1, 32)),
        first_bank=draw(st.sampled_from(FirstBank)),
        bore_spacing_m=draw(st.none() | st.floats(0.8 * bore, 3.0 * bore)),
        name=draw(st.sampled_from(("A", "Long name " * 12, "W" * 90, "<&\"'\x07>"))),
        front=draw(st.sampled_from(("fan end", "w" * 200))),
        firing_order=(),
    )
    if layout is not Layout.INLINE and draw(st.booleans()):
        split = draw(st.integers(1, count - 1))
        numbers = range(1, count + 1)
        engine = replace(engine, banks=(tuple(numbers[:split]), tuple(numbers[split:])))
    assert engine.faults() == ()
    return engine


def verdicts(engine: Engine, looks: list[Look]) -> dict[Position, Seen]:
    places = (Place.CYLINDER, Place.THROW, Place.MAIN)
    every = [position for place in places for position in engine.positions(place)]
    return {p: Seen(look, 0.4, {look: ("wall clearance",)}) for p, look in zip(every, itertools.cycle(looks))}


@given(engines())
def test_nothing_lies_on_anything_else(engine: Engine) -> None:
    plan = planned(engine)
    shapes = [disc for bank in plan.banks for disc in bank.cylinders.values()] + [*plan.throws, *plan.mains]
    boxes = [Box(*shape.box) for shape in shapes]
    assert all(one.apart(other) for one, other in itertools.combinations(boxes, 2))
    assert all(box.left > 0 and box.right < plan.width and box.top > 0 and box.foot < plan.height for box in boxes)


@given(engines())
def test_bores_keep_their_proportion_to_their_spacing(engine: Engine) -> None:
    for bank in planned(engine).banks:
        for one, other in itertools.pairwise(bank.cylinders.values()):
            assert 2 * one.r / (other.x - one.x) == pytest.approx(engine.bore_m / drawn_spacing_m(engine), rel=1e-9)


@given(engines())
def test_a_cylinder_lies_over_its_throw(engine: Engine) -> None:
    plan = planned(engine)
    for bank in plan.banks:
        for number, disc in bank.cylinders.items():
            assert disc.x == pytest.approx(plan.throws[engine.throw_of(number).number - 1].x)


@given(engines())
def test_mains_are_told_apart_and_follow_each_other(engine: Engine) -> None:
    mains = planned(engine).mains
    assert len(mains) == engine.main_count
    assert all(one.x < other.x for one, other in itertools.pairwise(mains))


@given(engines(), st.lists(st.sampled_from(Look), min_size=1, max_size=8))
def test_the_picture_is_whole_and_no_word_leaves_it_or_lies_on_another(engine: Engine, looks: list[Look]) -> None:
    told = verdicts(engine, looks)
    picture = ET.fromstring(plan_svg(engine, told))
    width, height = float(picture.get("width", "")), float(picture.get("height", ""))
    for position, here in told.items():
        drawn = group(picture, str(position))
        assert str(here.look) in said(drawn)
        assert position.label in said(drawn).split()
    [plan] = [g for g in picture.iter(f"{SVG}g") if g.get("transform")]
    in_plan = [text_box(text) for text in plan.iter(f"{SVG}text") if text.text not in ("C", "J")]
    assert all(one.apart(other) for one, other in itertools.combinations(in_plan, 2))
    outside = [text for text in picture.iter(f"{SVG}text") if text not in set(plan.iter(f"{SVG}text"))]
    boxes = [text_box(text) for text in outside]
    assert all(box.left >= 0 and box.right <= width and box.top >= 0 and box.foot <= height for box in boxes)
    assert all(one.apart(other) for one, other in itertools.combinations(boxes, 2))


def test_the_left_bank_lies_below_the_crank_when_the_front_is_at_the_left() -> None:
    engine = replace(ENGINE, layout=Layout.FLAT, cylinders=6, firing_order=())
    for first, below in ((FirstBank.LEFT, 1), (FirstBank.RIGHT, 2)):
        plan = planned(replace(engine, first_bank=first))
        places = {number: disc.y for bank in plan.banks for number, disc in bank.cylinders.items()}
        assert places[3 - below] < plan.crank_y < places[below]
        names = {bank.name: min(bank.cylinders) for bank in plan.banks}
        assert names["left bank"] == below


def test_the_makers_numbers_stand_where_the_maker_puts_them() -> None:
    engine = replace(ENGINE, layout=Layout.V, cylinders=4, banks=((4, 2), (1, 3)), bank_angle_rad=1.0, firing_order=())
    [right, left] = planned(engine).banks
    assert list(left.cylinders) == [4, 2]
    assert list(right.cylinders) == [1, 3]
    assert left.cylinders[4].x < left.cylinders[2].x


def test_four_throws_on_three_mains_leave_the_mains_at_the_ends_and_the_middle() -> None:
    plan = planned(replace(ENGINE, mains=3))
    between = [sum(block.x < place.x for block in plan.throws) for place in plan.mains]
    assert between == [0, 2, 4]


def stand_ins(harbour: Assessment) -> dict[Look, FitResult]:
    """One result of each standing, made of one that conforms."""
    plain = next(result for result in harbour.results if result.standing is Standing.CONFORMS)
    record = Record(1, Accepted.CONCESSION, plain.fit.name, "main 1", 0.0, "0", "me", None, "because")
    out = replace(plain, standing=Standing.NONCONFORMING)
    doubt = replace(plain, standing=Standing.UNDECIDED)
    return {
        Look.OUT: out,
        Look.UNDECIDED: doubt,
        Look.UNREAD: replace(plain, standing=Standing.OPEN, found=None),
        Look.CONCESSION: replace(out, record=record),
        Look.JUDGEMENT: replace(doubt, record=replace(record, event=Accepted.JUDGEMENT)),
        Look.CONFORMS: plain,
        Look.UNLIMITED: replace(plain, standing=Standing.UNLIMITED),
    }


WORST = (Look.OUT, Look.UNDECIDED, Look.PARTLY, Look.CONCESSION, Look.JUDGEMENT, Look.CONFORMS, Look.UNLIMITED)


@given(looks=st.sets(st.sampled_from([look for look in Look if look is not Look.PARTLY]), min_size=1))
def test_the_worst_is_shown(harbour: Assessment, looks: set[Look]) -> None:
    made = stand_ins(harbour)
    found = summed_up([made[look] for look in looks])
    if looks == {Look.UNREAD}:
        assert found.look is Look.UNREAD
        assert found.measured == 0.0
        return
    present = looks - {Look.UNREAD} | ({Look.PARTLY} if Look.UNREAD in looks else set())
    assert found.look is next(look for look in WORST if look in present)
    assert found.measured == pytest.approx(1 - (Look.UNREAD in looks) / len(looks))
    for look in looks & {Look.OUT, Look.UNDECIDED, Look.CONCESSION, Look.JUDGEMENT}:
        assert str(look) in found.words


def test_looks_differ_without_colour() -> None:
    seen_as = {}
    for look in Look:
        picture = ET.fromstring(plan_svg(replace(ENGINE, cylinders=1, firing_order=()), {cylinder(1): Seen(look, 0.5)}))
        drawn = group(picture, "cylinder 1")
        for text in drawn.findall(f"{SVG}text")[-2:]:
            drawn.remove(text)
        drawn.remove(drawn[0])
        plain = ET.tostring(drawn, encoding="unicode")
        for colour in (BLUE, OCHRE, VERMILION, "#5b5f62"):
            plain = plain.replace(colour, "#17191b")
        seen_as[look] = plain
    assert len(set(seen_as.values())) == len(Look)


def test_the_demonstration_says_its_verdicts(harbour: Assessment) -> None:
    picture = ET.fromstring(engine_plan(harbour))
    expected: dict[str, Look] = {}
    for position in (*harbour.job.engine.positions(Place.CYLINDER), *harbour.job.engine.positions(Place.MAIN)):
        here = [result for result in harbour.results if result.position == position]
        if any(result.out for result in here):
            expected[str(position)] = Look.OUT
    assert expected
    for at, look in expected.items():
        assert str(look) in said(group(picture, at)).split()
    words = said(picture)
    described = picture.find(f"{SVG}desc")
    assert described is not None
    for result in harbour.out:
        assert result.fit.name in words
        assert result.fit.name in (described.text or "")
    assert "under concession" in said(group(picture, "throw 3"))
    assert "partly measured" in said(group(picture, "cylinder 1"))


def test_fits_of_the_whole_engine_and_of_turning_are_said(harbour: Assessment) -> None:
    whole = seen(assess(demo("hillclimb")))
    words = said(ET.fromstring(plan_svg(demo("hillclimb").engine, whole)))
    assert "whole engine" in words
    assert "crank end float" in words
    stage = Position(Place.STAGE, "main 2")
    told = plan_svg(ENGINE, seen(harbour) | {stage: Seen(Look.OUT, 1.0, {Look.OUT: ("turning torque",)})})
    assert "turning after main 2" in told


def test_an_engine_that_is_well_says_so() -> None:
    told = verdicts(ENGINE, [Look.CONFORMS])
    assert "Nothing is out, undecided or left to measure." in plan_svg(ENGINE, told)
    assert "Nothing is out" not in plan_svg(ENGINE, told | {main(2): Seen(Look.UNREAD)})
    assert "Nothing is out" not in plan_svg(ENGINE, {})


def test_partly_measured_is_filled_as_far_as_it_is_measured() -> None:
    for share in (0.25, 0.5, 0.8):
        picture = ET.fromstring(plan_svg(ENGINE, {main(1): Seen(Look.PARTLY, share)}))
        [filled] = [p for p in group(picture, "main 1").iter(f"{SVG}path") if p.get("fill") == BLUE]
        numbers = re.findall(r"V([-\d.]+)", filled.get("d", ""))
        block = planned(ENGINE).mains[0]
        assert (block.box[3] - float(numbers[0])) / block.tall == pytest.approx(share, abs=1e-3)


@pytest.mark.parametrize(
    ("layout", "count", "words"),
    [(Layout.INLINE, 4, "inline four"), (Layout.FLAT, 6, "flat six"), (Layout.INLINE, 1, "single cylinder"),
     (Layout.V, 16, "V sixteen, 90° between banks")],
)  # fmt: skip
def test_layouts_are_named(layout: Layout, count: int, words: str) -> None:
    assert layout_words(replace(ENGINE, layout=layout, cylinders=count, bank_angle_rad=math.pi / 2)) == words


def test_hatches_and_bars_fill_the_disc_and_stay_in_it() -> None:
    disc = Disc(100.0, 80.0, 50.0)
    for look, colour, slope in ((Look.UNDECIDED, OCHRE, -1.0), (Look.OUT, VERMILION, 0.0)):
        drawn = ET.fromstring(f"<g>{shape(disc, Seen(look), '1')}</g>")
        [lines] = [
            path.get("d", "")
            for path in drawn.iter("path")
            if path.get("fill") == "none" and "a" not in path.get("d", "")
        ]
        ends = [tuple(map(float, found)) for found in re.findall(r"M([-\d.]+) ([-\d.]+)L([-\d.]+) ([-\d.]+)", lines)]
        if slope == 0.0:
            ends = [
                (float(a), float(b), float(c), float(b))
                for a, b, c in re.findall(r"M([-\d.]+) ([-\d.]+)H([-\d.]+)", lines)
            ]
        assert len(ends) >= 7
        for x0, y0, x1, y1 in ends:
            assert (y1 - y0) / (x1 - x0) == pytest.approx(slope, abs=0.01)
            assert math.hypot(x0 - disc.x, y0 - disc.y) == pytest.approx(disc.r, abs=0.05)
            assert math.hypot(x1 - disc.x, y1 - disc.y) == pytest.approx(disc.r, abs=0.05)
        assert f'stroke="{colour}"' in shape(disc, Seen(look), "1")
