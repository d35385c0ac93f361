"""The route as a picture: every step once, every need told and none told twice, nothing over anything else, panels that fit a page."""

import itertools
import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cache
from typing import NamedTuple
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.choices.route.graph import Route
from blockwright.choices.route.progress import Progress, State, StepState
from blockwright.choices.route.step import Evidence, Pass, Proof, Step
from blockwright.choices.route.whole import route_progress
from blockwright.engine.layout import Case, Layout
from blockwright.report.pictures.drawing import text_width
from blockwright.report.pictures.layered import isotonic, tracks
from blockwright.report.pictures.route_card import Stand
from blockwright.report.pictures.route_graph import TALLEST, route_graph
from blockwright.report.pictures.route_nodes import cards_of, thinned

from .sheet_pages import empty, job_of

SVG = "{http://www.w3.org/2000/svg}"
TITLE = 56.0


class Box(NamedTuple):
    left: float
    top: float
    right: float
    foot: float

    def meets(self, other: "Box", by: float = 0.5) -> bool:
        return (
            min(self.right, other.right) - max(self.left, other.left) > by
            and min(self.foot, other.foot) - max(self.top, other.top) > by
        )

    def within(self, other: "Box") -> bool:
        return (
            other.left <= self.left and other.top <= self.top and self.right <= other.right and self.foot <= other.foot
        )


def rect(found: ET.Element) -> Box:
    x, y, wide, tall = (float(found.get(name, "0")) for name in ("x", "y", "width", "height"))
    return Box(x, y, x + wide, y + tall)


def words(found: ET.Element) -> Box:
    """The room of a text, reckoned for the widest type."""
    size, x, y = (float(found.get(name, "")) for name in ("font-size", "x", "y"))
    wide = text_width(found.text or "", size, bold=found.get("font-weight") == "700")
    left = {"start": x, "middle": x - wide / 2, "end": x - wide}[found.get("text-anchor", "start")]
    return Box(left, y - 0.75 * size, left + wide, y + 0.22 * size)


def pieces(line: str) -> Iterator[Box]:
    """The straight pieces of a path of M, V, H and q."""
    x = y = 0.0
    for sign, numbers in re.findall(r"([MVHq])([^MVHq]*)", line):
        given = [float(number) for number in re.findall(r"-?[\d.]+", numbers)]
        to = {
            "M": given,
            "V": [x, *given],
            "H": [*given, y],
            "q": [x + given[-2], y + given[-1]] if len(given) > 1 else [],
        }[sign]
        if sign in "VH":
            yield Box(min(x, to[0]), min(y, to[1]), max(x, to[0]), max(y, to[1]))
        x, y = to


@cache
def progress(kind: str) -> Progress:
    return route_progress(job_of(kind))


def stirred(found: Progress, seed: int = 0) -> Progress:
    """The same route with steps done, open again, waiting and to do now, as chance would have it."""
    looks = ((State.DONE, ()), (State.NOW, ()), (State.WAITS, ()), (State.WAITS, ("undone",)), (State.NOW, ("moved",)))
    states = {
        key: StepState(each.step, *((look := looks[(7 * index + seed) % 5])[0], (), look[1]))
        for index, (key, each) in enumerate(found.states.items())
    }
    return replace(found, states=states)


def engines() -> Iterator[tuple[str, Progress]]:
    for layout, case, cylinders in itertools.product(Layout, Case, (2, 6, 16)):
        job = empty()
        angle = 1.5 if layout is Layout.V else None
        engine = replace(job.engine, layout=layout, case=case, cylinders=cylinders, bank_angle_rad=angle)
        yield f"{layout} {case} {cylinders}", route_progress(replace(job, sheet=replace(job.sheet, engine=engine)))


ENGINES = dict(engines())
KINDS = ("harbour", "hillclimb", "empty", "long names", "sixteen cylinders")


