"""The picture of a study: it is drawn to scale, says what it shows, and no name can break it."""

import re
from xml.etree import ElementTree as ET

import numpy as np
import pytest

from blockwright.metrology.study import StudyReadings, StudyResult, assess_study, headline
from blockwright.quantities import QuantityError
from blockwright.report.colours import VERMILION
from blockwright.report.study_picture import HEADS, LEFT, MOST_PARTS, RIGHT, WIDTH, study_picture

SVG = "{http://www.w3.org/2000/svg}"
MICRON = 1e-6


def result(
    microns: np.ndarray, *, names: tuple[str, ...] | None = None, tolerance_m: float | None = None
) -> StudyResult:
    hands, parts = microns.shape[:2]
    appraisers = names or tuple("ABCDEFGHIJKLMNOPQRSTUVWXYZ"[:hands])
    readings = StudyReadings(appraisers, tuple(f"P{j + 1}" for j in range(parts)), 0.086 + MICRON * microns)
    return assess_study(readings, tolerance_m=tolerance_m)


def microns(hands: int = 3, parts: int = 4, trials: int = 3, seed: int = 1) -> np.ndarray:
    rng = np.random.default_rng(seed)
    noise, places = rng.normal(size=(hands, parts, trials)), 20 * rng.normal(size=(1, parts, 1))
    return np.round(noise + places, 2)


def drawn(study: StudyResult, unit: str = "mm") -> ET.Element:
    return ET.fromstring(study_picture(study, unit=unit))


def said(picture: ET.Element) -> list[str]:
    return [text.text or "" for text in picture.iter(f"{SVG}text")]


def shafts(picture: ET.Element) -> list[tuple[float, float]]:
    """Both ends of the shaft of every pin, in the order drawn."""
    paths = [path for path in picture.iter(f"{SVG}path") if path.get("stroke-opacity")]
    ends = [re.fullmatch(r"M(\S+) \S+H(\S+)", path.get("d", "")) for path in paths]
    return [(float(match[1]), float(match[2])) for match in ends if match]


def ticks(picture: ET.Element) -> list[list[float]]:
    paths = [path.get("d", "") for path in picture.iter(f"{SVG}path") if path.get("stroke-width") == "2.2"]
    return [[float(x) for x in re.findall(r"M(\S+)", path)] for path in paths]


def rings(picture: ET.Element) -> list[ET.Element]:
    return [
        rect for rect in picture.iter(f"{SVG}rect") if rect.get("stroke") == VERMILION and rect.get("fill") == "none"
    ]


def widths(picture: ET.Element, height: str) -> list[float]:
    return [float(rect.get("width", "")) for rect in picture.iter(f"{SVG}rect") if rect.get("height") == height]


def test_shafts_are_to_one_scale_and_in_their_place() -> None:
    values = microns()
    ends = np.array(shafts(drawn(result(values)))).reshape(4, 3, 2)
    from_average = values - values.mean(axis=(0, 2), keepdims=True)
    low, high = (np.swapaxes(edge, 0, 1) for edge in (from_average.min(axis=2), from_average.max(axis=2)))
    scale = (ends[..., 1].max() - ends[..., 0].min()) / (high.max() - low.min())
    centre = (LEFT + RIGHT) / 2
    np.testing.assert_allclose(ends[..., 0], centre + scale * low, atol=0.2)
    np.testing.assert_allclose(ends[..., 1], centre + scale * high, atol=0.2)
    assert ends.min() > LEFT
    assert ends.max() < RIGHT


def test_the_numbers_of_the_scale_are_true() -> None:
    """The labels' places against their values give the scale of the shafts."""
    values = microns()
    picture = drawn(result(values), "um")
    labels = [
        text for text in picture.iter(f"{SVG}text") if re.fullmatch(r"[+\N{MINUS SIGN}]\d+(\.\d+)?|0", text.text or "")
    ]
    places = [float(text.get("x", "")) for text in labels]
    numbers = [float((text.text or "").replace("\N{MINUS SIGN}", "-")) for text in labels]
    slope, middle = np.polyfit(numbers, places, 1)
    first = values[0, 0]
    start, end = shafts(picture)[0]
    assert len(numbers) >= 5
    assert middle == pytest.approx((LEFT + RIGHT) / 2, abs=0.1)
    assert (end - start) / slope == pytest.approx(first.max() - first.min(), rel=0.01)


def test_every_trial_has_a_tick_even_where_two_coincide() -> None:
    values = microns()
    values[0, 0] = [1.0, 1.0, 2.0]
    found = ticks(drawn(result(values)))
    assert len(found) == 12
    assert all(len(set(places)) == 3 for places in found)


