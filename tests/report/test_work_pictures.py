"""Pictures of an engine at work: sound SVG, words on the page and off each other, and the numbers that the record holds."""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from xml.etree import ElementTree as ET

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from blockwright.quantities import QuantityError
from blockwright.report.colours import BLUE, OCHRE, SHADE, VERMILION
from blockwright.report.pictures.at_work import axes
from blockwright.report.pictures.at_work.axes import Look, Panel, Scale, crank_scale, ends, linear, logarithmic, thinned
from blockwright.report.pictures.at_work.balance import balance_picture
from blockwright.report.pictures.at_work.clearance import clearance_picture
from blockwright.report.pictures.at_work.every import work_pictures
from blockwright.report.pictures.at_work.films import films_picture
from blockwright.report.pictures.at_work.gap_map import map_picture
from blockwright.report.pictures.at_work.heat import heat_picture
from blockwright.report.pictures.at_work.heat_section import arrow
from blockwright.report.pictures.at_work.hot_fits import TALL, hot_picture
from blockwright.report.pictures.at_work.isolines import Grid, above, isolines
from blockwright.report.pictures.at_work.lands import rings_picture
from blockwright.report.pictures.at_work.orbits import orbits_picture
from blockwright.report.pictures.at_work.pressure import pressure_picture
from blockwright.report.pictures.at_work.thrust import thrust_picture
from blockwright.report.pictures.drawing import text_width
from blockwright.running.work.result import Spread, Work

from .work_sample import sample_work

SVG = "{http://www.w3.org/2000/svg}"
ENGINES = [(draws, cylinders) for cylinders in (1, 4, 6, 12) for draws in (True, False)]
UNITS = {1: "in", 4: "mm", 6: "thou", 12: "mm"}
ODD = '<b a="1">&"'
MICRON = 1e-6


@cache
def work(draws: bool = True, cylinders: int = 4) -> Work:
    return sample_work(draws, cylinders)


@cache
def drawn(draws: bool, cylinders: int) -> dict[str, str]:
    return dict(work_pictures(work(draws, cylinders), unit=UNITS[cylinders]))


def parsed(svg: str) -> ET.Element:
    return ET.fromstring(svg)


def said(picture: ET.Element) -> list[str]:
    return [element.text or "" for element in picture.iter(f"{SVG}text")]


def described(picture: ET.Element) -> str:
    found = picture.find(f"{SVG}desc")
    assert found is not None
    return found.text or ""


def boxes(picture: ET.Element) -> Iterator[tuple[str, tuple[float, float, float, float]]]:
    """Words and the room they take: as wide as reckoned, as tall as their signs."""
    for element in picture.iter(f"{SVG}text"):
        words, size = element.text or "", float(element.get("font-size", ""))
        if words:
            wide = text_width(words, size, bold=element.get("font-weight") == "700")
            x, y = float(element.get("x", "")), float(element.get("y", ""))
            left = x - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[element.get("text-anchor", "start")]
            yield words, (left, y - 0.74 * size, left + wide, y + 0.22 * size)


def over_each_other(picture: ET.Element) -> list[tuple[str, str]]:
    found = list(boxes(picture))
    return [
        (a, b)
        for (a, one), (b, other) in itertools.combinations(found, 2)
        if one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]
    ]


def off_the_page(picture: ET.Element) -> list[str]:
    width, height = float(picture.get("width", "")), float(picture.get("height", ""))
    return [words for words, (a, b, c, d) in boxes(picture) if a < 0 or b < 0 or c > width or d > height]


def paths(picture: ET.Element, **wanted: str) -> list[str]:
    """Outlines of the paths that have these attributes."""
    named = {name.replace("_", "-"): value for name, value in wanted.items()}
    return [p.get("d", "") for p in picture.iter(f"{SVG}path") if all(p.get(k) == v for k, v in named.items())]