def look_over(svg: str, number: int) -> None:
    """That nothing of a panel lies over anything else."""
    root = ET.fromstring(svg)
    canvas = Box(0, 0, float(root.get("width", "")), float(root.get("height", "")))
    body = root.find(f"{SVG}g")
    assert body is not None
    boxes = [rect(found) for group in body if group.get("data-card") or group.get("data-from") for found in group[:1]]
    groups = [group for group in body if group.get("data-card") or group.get("data-from")]
    assert not [pair for pair in itertools.combinations(boxes, 2) if pair[0].meets(pair[1])]
    inner = canvas._replace(foot=canvas.foot - TITLE)
    assert all(box.within(inner) for box in boxes)
    for group, box in zip(groups, boxes, strict=True):
        texts = [words(found) for found in group.iter(f"{SVG}text")]
        assert texts
        assert all(text.within(box) for text in texts), [t.text for t in group.iter(f"{SVG}text")]
        assert not [pair for pair in itertools.combinations(texts, 2) if pair[0].meets(pair[1])]
    outside = [words(found) for found in body.findall(f"{SVG}text")]
    around = [words(found)._replace() for found in root.findall(f"{SVG}text")]
    assert all(text.within(canvas) for text in around)
    assert not [pair for pair in itertools.combinations(around, 2) if pair[0].meets(pair[1])]
    assert not [pair for pair in itertools.combinations((*outside, *boxes), 2) if pair[0].meets(pair[1])]
    wires: dict[str, list[Box]] = {}
    for group in body:
        if wire := group.get("data-wire"):
            runs = [
                piece
                for found in group.iter(f"{SVG}path")
                if "l" not in found.get("d", "")
                for piece in pieces(found.get("d", ""))
            ]
            wires.setdefault(wire, []).extend(runs)
    for runs in wires.values():
        for run in runs:
            assert not [
                box
                for box in boxes
                if run.left < box.right - 1
                and run.right > box.left + 1
                and run.top < box.foot - 1
                and run.foot > box.top + 1
            ]
            assert not [
                text
                for text in outside
                if run.left < text.right and run.right > text.left and run.top < text.foot and run.foot > text.top
            ]
    for one, other in itertools.combinations(wires.values(), 2):
        for a, b in itertools.product(one, other):
            level = (
                a.top == a.foot
                and b.top == b.foot
                and abs(a.top - b.top) < 3
                and min(a.right, b.right) - max(a.left, b.left) > 0
            )
            upright = (
                a.left == a.right
                and b.left == b.right
                and abs(a.left - b.left) < 3
                and min(a.foot, b.foot) - max(a.top, b.top) > 0
            )
            assert not level, (number, a, b)
            assert not upright, (number, a, b)


@pytest.mark.parametrize("seed", [0, 1, 3])
@pytest.mark.parametrize("kind", KINDS)
def test_nothing_lies_over_anything_else(kind: str, seed: int) -> None:
    panels = route_graph(stirred(progress(kind), seed) if seed else progress(kind))
    for number, svg in enumerate(panels, 1):
        look_over(svg, number)
        assert float(ET.fromstring(svg).get("height", "")) <= TALLEST


@pytest.mark.parametrize("name", ENGINES)
def test_every_architecture_can_be_drawn(name: str) -> None:
    found = ENGINES[name]
    shown: list[str] = []
    for number, svg in enumerate(route_graph(found), 1):
        look_over(svg, number)
        assert float(ET.fromstring(svg).get("height", "")) <= TALLEST
        shown += [group.get("data-step", "") for group in ET.fromstring(svg).iter(f"{SVG}g") if group.get("data-step")]
    assert sorted(shown) == sorted(found.states)


