"""The pictures of bores: walls to the scale that is stated, diameters and verdicts in words, missing readings said as missing."""

import itertools
import re
from collections.abc import Sequence
from dataclasses import replace
from importlib import resources
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.engine.job import Job
from blockwright.engine.layout import HEIGHTS
from blockwright.engine.rules import ShopRules, Units
from blockwright.fits.assess import assess
from blockwright.fits.bores import WAYS
from blockwright.jobfile.folder import read_folder
from blockwright.report.pictures.bore_map import WIDTH, bore_map
from blockwright.report.pictures.bore_seen import BoreSeen, Diameter, Wanted, bores_seen
from blockwright.report.pictures.bore_sheet import MOST_IN_ROW, bore_sheet
from blockwright.report.pictures.drawing import text_width

SVG = "{http://www.w3.org/2000/svg}"


def demo(name: str) -> Job:
    with resources.as_file(resources.files("blockwright.demos") / name) as folder:
        return read_folder(Path(folder)).job


HARBOUR = {bore.number: bore for bore in bores_seen(assess(demo("harbour")))}
SPOTS = [f"{height} {way}" for height in HEIGHTS for way in WAYS]


def drawn(svg: str) -> ET.Element:
    return ET.fromstring(svg)


def said(element: ET.Element) -> list[str]:
    return [text.text or "" for text in element.iter(f"{SVG}text")]


def way_group(picture: ET.Element, way: str) -> ET.Element:
    [found] = [g for g in picture.iter(f"{SVG}g") if g.get("data-way") == way]
    return found


def dots(picture: ET.Element, way: str) -> list[tuple[float, float]]:
    """The middles of the dots in one direction: left wall from the deck down, then right wall."""
    group = way_group(picture, way)
    if way == "thrust":
        return [(float(dot.get("cx", "")), float(dot.get("cy", ""))) for dot in group.iter(f"{SVG}circle")]
    squares = [rect for rect in group.iter(f"{SVG}rect") if rect.get("width") == "7.6"]
    return [(float(dot.get("x", "")) + 3.8, float(dot.get("y", "")) + 3.8) for dot in squares]


def with_diameters(deviations_m: Sequence[float], bore: BoreSeen = HARBOUR[4]) -> BoreSeen:
    sizes = {spot: Diameter(bore.nominal_m + each, 2e-6) for spot, each in zip(SPOTS, deviations_m, strict=True)}
    return replace(bore, diameters=sizes, wanted=())


@given(st.lists(st.integers(-40, 40).map(lambda um: um * 1e-6), min_size=6, max_size=6))
def test_walls_lie_to_the_scale_that_is_stated(deviations_m: list[float]) -> None:
    bore = with_diameters(deviations_m)
    assert bore.depths is not None
    picture = drawn(bore_map(bore))
    [stated] = [re.findall(r"walls drawn ([\d,]+) times", text)[0] for text in said(picture) if "walls drawn" in text]
    [step] = [re.match(r"([\d.]+) µm of diameter on each wall", text) for text in said(picture) if "each wall" in text]
    for way in WAYS:
        places = dots(picture, way)
        assert len(places) == 6
        left, right = places[:3], places[3:]
        depths = [bore.depths[height] for height in HEIGHTS]
        down = (left[2][1] - left[0][1]) / (depths[2] - depths[0])
        sizes = [bore.diameters[f"{height} {way}"].value_m for height in HEIGHTS]
        spans = [b[0] - a[0] for a, b in zip(left, right, strict=True)]
        for (one_m, one), (other_m, other) in itertools.combinations(zip(sizes, spans, strict=True), 2):
            outwards = float(stated.replace(",", "")) * down * (other_m - one_m)
            assert other - one == pytest.approx(outwards, rel=0.06, abs=0.06)
    assert step is not None


def test_the_scale_bar_is_as_long_as_it_says() -> None:
    bore = with_diameters([0.0, 0.0, 10e-6, 0.0, 20e-6, 0.0])
    picture = drawn(bore_map(bore))
    [um] = [float(m[1]) for text in said(picture) if (m := re.match(r"([\d.]+) µm of diameter on each wall", text))]
    [long] = [
        float(m[1]) for p in picture.iter(f"{SVG}path") if (m := re.fullmatch(r"M\S+ \S+v8h(\S+)v-8", p.get("d", "")))
    ]
    left = dots(picture, "thrust")[:3]
    assert (left[0][0] - left[2][0]) / 20 == pytest.approx(long / um, rel=0.01)


def test_diameters_are_written_and_missing_ones_said() -> None:
    bore = HARBOUR[2]
    texts = said(drawn(bore_map(bore)))
    for spot in SPOTS:
        assert any(
            float(text) == pytest.approx(1e3 * bore.diameters[spot].value_m, abs=6e-4)
            for text in texts
            if re.fullmatch(r"\d+\.\d+", text)
        )
    unread = said(drawn(bore_map(HARBOUR[1])))
    assert unread.count("not read") == 6 + 3
    assert not any(re.fullmatch(r"97\.\d+", text) for text in unread)