def places(line: str) -> list[tuple[float, float]]:
    """Corners of a line of M and L only."""
    return [(float(x), float(y)) for x, y in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", line)]


def numbers_up(picture: ET.Element, top: float, foot: float) -> list[tuple[float, float]]:
    """Numbers left of a panel between two heights, each with the height of its line."""
    found = [
        e
        for e in picture.iter(f"{SVG}text")
        if e.get("text-anchor") == "end" and float(e.get("x", "")) == axes.LEFT - 8
    ]
    ticks = [(float((e.text or "").replace("\N{MINUS SIGN}", "-")), float(e.get("y", "")) - 5) for e in found]
    return sorted((number, y) for number, y in ticks if top - 1 <= y <= foot + 1)


def read_off(ticks: list[tuple[float, float]], y: float) -> float:
    """The number at a height of a linear scale."""
    (a, ay), (b, by) = ticks[0], ticks[-1]
    return a + (y - ay) / (by - ay) * (b - a)


@pytest.mark.parametrize(("draws", "cylinders"), ENGINES)
def test_every_picture_is_sound_and_its_words_keep_off_each_other(draws: bool, cylinders: int) -> None:
    pictures = drawn(draws, cylinders)
    for name, svg in pictures.items():
        picture = parsed(svg)
        assert picture.get("role") == "img"
        title = picture.find(f"{SVG}title")
        assert title is not None
        assert title.text
        assert picture.get("aria-labelledby") == f"{title.get('id')} {title.get('id', '').replace('-title', '-desc')}"
        assert re.search(r"\d|no free force", described(picture)), name
        assert off_the_page(picture) == [], name
        assert over_each_other(picture) == [], name
        assert "nan" not in svg
        assert "inf" not in re.sub(r"<(title|desc|text)[^>]*>[^<]*", "", svg)


@pytest.mark.parametrize("unit", ["mm", "thou", "in", "um"])
def test_words_keep_off_each_other_in_every_unit(unit: str) -> None:
    for name, svg in work_pictures(work(), unit=unit):
        assert off_the_page(parsed(svg)) == [], name
        assert over_each_other(parsed(svg)) == [], name


def test_pictures_come_in_order_by_names_of_their_own() -> None:
    names = [name for name, _ in work_pictures(work(), unit="mm")]
    hot = ["top-end-gap", "second-end-gap", "wall-clearance", "pin-in-piston", "rod-film"]
    bearings = [f"main-{i}" for i in range(1, 6)] + [f"rod-bearing-cylinder-{i}" for i in range(1, 5)]
    assert names == [
        *("work-pressure", "work-heat"),
        *(f"work-hot-{name}" for name in hot),
        *("work-thrust", "work-balance", "work-orbits", "work-films"),
        *(f"work-clearance-{name}" for name in bearings),
        *(f"work-rings-cylinder-{i}" for i in range(1, 5)),
        "work-gap-map",
    ]
    ids = [
        part.get("id") for _, svg in work_pictures(work(), unit="mm") for part in parsed(svg).iter() if part.get("id")
    ]
    assert len(ids) == len(set(ids))


def test_what_could_not_be_worked_out_has_no_picture() -> None:
    bare = replace(work(), nodes=(), paths=(), fits=(), bearings=(), rings=(), gap_map=None)
    assert [name for name, _ in work_pictures(bare, unit="mm")] == ["work-pressure", "work-thrust", "work-balance"]
    for svg in (heat_picture(bare), orbits_picture(bare), films_picture(bare)):
        assert off_the_page(parsed(svg)) == []
        assert described(parsed(svg)).startswith("No ")


def test_a_unit_that_is_no_length_is_refused() -> None:
    with pytest.raises(QuantityError):
        dict(work_pictures(work(), unit="bar"))


def test_names_cannot_break_a_picture() -> None:
    whole = work()
    odd = replace(
        whole,
        cycle=replace(whole.cycle, given=ODD),
        nodes=tuple(replace(node, words=ODD, plausible=ODD) for node in whole.nodes),
        paths=tuple(replace(way, words=ODD) for way in whole.paths),
        fits=tuple(replace(fit, words=ODD, position=ODD, standing=ODD, said=ODD, authority=ODD) for fit in whole.fits),
        bearings=tuple(replace(each, name=f"{ODD} {i} {'long ' * 20}") for i, each in enumerate(whole.bearings)),
        rings=tuple(replace(each, position=ODD, looser=ODD) for each in whole.rings),
        gap_map=replace(whole.gap_map, position=ODD) if whole.gap_map else None,
    )
    for name, svg in work_pictures(odd, unit="mm"):
        picture = parsed(svg)
        assert off_the_page(picture) == [], name
        assert over_each_other(picture) == [], name
        tags = {element.tag.removeprefix(SVG) for element in picture.iter()}
        assert tags <= {"svg", "title", "desc", "g", "rect", "circle", "path", "text"}
        assert re.findall(r"https?://[^\"]+", svg) == ["http://www.w3.org/2000/svg"]
    assert any(ODD in words for words in said(parsed(heat_picture(odd))))


def test_a_number_that_is_not_known_is_said_so() -> None:
    whole = work()
    lost = Spread(math.nan)
    bearings = (replace(whole.bearings[0], film_m=lost, temperature_c=lost), *whole.bearings[1:])
    fits = (replace(whole.fits[0], hot=lost, bins=(), counts=()), *whole.fits[1:])
    for name, svg in work_pictures(replace(whole, bearings=bearings, fits=fits), unit="mm"):
        assert "nan" not in svg, name
    assert any("not known" in words for words in said(parsed(clearance_picture(bearings[0], unit="mm"))))


def test_the_pressure_peaks_where_and_as_high_as_told() -> None:
    cycle = work().cycle
    picture = parsed(pressure_picture(work()))
    peak = cycle.peak_pa.value / 1e5
    assert f"{peak:.1f} bar at {cycle.peak_at_deg:.0f}°" in said(picture)
    assert f"{cycle.peak_pa.low / 1e5:.1f} bar to {cycle.peak_pa.high / 1e5:.1f} bar" in described(picture)
    assert f"{max(cycle.temperature_k) - 273.15:.0f} °C at" in " ".join(said(picture))
    drawn_line = places(paths(picture, stroke=BLUE, stroke_width="2.2")[0])
    mark = next(picture.iter(f"{SVG}circle"))
    x, y = min(drawn_line, key=lambda point: point[1])
    ticks = numbers_up(picture, y - 100, max(b for _, b in drawn_line) + 20)
    assert read_off(ticks, y) == pytest.approx(peak, rel=0.01)
    assert float(mark.get("cx", "")) == pytest.approx(x, abs=0.2)
    assert float(mark.get("cy", "")) == pytest.approx(y, abs=0.2)


def test_the_band_is_as_wide_as_the_draws_and_missing_without_them() -> None:
    [line] = paths(parsed(pressure_picture(work())), fill=SHADE)
    cycle = work().cycle
    top = min(y for _, y in places(line))
    picture = parsed(pressure_picture(work()))
    mark = next(picture.iter(f"{SVG}circle"))
    zero = max(y for _, y in places(line))
    share = (zero - top) / (zero - float(mark.get("cy", "")))
    assert share == pytest.approx(max(cycle.high_pa) / max(cycle.pressure_pa), rel=0.02)
    alone = pressure_picture(work(draws=False))
    assert paths(parsed(alone), fill=SHADE) == []
    assert "without draws" in alone
    assert "95 %" not in alone


def test_pressure_that_the_builder_gave_is_said_to_be_his() -> None:
    given_by = replace(work(), cycle=replace(work().cycle, given="cylinder 1, dyno run 4"))
    assert "Pressure as given: cylinder 1, dyno run 4." in said(parsed(pressure_picture(given_by)))


def test_every_temperature_is_told_with_its_band_and_given_ones_stand_apart() -> None:
    whole = work()
    picture = parsed(heat_picture(whole))
    texts = said(picture)
    for node in whole.nodes:
        value = f"{node.temperature_c.value:.0f} °C"
        assert texts.count(value) + sum(t.startswith(f"{value} (") for t in texts) == 2, node.name
        assert (f"{node.words}, given" in texts) is node.given
        assert not node.plausible or node.plausible in texts
    open_dots = [c for c in picture.iter(f"{SVG}circle") if c.get("r") == "5" and c.get("fill") != c.get("stroke")]
    given_dots = [c for c in open_dots if c.get("fill") == "#fffdf8"]
    assert len(given_dots) == 2 * sum(node.given for node in whole.nodes)
    boxed = [r for r in picture.iter(f"{SVG}rect") if r.get("fill") == "none"]
    assert len(boxed) == sum(node.given for node in whole.nodes)


def test_a_place_that_the_section_does_not_know_stands_in_the_list() -> None:
    whole = work()
    more = replace(whole.nodes[0], name="somewhere", words="exhaust valve seat")
    picture = parsed(heat_picture(replace(whole, nodes=(*whole.nodes, more))))
    assert said(picture).count("exhaust valve seat") == 1


def test_bars_of_heat_are_as_long_as_the_heat() -> None:
    picture = parsed(heat_picture(work()))
    found = (re.fullmatch(r"M370 [\d.]+h([\d.]+)v12h-[\d.]+z", d) for d in paths(picture, fill=OCHRE))
    bars = [float(m[1]) for m in found if m]
    heats = sorted((abs(way.heat_w) for way in work().paths), reverse=True)
    assert [bar / bars[0] for bar in bars] == pytest.approx([heat / heats[0] for heat in heats], abs=2e-3)


def test_an_arrow_is_as_wide_as_told_and_ends_where_the_heat_goes() -> None:
    points = places(re.findall(r'd="([^"]+)"', arrow((0.0, 0.0), (100.0, 0.0), 12.0))[-1])
    assert points[0][1] - points[-1][1] == pytest.approx(12.0)
    assert (100.0, 0.0) in points
    assert max(x for x, _ in points) == 100.0


def test_thrust_names_both_sides_and_shades_them_apart() -> None:
    forces = work().forces
    picture = parsed(thrust_picture(work()))
    texts = said(picture)
    assert {"major side pressed", "minor side pressed"} <= set(texts)
    most, least = max(forces.side_n), min(forces.side_n)
    for value in (most, least):
        angle = f"{forces.angle_deg[forces.side_n.index(value)]:.0f}°".replace("-", "\N{MINUS SIGN}")
        assert f"{abs(value) / 1e3:.2f} kN at {angle}" in texts
    middle = max(y for _, y in places(paths(picture, fill=SHADE)[0]))
    assert all(y <= middle + 0.01 for _, y in places(paths(picture, fill=SHADE)[0]))
    assert all(y >= middle - 0.01 for _, y in places(paths(picture, fill="#efebe0")[0]))
    mean = sum(forces.torque_nm) / len(forces.torque_nm)
    assert any(words.endswith(f"mean {mean:.0f}") for words in texts)


def test_bars_of_free_forces_are_in_proportion_and_nil_is_said() -> None:
    picture = parsed(balance_picture(work(cylinders=1)))
    forces = work(cylinders=1).forces
    long = [float(m[1]) for d in paths(picture, fill=BLUE) if (m := re.search(r"h([\d.]+)v18", d))]
    assert [each / long[0] for each in long] == pytest.approx([n / forces.free_n[0] for n in forces.free_n], abs=2e-3)
    assert said(picture).count("none") == 3
    assert "no free force and no free couple" in balance_picture(work(cylinders=6))


@pytest.mark.parametrize("cylinders", [4, 12])
def test_the_smallest_film_is_marked_where_the_path_comes_nearest(cylinders: int) -> None:
    whole = work(cylinders=cylinders)
    picture = parsed(orbits_picture(whole))
    for bearing, group in zip(whole.bearings, picture.iter(f"{SVG}g"), strict=True):
        circle, mark = group.iter(f"{SVG}circle")
        r, x, y = (float(circle.get(name, "")) for name in ("r", "cx", "cy"))
        dx, dy = float(mark.get("cx", "")) - x, float(mark.get("cy", "")) - y
        radial = bearing.hot_m.value / 2
        assert radial * (1 - math.hypot(dx, dy) / r) == pytest.approx(bearing.film_m.value, abs=0.001 * radial)
        at = bearing.film_over_m.index(min(bearing.film_over_m))
        up, right = bearing.orbit[at]
        assert (dx / r, -dy / r) == pytest.approx((right, up), abs=2e-3)
        texts = " ".join(said(group))
        film, sd = bearing.film_m.value / MICRON, bearing.film_m.sd / MICRON
        assert re.search(rf"{film:.2f} µm|{film:.1f} µm", texts), (film, sd)
        assert f"at {bearing.film_at_deg:.0f}°".replace("-", "\N{MINUS SIGN}") in texts
        assert ("not measured" in texts) is not bearing.read


def test_the_arrow_shows_where_the_load_pushes_at_that_moment() -> None:
    whole = work()
    picture = parsed(orbits_picture(whole))
    for bearing, group in zip(whole.bearings, picture.iter(f"{SVG}g"), strict=True):
        [line] = paths(group, stroke=OCHRE)
        (ax, ay), (bx, by) = places(line)
        up, right = bearing.load_n[bearing.film_over_m.index(min(bearing.film_over_m))]
        assert math.atan2(ay - by, bx - ax) == pytest.approx(math.atan2(up, right), abs=0.02)


def test_a_path_that_did_not_settle_is_dashed_and_said() -> None:
    whole = work()
    first = replace(whole.bearings[0], settled=False)
    picture = parsed(orbits_picture(replace(whole, bearings=(first, *whole.bearings[1:]))))
    groups = list(picture.iter(f"{SVG}g"))
    assert "path not settled" in said(groups[0])
    assert len([p for p in groups[0].iter(f"{SVG}path") if p.get("stroke-dasharray") == "5 4"]) == 1
    assert sum("path not settled" in said(group) for group in groups) == 1
    assert f"Not settled: {first.name}." in described(picture)
    clearance = parsed(clearance_picture(first, unit="mm"))
    assert any("had not settled" in words for words in said(clearance))


def test_films_stand_over_their_roughness() -> None:
    whole = work()
    picture = parsed(films_picture(whole))
    for fit in ("main film", "rod film"):
        least = min((b for b in whole.bearings if b.fit == fit), key=lambda b: b.film_m.value)
        assert f"µm in {least.name.removeprefix('rod bearing, ')}" in described(picture)
    rough = paths(picture, stroke=VERMILION, stroke_dasharray="10 3")
    marks = [float(mark.get("cy", "")) for mark in picture.iter(f"{SVG}circle")]
    levels = sorted({float(m[1]) for d in rough if (m := re.match(r"M64 ([\d.]+)H", d))})
    assert len(marks) == len(levels) == 2
    assert all(mark < line for mark, line in zip(marks, levels, strict=True))
    for fit, mark, line in zip(("main film", "rod film"), marks, levels, strict=True):
        least = min((b for b in whole.bearings if b.fit == fit), key=lambda b: b.film_m.value)
        logs = [(math.log(number), y) for number, y in numbers_up(picture, line - 260, line + 80)]
        assert math.exp(read_off(logs, mark)) == pytest.approx(least.film_m.value / MICRON, rel=0.01)
        assert math.exp(read_off(logs, line)) == pytest.approx(least.roughness_m / MICRON, rel=0.01)


@pytest.mark.parametrize("cylinders", [4, 12])
def test_each_film_of_a_few_has_its_own_dashes(cylinders: int) -> None:
    picture = parsed(films_picture(work(cylinders=cylinders)))
    assert ("cylinder 2" in said(picture)) is (cylinders == 4)
    assert any("faint" in words for words in said(picture))
    looks = {look.dash for look in axes.LOOKS}
    assert len(looks) == len(axes.LOOKS)


def test_the_clearance_stands_in_its_window() -> None:
    bearing = work().bearings[5]
    picture = parsed(clearance_picture(bearing, unit="mm"))
    assert bearing.window is not None
    ticks = {
        float(e.text or ""): float(e.get("x", ""))
        for e in picture.iter(f"{SVG}text")
        if re.fullmatch(r"0\.\d+", e.text or "") and e.get("text-anchor") == "middle"
    }
    (a, ax), (b, bx) = sorted(ticks.items())[0], sorted(ticks.items())[-1]
    per_mm = (bx - ax) / (b - a)
    upright = [d for d in paths(picture, stroke_width="2") if "V" in d]
    now = float(re.match(r"M([\d.]+)", upright[0])[1])  # type: ignore[index]
    assert (now - ax) / per_mm + a == pytest.approx(bearing.cold_m.value * 1e3, abs=2e-4)
    edges = [float(x) for x in re.findall(r"[MH]([\d.]+)", paths(picture, fill="#efebe0")[0])]
    assert (min(edges) - ax) / per_mm + a == pytest.approx(0.034, abs=2e-4)
    assert (max(edges) - ax) / per_mm + a == pytest.approx(0.072, abs=2e-4)
    assert len(list(picture.iter(f"{SVG}circle"))) == 2 * len(bearing.oils)
    assert {f"SAE {oil.grade}" for oil in bearing.oils} <= set(said(picture))


def test_a_window_that_is_open_or_missing_is_said() -> None:
    bearing = work().bearings[0]
    assert bearing.window is not None
    none = replace(bearing, window=None)
    assert "No clearance that was tried keeps" in described(parsed(clearance_picture(none, unit="mm")))
    upward = replace(bearing, window=replace(bearing.window, most_m=None))
    assert "From 0.034 mm up both keep" in described(parsed(clearance_picture(upward, unit="mm")))
    downward = replace(bearing, window=replace(bearing.window, least_m=None))
    assert "Up to 0.072 mm both keep" in described(parsed(clearance_picture(downward, unit="mm")))
    untried = replace(bearing, tried_m=(), tried_film_m=(), tried_c=(), window=None)
    assert "No other clearances were tried." in described(parsed(clearance_picture(untried, unit="mm")))


def test_land_pressures_and_lifts_are_marked_at_their_peaks() -> None:
    rings = work().rings[0]
    picture = parsed(rings_picture(rings, unit="mm"))
    texts = said(picture)
    for values in (rings.chamber_pa, rings.under_top_pa, rings.under_second_pa):
        shown = f"{max(values) / 1e5:.3g} bar at {rings.angle_deg[values.index(max(values))]:.0f}°"
        assert shown in texts
    assert f"{max(rings.top_lift_m) / MICRON:.1f} µm at 306°" in texts
    assert "chamber" in texts
    assert f"{rings.blow_by_l_min.value:.1f} l/min" in described(picture)
    assert rings.looser in described(picture)
    assert "looser by up to 0.20 mm is all right here." in " ".join(texts)


def test_a_pack_without_second_ring_says_so() -> None:
    rings = replace(work().rings[0], under_second_pa=(), second_lift_m=())
    picture = parsed(rings_picture(rings, unit="mm"))
    assert "There is no second ring." in said(picture)
    assert "second ring" not in said(picture)
    assert "second" not in described(picture).split("A second ring looser")[0]
    followed = parsed(rings_picture(replace(work().rings[0], under_second_pa=()), unit="mm"))
    assert any("is not followed" in words for words in said(followed))
    loose = parsed(rings_picture(replace(rings, settled=False), unit="mm"))
    assert any("had not settled" in words for words in said(loose))


def test_bars_hold_as_much_as_the_counts_and_are_barred_beyond_a_limit() -> None:
    fits = [fit for fit in work().fits if fit.fit == "top end gap"]
    picture = parsed(hot_picture(fits, unit="mm"))
    outlines = paths(picture, fill=BLUE)
    most = max(count for fit in fits for count in fit.counts)
    talls = [float(t) for t in re.findall(r"v-([\d.]+)h", outlines[0])]
    assert talls == pytest.approx([(TALL - 12) * n / most for n in fits[0].counts if n], abs=0.01)
    assert len(paths(picture, stroke=VERMILION, fill="none")) == sum(b < 0 for f in fits for b in f.bins[:1])
    texts = said(picture)
    assert f"{100 * fits[1].below:.1f} % below" in texts
    assert texts.count("conforms") == 3
    assert fits[1].standing in texts


def test_beyond_each_limit_is_told() -> None:
    fit = next(fit for fit in work().fits if fit.fit == "wall clearance")
    both = replace(fit, below=0.02, above=0.31, inside=0.67)
    picture = parsed(hot_picture([both], unit="mm"))
    assert "33 % beyond" in said(picture)
    assert "2.0 % below, 31 % above" in described(picture)
    limitless = replace(fit, low=None, high=None, below=0.0, above=0.0)
    assert "no limit" in said(parsed(hot_picture([limitless], unit="mm")))
    with pytest.raises(ValueError, match="no fit"):
        hot_picture([], unit="mm")


def test_a_film_is_told_in_microns_whatever_the_unit() -> None:
    fits = [fit for fit in work().fits if fit.fit == "rod film"]
    texts = said(parsed(hot_picture(fits, unit="in")))
    assert any(words.endswith(" µm") for words in texts)
    assert not any(words.endswith(" in") for words in texts)


def test_the_map_marks_the_engine_where_its_gaps_are() -> None:
    gaps = work().gap_map
    assert gaps is not None
    assert gaps.here is not None
    picture = parsed(map_picture(gaps, unit="mm"))
    mark = list(picture.iter(f"{SVG}circle"))[1]
    top, second = gaps.here
    across = (second - gaps.second_m[0]) / (gaps.second_m[-1] - gaps.second_m[0])
    assert float(mark.get("cx", "")) == pytest.approx(axes.LEFT + across * (axes.FULL - axes.LEFT), abs=0.1)
    j, i = (
        min(range(len(v)), key=lambda k, v=v, x=x: abs(v[k] - x))
        for v, x in ((gaps.top_m, top), (gaps.second_m, second))
    )
    assert f"about {100 * gaps.blow_by_share[j][i]:.1f} %" in described(picture)
    assert f"about {gaps.between_pa[j][i] / 1e5:.2f} bar" in described(picture)
    nowhere = parsed(map_picture(replace(gaps, here=None), unit="mm"))
    assert list(nowhere.iter(f"{SVG}circle")) == []
    assert any("is not marked" in words for words in said(nowhere))
    beyond = parsed(map_picture(replace(gaps, here=(1e-2, 1e-2)), unit="mm"))
    assert any("lie beyond" in words for words in said(beyond))


@given(st.floats(-5, 5), st.floats(-5, 5), st.floats(0.05, 0.95))
def test_isolines_of_a_plane_are_straight_and_part_what_is_above(a: float, b: float, share: float) -> None:
    xs, ys = (0.0, 1.0, 2.5, 4.0), (0.0, 2.0, 3.0)
    grid = Grid(xs, ys, tuple(tuple(a * x + b * y for x in xs) for y in ys))
    low, high = grid.span
    level = low + share * (high - low)
    assume(high - low > 0.1)
    for line in isolines(grid, level):
        assert all(a * x + b * y == pytest.approx(level, abs=1e-6 * (high - low)) for x, y in line)
    for piece in above(grid, level):
        assert all(a * x + b * y >= level - 1e-6 * (high - low) for x, y in piece)
    area = sum(abs(_twice(piece)) for piece in above(grid, level)) / 2
    other = Grid(xs, ys, tuple(tuple(-v for v in row) for row in grid.rows))
    rest = sum(abs(_twice(piece)) for piece in above(other, -level)) / 2
    assert area + rest == pytest.approx(12.0, rel=1e-6)


def _twice(piece: list[tuple[float, float]]) -> float:
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(piece, (*piece[1:], piece[0]), strict=True))