@pytest.mark.parametrize("name", [*KINDS, *ENGINES])
def test_lines_tell_every_need_and_nothing_else(name: str) -> None:
    """Lines read as they are drawn (all of one card before all of another; each its own) and joints between shapes give back the whole order."""
    route = (ENGINES[name] if name in ENGINES else progress(name)).route
    before, cards = closure(route.needs), cards_of(route)
    slim = thinned(route)
    assert closure(slim) == before
    for last, firsts in slim.items():
        assert all(first not in before[other] for first in firsts for other in firsts), last
    place = {step.key: index for index, node in enumerate(cards.nodes) for step in node.steps}
    drawn = {(line.first, line.last): line for line in cards.lines}
    for last, firsts in slim.items():
        for first in firsts:
            if place[first] != place[last]:
                assert (place[first], place[last]) in drawn
            else:
                node = cards.nodes[place[last]]
                index = [step.key for step in node.steps].index(last)
                assert node.joined[index]
                assert node.steps[index - 1].key == first
    for line in cards.lines:
        pairs = [(a.key, b.key) for a in cards.nodes[line.first].steps for b in cards.nodes[line.last].steps]
        told = [first in before[last] for first, last in pairs]
        assert all(told) if line.every else any(told) and not all(told)
        assert any(first in slim[last] for first, last in pairs)


def closure(needs: Mapping[str, tuple[str, ...]]) -> dict[str, set[str]]:
    """By depth-first search, unlike the picture's own."""

    def reached(key: str, found: set[str]) -> set[str]:
        for other in needs[key]:
            if other not in found:
                found.add(other)
                reached(other, found)
        return found

    return {key: reached(key, set()) for key in needs}


@pytest.mark.parametrize("kind", KINDS)
def test_each_step_is_told_by_shape_and_word(kind: str) -> None:
    found = stirred(progress(kind), 2)
    stands: dict[str, tuple[str, str]] = {}
    for svg in route_graph(found):
        for group in ET.fromstring(svg).iter(f"{SVG}g"):
            if group.get("data-step"):
                outlines = [p.get("d", "") for p in group.iter(f"{SVG}path")]
                dashes = any(p.get("stroke-dasharray") for p in group.iter(f"{SVG}path"))
                bars = any(d.count("M") > 1 for d in outlines) or (
                    not dashes and any("H" in d and "z" not in d for d in outlines)
                )
                pointer = any("l7" in d for d in outlines)
                look = "waits" if dashes else "now" if pointer else "again" if bars else "done"
                stands[group.get("data-step", "")] = (group.get("data-stand", ""), look)
    assert len(stands) == len(found.states)
    for key, state in found.states.items():
        wanted = "done" if state.done else "again" if state.reopened else "now" if state.state is State.NOW else "waits"
        long = {"done": Stand.DONE, "again": Stand.AGAIN, "now": Stand.NOW, "waits": Stand.WAITS}[wanted]
        assert stands[key] == (str(long), wanted)


@pytest.mark.parametrize("kind", KINDS)
def test_hold_points_are_marked(kind: str) -> None:
    found = progress(kind)
    for svg in route_graph(found):
        for card in ET.fromstring(svg).iter(f"{SVG}g"):
            if card.get("data-card"):
                keys = [group.get("data-step", "") for group in card.iter(f"{SVG}g") if group.get("data-step")]
                holds = {bool(found.states[key].step.evidence) for key in keys}
                assert holds == {card.find(f"{SVG}circle") is not None}


def test_panels_lead_to_each_other() -> None:
    panels = [ET.fromstring(svg) for svg in route_graph(progress("hillclimb"))]
    assert len(panels) > 1
    for number, panel in enumerate(panels, 1):
        texts = [found.text or "" for found in panel.iter(f"{SVG}text")]
        assert f"panel {number} of {len(panels)}" in texts
        onward = {text for text in texts if re.fullmatch(r"panel \d+", text)}
        assert bool(onward) == (number < len(panels))
        assert all(int(text.split()[1]) > number for text in onward)
        assert bool([group for group in panel.iter(f"{SVG}g") if group.get("data-from")]) == (number > 1)


def test_it_is_said_in_words_and_drawn_alike_each_time() -> None:
    first, again = (route_graph(route_progress(job_of("harbour"))) for _ in range(2))
    assert first == again
    for svg in first:
        root = ET.fromstring(svg)
        title, desc = root[:2]
        assert (title.tag, desc.tag) == (f"{SVG}title", f"{SVG}desc")
        assert "Route of assembly" in (title.text or "")
        cards = [group.get("data-card", "") for group in root.iter(f"{SVG}g") if group.get("data-card")]
        assert all(name in (desc.text or "") for name in cards)
    assert len({re.search(r'id="([^"]*)"', svg).group(1) for svg in first}) == len(first)  # type: ignore[union-attr]