def test_one_missing_spot_is_said_and_the_rest_is_drawn() -> None:
    bore = HARBOUR[2]
    for spot in SPOTS:
        some = replace(bore, diameters={name: size for name, size in bore.diameters.items() if name != spot})
        picture = drawn(bore_map(some))
        assert said(picture).count("not read") == 2
        assert len(dots(picture, "thrust")) + len(dots(picture, "axial")) == 10


@pytest.mark.parametrize("number", HARBOUR)
def test_every_verdict_of_the_form_is_said(number: int) -> None:
    bore = HARBOUR[number]
    picture = drawn(bore_map(bore))
    texts = said(picture)
    assert len(bore.results) == 4
    for result in bore.results:
        at = texts.index(result.fit.name)
        assert str(result.words) in texts[at : at + 4] or str(result.words) in " ".join(texts[at : at + 6])
    assert "work ordered" in texts
    described = picture.find(f"{SVG}desc")
    assert described is not None
    assert all(result.fit.name in (described.text or "") for result in bore.results)


def test_out_of_round_is_told_by_way() -> None:
    picture = drawn(bore_map(with_diameters([5e-6, 0.0, 0.0, 3e-6, 2e-6, 2e-6])))
    words = {g.get("data-height"): said(g) for g in picture.iter(f"{SVG}g") if g.get("data-height")}
    assert words == {
        "top": ["5.0 µm", "wider across"],
        "middle": ["3.0 µm", "wider along"],
        "bottom": ["0.0 µm", "alike"],
    }
    ovals = list(picture.iter(f"{SVG}ellipse"))
    apart = [float(oval.get("rx", "")) - float(oval.get("ry", "")) for oval in ovals]
    assert apart[0] > 0 > apart[1]
    assert apart[0] / -apart[1] == pytest.approx(5 / 3, rel=0.01)
    assert apart[2] == pytest.approx(0, abs=0.01)


def test_travel_of_rings_and_skirt_is_drawn_where_it_is_known() -> None:
    bore = HARBOUR[2]
    assert {travel.name for travel in bore.travels} == {"top ring", "second ring", "oil ring", "skirt"}
    engine = demo("harbour").engine
    picture = drawn(bore_map(bore))
    y = {height: [dot[1] for dot in dots(picture, "thrust")[:3]][i] for i, height in enumerate(HEIGHTS)}
    per_m = (y["bottom"] - y["top"]) / (engine.heights["bottom"] - engine.heights["top"])
    lanes = [rect for rect in picture.iter(f"{SVG}rect") if rect.get("width") == "17"]
    assert engine.top_ring_m is not None
    top, tall = float(lanes[0].get("y", "")), float(lanes[0].get("height", ""))
    assert top == pytest.approx(y["top"] + per_m * (engine.top_ring_m - engine.heights["top"]), abs=0.05)
    assert tall == pytest.approx(per_m * engine.stroke_m, abs=0.05)
    bare = said(drawn(bore_map(replace(bore, travels=(), depths=None))))
    assert "top ring" not in bare
    assert any("depths are not given" in text for text in bare)
    assert not any("times larger than depth" in text for text in bare)


def test_what_is_wanted_stands_beside_the_wall_it_is_wanted_of() -> None:
    bore = replace(
        with_diameters([0.0] * 6),
        wanted=(Wanted("ordered", 0.09724, 0.09726), Wanted("by its piston", 0.09723, None, "thrust")),
    )
    picture = drawn(bore_map(bore))

    def upright(way: str) -> int:
        dashes = ("2 3", "9 3 2 3")
        lines = [path for path in way_group(picture, way).iter(f"{SVG}path") if path.get("stroke-dasharray") in dashes]
        return sum(path.get("d", "").count("V") for path in lines)

    assert (upright("thrust"), upright("axial")) == (6, 4)
    assert "ordered: 97.2400 to 97.2600 mm" in said(picture)
    assert "by its piston: at least 97.2300 mm" in said(picture)


def test_the_bore_that_its_piston_asks_for_is_skirt_and_clearance() -> None:
    bore = HARBOUR[2]
    [result] = [result for result in bore.results if result.fit.name == "wall clearance"]
    [wanted] = [wanted for wanted in bore.wanted if wanted.words == "by its piston"]
    assert wanted.low_m is not None
    governing = min(bore.diameters[f"{h} thrust"].value_m for h in ("middle", "bottom"))
    assert result.limits.low_value is not None
    assert (governing - wanted.low_m) == pytest.approx(result.estimate.value - result.limits.low_value, rel=1e-6)


def sixteen(name: str = "Sixteen") -> list[BoreSeen]:
    bores = [replace(HARBOUR[1 + i % 4], number=i + 1, engine_name=name) for i in range(16)]
    return bores