@given(st.lists(st.floats(-1e4, 1e4), min_size=1, max_size=40), st.booleans())
def test_a_scale_reaches_over_all_values_on_round_ticks(values: list[float], floored: bool) -> None:
    scale = linear(values, 100.0, 0.0, floor=0.0 if floored else None)
    step = scale.ticks[1] - scale.ticks[0]
    assert scale.low <= min(values) + 0.021 * step
    assert max(values) <= scale.high + 1e-6 * step
    assert len(scale.ticks) <= 9
    mantissa = step / 10 ** math.floor(math.log10(step) + 1e-9)
    assert any(mantissa == pytest.approx(each, rel=1e-6) for each in (1, 2, 5))
    assert all(0.0 <= scale.at(value) <= 100.0 for value in values)


@given(st.lists(st.floats(1e-3, 1e4), min_size=1, max_size=20))
def test_equal_ratios_lie_equally_far_apart(values: list[float]) -> None:
    scale = logarithmic(values, 300.0, 0.0)
    assert scale.low <= min(values)
    assert max(values) <= scale.high
    mid = math.sqrt(scale.low * scale.high)
    assert scale.at(mid) == pytest.approx(150.0, abs=1e-6)


@given(st.lists(st.tuples(st.floats(0, 600), st.floats(0, 300)), min_size=3, max_size=80))
def test_a_curve_keeps_its_shape_when_it_is_thinned(points: list[tuple[float, float]]) -> None:
    kept = thinned(points, 0.35)
    assert kept[0] == points[0]
    assert kept[-1] == points[-1]
    assert len(kept) <= len(points)
    for point in points:
        assert min(axes._off(point, a, b) for a, b in itertools.pairwise(kept)) <= 0.35 + 1e-9