def test_each_hand_has_its_own_shape() -> None:
    picture = drawn(result(microns(hands=7)))
    heads = {path.get("d") for path in picture.iter(f"{SVG}path") if path.get("transform")}
    assert heads == set(HEADS)


def test_only_a_wide_cell_is_ringed_and_said_in_words() -> None:
    values = microns(parts=6)
    assert rings(drawn(result(values))) == []
    values[1, 4, 0] += 12
    wide = result(values)
    picture = drawn(wide)
    [ring] = rings(picture)
    start, end = shafts(picture)[4 * 3 + 1]
    assert float(ring.get("x", "")) < start < end < float(ring.get("x", "")) + float(ring.get("width", ""))
    assert any(text.startswith("B: ") and "apart" in text for text in said(picture))
    assert "B on part P5" in picture.find(f"{SVG}desc").text


@pytest.mark.parametrize("tolerance_m", [40 * MICRON, 2 * MICRON])
def test_pins_and_slots_are_in_proportion(tolerance_m: float) -> None:
    study = result(microns(), tolerance_m=tolerance_m)
    spread = study.anova.spread
    picture = drawn(study)
    slots, pins = widths(picture, "26"), widths(picture, "14")
    expected = [spread.grr_m / spread.tv_m, 6 * spread.grr_m / tolerance_m]
    assert [pin / slot for pin, slot in zip(pins, slots[::2], strict=True)] == pytest.approx(expected, rel=0.01)
    assert max(slots + pins) <= RIGHT - LEFT


def test_it_says_what_it_shows_without_sight() -> None:
    study = result(microns())
    picture = drawn(study)
    assert picture.get("role") == "img"
    assert picture.get("aria-labelledby") == "study-title study-desc"
    assert picture.find(f"{SVG}title").text == "Gauge study: 3 hands, 4 parts"
    assert headline(study) in picture.find(f"{SVG}desc").text
    assert headline(study) in " ".join(said(picture))


def test_names_cannot_break_it() -> None:
    names = ('<script>"&', "a\x00b\x1b[31m", "long " * 30)
    picture = drawn(result(microns(), names=names))
    assert '<script>"&' in said(picture)
    assert all(len(text) < 130 for text in said(picture))
    assert {element.tag.removeprefix(SVG) for element in picture.iter()} <= {
        "svg",
        "title",
        "desc",
        "defs",
        "pattern",
        "rect",
        "path",
        "g",
        "text",
    }


def test_long_names_keep_the_end_that_tells_them_apart() -> None:
    picture = drawn(result(microns(hands=2), names=("somebody with a long name 1", "somebody with a long name 2")))
    shortened = [text for text in said(picture) if "…" in text]
    assert {text[-1] for text in shortened} == {"1", "2"}


def test_nothing_is_loaded_from_elsewhere() -> None:
    text = study_picture(result(microns()))
    assert re.findall(r"https?://[^\"]+", text) == ["http://www.w3.org/2000/svg"]
    assert set(re.findall(r"url\(([^)]*)\)", text)) <= {"#study-hatch", "#study-bars"}


@pytest.mark.parametrize(
    ("values", "tolerance_m"),
    [
        (microns(hands=1, parts=1, trials=5), None),
        (microns(hands=1, parts=1, trials=5), 5 * MICRON),
        (microns(hands=3, parts=1), None),
        (microns(hands=1, parts=5), None),
        (np.zeros((2, 3, 2)), None),
        (np.zeros((2, 3, 2)), 5 * MICRON),
        (np.broadcast_to(np.array([0.0, 40.0, 90.0])[None, :, None], (2, 3, 2)), None),
        (microns(hands=23, parts=3), None),
    ],
)
@pytest.mark.parametrize("unit", ["mm", "thou", "in", "um"])
def test_every_kind_of_study_stays_on_the_sheet(values: np.ndarray, tolerance_m: float | None, unit: str) -> None:
    picture = drawn(result(values, tolerance_m=tolerance_m), unit)
    height = float(picture.get("height", ""))
    for element in picture.iter():
        x, y = (float(element.get(name, 0)) for name in ("x", "y"))
        assert 0 <= x <= WIDTH
        assert 0 <= y <= height
        assert x + float((element.get("width") or "0").rstrip("%")) <= WIDTH
    assert len(ticks(picture)) == values.shape[0] * values.shape[1]


def test_many_parts_are_cut_and_it_says_so() -> None:
    picture = drawn(result(microns(hands=1, parts=MOST_PARTS + 5)))
    assert len(shafts(picture)) == MOST_PARTS
    assert f"The first {MOST_PARTS} of {MOST_PARTS + 5} parts are drawn." in said(picture)


def test_a_unit_that_is_no_length() -> None:
    with pytest.raises(QuantityError):
        study_picture(result(microns()), unit="bar")
