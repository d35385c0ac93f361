"""Sketches of where the gauge goes: one for every feature and spot, sound SVG, words within the picture, the spot told from its neighbours."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest

from blockwright.engine.features import FEATURES
from blockwright.report.pictures.drawing import text_width
from blockwright.report.pictures.where import where_picture
from blockwright.report.pictures.where.picture import SKETCHES
from blockwright.report.pictures.where.sketch import TALL, WIDE

SVG = "{http://www.w3.org/2000/svg}"
SPOTS = [(feature, spot) for feature in FEATURES.values() for spot in feature.spots]


def test_every_feature_has_a_sketch_and_no_sketch_is_left_over() -> None:
    assert set(SKETCHES) == set(FEATURES)


@pytest.mark.parametrize(("feature", "spot"), SPOTS, ids=lambda each: getattr(each, "name", each))
def test_a_sketch_is_sound_says_what_it_shows_and_keeps_its_words_inside(feature, spot) -> None:
    root = ET.fromstring(where_picture(feature.name, spot, feature.how, name="w"))
    assert root.get("role") == "img"
    title, said = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert feature.name in title.text
    assert spot in title.text
    assert said.text == feature.how
    for words in root.iter(f"{SVG}text"):
        wide = text_width(words.text, float(words.get("font-size")), bold=words.get("font-weight") == "700")
        x, anchor = float(words.get("x")), words.get("text-anchor")
        left = x - wide * {"start": 0, "middle": 0.5, "end": 1}[anchor]
        assert left >= 0, words.text
        assert left + wide <= WIDE, words.text
        assert 0 < float(words.get("y")) <= TALL


@pytest.mark.parametrize("feature", [each for each in FEATURES.values() if len(each.spots) > 1], ids=lambda f: f.name)
def test_every_spot_of_a_feature_looks_different(feature) -> None:
    drawn = {where_picture(feature.name, spot, feature.how).split("</desc>")[1] for spot in feature.spots}
    assert len(drawn) == len(feature.spots)