@pytest.mark.parametrize("bores", [sixteen(), sixteen("W" * 300), sixteen()[:1], list(HARBOUR.values())])
def test_the_sheet_holds_every_bore_and_nothing_overlaps(bores: list[BoreSeen]) -> None:
    picture = drawn(bore_sheet(bores))
    width, height = float(picture.get("width", "")), float(picture.get("height", ""))
    groups = [g for g in picture.iter(f"{SVG}g") if g.get("data-at")]
    assert [g.get("data-at") for g in groups] == [f"cylinder {bore.number}" for bore in bores]
    boxes = []
    for group in groups:
        places = [text for text in group.iter(f"{SVG}text") if text.get("text-anchor") == "start"]
        left = min(float(text.get("x", "")) for text in places)
        ends = [
            float(t.get("x", ""))
            + text_width(t.text or "", float(t.get("font-size", "")), bold=t.get("font-weight") == "700")
            for t in places
        ]
        ys = [float(text.get("y", "")) for text in places]
        boxes.append((left, min(ys) - 16, max(ends), max(ys) + 4))
    for one, other in itertools.combinations(boxes, 2):
        assert one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
    assert all(left >= 0 and right <= width and foot <= height for left, _, right, foot in boxes)
    assert len({box[1] for box in boxes}) == -(-len(bores) // MOST_IN_ROW)


def test_the_sheet_draws_all_bores_on_one_scale() -> None:
    """A diameter lies equally far from its axis in every bore."""
    small, large = with_diameters([0.0] * 6, HARBOUR[3]), with_diameters([30e-6] * 6, HARBOUR[4])
    picture = drawn(bore_sheet([small, large, replace(small, number=9)]))
    spans = []
    for group in (g for g in picture.iter(f"{SVG}g") if g.get("data-at")):
        lines = [p.get("d", "") for p in group.iter(f"{SVG}path") if p.get("stroke-width") == "2.4"]
        xs = [float(re.findall(r"M([-\d.]+)", line)[0]) for line in lines[:2]]
        spans.append(xs[1] - xs[0])
    assert spans[0] == pytest.approx(spans[2], abs=0.02)
    assert spans[1] > spans[0]
    assert "bore 9" in said(picture)


def test_long_names_stay_within_the_picture() -> None:
    picture = drawn(bore_map(replace(HARBOUR[2], engine_name="W" * 300, state="caps torqued; " * 10)))
    for text in picture.iter(f"{SVG}text"):
        if text.get("text-anchor") == "start" and not text.get("transform"):
            wide = text_width(text.text or "", float(text.get("font-size", "")), bold=text.get("font-weight") == "700")
            assert float(text.get("x", "")) + wide <= WIDTH


def test_a_shop_that_thinks_in_inches_reads_inches() -> None:
    job = demo("harbour")
    inch = replace(job, sheet=replace(job.sheet, rules=replace(job.rules, units=Units.INCH)))
    assert isinstance(inch.rules, ShopRules)
    texts = said(drawn(bore_map(bores_seen(assess(inch))[1])))
    assert any(re.fullmatch(r"3\.8\d+", text) for text in texts)
    assert any("thou of diameter" in text for text in texts)
    assert not any(" mm" in text or "µm" in text for text in texts)


@pytest.mark.parametrize(("count", "rows"), [(1, [1]), (6, [6]), (8, [4, 4]), (12, [6, 6]), (16, [6, 6, 4])])
def test_rows_of_the_sheet_are_alike(count: int, rows: list[int]) -> None:
    picture = drawn(bore_sheet(sixteen()[:count]))
    heads = [float(t.get("y", "")) for t in picture.iter(f"{SVG}text") if (t.text or "").startswith("bore ")]
    assert [len(list(group)) for _, group in itertools.groupby(heads)] == rows


def room(found: ET.Element) -> tuple[float, float, float, float]:
    """Left, top, right and foot of a text, reckoned for the widest type."""
    size, x, y = (float(found.get(name, "")) for name in ("font-size", "x", "y"))
    wide = text_width(found.text or "", size, bold=found.get("font-weight") == "700")
    left = {"start": x, "middle": x - wide / 2, "end": x - wide}[found.get("text-anchor", "start")]
    return left, y - 0.75 * size, left + wide, y + 0.22 * size


@pytest.mark.parametrize("number", [1, 2, 4])
@pytest.mark.parametrize(
    "depths_m", [None, (0.012, 0.075, 0.138), (0.003, 0.03, 0.09), (0.002, 0.006, 0.01), (0.02, 0.022, 0.024)], ids=str
)
def test_no_words_of_a_bore_lie_over_each_other(depths_m: tuple[float, ...] | None, number: int) -> None:
    """Heights that are not given, close under the deck, or close to each other; the longest words that a scale and a limit have."""
    bore = with_diameters([1e-5, 0.0, 2e-5, 1e-5, -1e-5, 0.0], HARBOUR[number])
    bore = replace(
        bore,
        depths=None if depths_m is None else dict(zip(HEIGHTS, depths_m, strict=True)),
        wanted=(Wanted("ordered", 0.097245, 0.097265), Wanted("by its piston", 0.0972418, 0.097271, "thrust")),
    )
    level = [found for found in drawn(bore_map(bore)).iter(f"{SVG}text") if not found.get("transform")]
    for one, other in itertools.combinations(level, 2):
        a, b = room(one), room(other)
        over = min(a[2], b[2]) - max(a[0], b[0]) > 0.5 and min(a[3], b[3]) - max(a[1], b[1]) > 0.5
        assert not over, (one.text, other.text)