def test_a_bump_of_a_pixel_is_kept() -> None:
    bump = [(float(i), 1.0 if i == 50 else 0.0) for i in range(100)]
    assert (50.0, 1.0) in thinned(bump)
    arc = [(float(i), 100 * math.sin(i / 40)) for i in range(400)]
    kept = dict(thinned(arc))
    assert len(kept) < 60
    for (ax, ay), (bx, by) in itertools.pairwise(kept.items()):
        assert all(abs(ay + (x - ax) / (bx - ax) * (by - ay) - y) <= 1.0 for x, y in arc if ax <= x <= bx)


def test_a_straight_line_needs_two_points() -> None:
    assert len(thinned([(float(i), 2.0 * i) for i in range(300)])) == 2


@given(st.lists(st.floats(0, 200), min_size=1, max_size=7))
def test_labels_at_ends_keep_off_each_other(heights: list[float]) -> None:
    panel = Panel(crank_scale(()), Scale(0.0, 1.0, 220.0, 20.0, (0.0, 1.0)))
    marks = ends(panel, [(20 + y, f"main {i}", Look(BLUE)) for i, y in enumerate(heights)])
    feet = sorted(float(y) for y in re.findall(r'<text x="[\d.]+" y="([\d.]+)"', "".join(marks)))
    assert len(feet) == len(heights)
    assert all(b - a >= 15.0 for a, b in itertools.pairwise(feet))