def test_a_route_without_a_step_says_so() -> None:
    found = progress("empty")
    [svg] = route_graph(replace(found, route=Route((), {}), states={}))
    assert "The route has no step." in svg


@st.composite
def routes(draw: st.DrawFn) -> Progress:
    """Any route at all: steps alike or not, under any headings, with any needs that hold."""
    names = ("bore", "rod", "W" * 60, "<&> \"'", "a long name of many words " * 9)
    count = draw(st.integers(1, 24))
    steps, needs = [], {}
    groups = sorted(draw(st.lists(st.integers(0, 3), min_size=count, max_size=count)))
    for index in range(count):
        name = draw(st.sampled_from(names))
        number = draw(st.sampled_from(("", f" {index}")))
        key = f"{name}{number}" if number else f"{name}{'x' * index}"
        evidence = (Evidence(Proof.COUNT, "x"),) if draw(st.booleans()) else ()
        stage = list(Pass)[min(groups[index], 2)]
        steps.append(
            Step(key=key, stage=stage, name=f"{name}{number}", group=f"group {groups[index]}", evidence=evidence)
        )
        needs[key] = tuple(
            {steps[i].key: None for i in draw(st.lists(st.integers(0, index - 1), max_size=4))} if index else {}
        )
    states = {step.key: StepState(step, draw(st.sampled_from(list(State)))) for step in steps}
    return replace(progress("empty"), route=Route(tuple(steps), needs), states=states)


@given(routes())
def test_any_route_can_be_drawn(found: Progress) -> None:
    shown: list[str] = []
    for number, svg in enumerate(route_graph(found), 1):
        look_over(svg, number)
        shown += [group.get("data-step", "") for group in ET.fromstring(svg).iter(f"{SVG}g") if group.get("data-step")]
    assert sorted(shown) == sorted(found.states)


def test_wires_that_would_touch_have_levels_of_their_own() -> None:
    """One that goes on where another comes down spreads under it; beside each other they share a level; a straight one needs none."""
    under = tracks({100.0: [200.0], 200.0: [300.0]})
    assert under[100.0] > under[200.0]
    chain = tracks({100.0: [200.0], 200.0: [300.0], 300.0: [400.0]})
    assert chain[100.0] > chain[200.0] > chain[300.0]
    assert tracks({100.0: [150.0], 300.0: [350.0], 500.0: [500.0]}) == {100.0: 0, 300.0: 0}
    crossing = tracks({100.0: [250.0], 200.0: [150.0]})
    assert crossing[100.0] != crossing[200.0]


@given(st.lists(st.floats(-500, 500), min_size=1, max_size=8), st.floats(1, 40))
def test_places_keep_their_order_and_bounds(wanted: list[float], apart: float) -> None:
    found = isotonic(wanted, [1.0] * len(wanted), [apart] * len(wanted), -400.0, 400.0)
    assert all(b - a >= apart - 1e-9 for a, b in itertools.pairwise(found))
    assert found[0] >= -400.0 - 1e-9
    assert found[-1] <= 400.0 + 1e-9


def test_places_are_the_nearest_by_a_plain_search() -> None:
    """Against every place on a grid of halves: three shapes that want the same place."""
    wanted, apart = [3.0, 2.0, 4.0], [0.0, 2.0, 2.0]
    halves = [x / 2 for x in range(-10, 25)]
    best = min(
        (each for each in itertools.product(halves, repeat=3) if each[1] - each[0] >= 2 and each[2] - each[1] >= 2),
        key=lambda each: sum((a - b) ** 2 for a, b in zip(each, wanted, strict=True)),
    )
    assert isotonic(wanted, [1.0] * 3, apart, -5.0, 12.0) == pytest.approx(best)
