"""H. N. Gupta, "Fundamentals of Internal Combustion Engines", 2006, example 16.1 (year of the printing from memory): 3.0 litres, six square
cylinders, ratio 9, rod 172 mm. Printed: bore 86.0 mm, volume at the top 62.5 cm³, at 20° after the top 81.24 cm³.

The example has no gasket, deck or crevice, so its chamber is all of the volume at the top. It rounds the piston's travel to 3.2 mm on the way,
which moves the last figure by .2 %.

Tolerance: half a unit of the last printed digit; .2 % for the volume at 20°, as said.

No printed example with deck, gasket, dish and crevice was found: the volumes are held against a volume of revolution summed in slices, and changes
against the ratio they are to give.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.physics.compression import (
    Space,
    change_for_ratio,
    clearance_for_ratio_m3,
    deck_on_pin_m,
    effective_ratio,
    ratio_of,
    throw_for_stroke_m,
    volume_at_m3,
)
from blockwright.physics.slider_crank import pin_height_m, stroke_m

SWEPT = 3.0e-3 / 6
SQUARE = (SWEPT * 4 / math.pi) ** (1 / 3)
GUPTA = Space(SQUARE, SQUARE, 0.0, SQUARE, 0.0, 62.5e-6)


@pytest.mark.published
def test_gupta_16_1():
    assert 1e6 * clearance_for_ratio_m3(SWEPT, 9.0) == pytest.approx(62.5, abs=0.05)
    assert GUPTA.swept_m3 == pytest.approx(SWEPT, rel=1e-12)
    assert GUPTA.ratio == pytest.approx(9.0, abs=1e-9)
    assert 1e6 * volume_at_m3(GUPTA, math.radians(20), 0.172) == pytest.approx(81.24, rel=2e-3)


FULL = {
    "bore_m": 0.086, "stroke_m": 0.0865, "deck_m": 0.0003, "gasket_bore_m": 0.0875, "gasket_m": 0.0011, "chamber_m3": 42e-6,
    "crown_m3": 4.5e-6, "land_m": 0.0854, "land_height_m": 0.0055,
}  # fmt: skip


def test_volumes_in_slices():
    """From the top ring to the head's face: in each thin slice the area outside the piston and inside bore or gasket."""
    bottom, crown, block, head = -FULL["deck_m"] - FULL["land_height_m"], -FULL["deck_m"], 0.0, FULL["gasket_m"]
    step = 1e-7
    heights = np.arange(bottom, head, step) + step / 2
    outer = np.where(heights < block, FULL["bore_m"], FULL["gasket_bore_m"])
    inner = np.where(heights < crown, FULL["land_m"], 0.0)
    summed = float(np.sum(math.pi / 4 * (outer**2 - inner**2)) * step)
    found = Space(**FULL)
    assert found.clearance_m3 == pytest.approx(summed + 42e-6 + 4.5e-6, rel=1e-4)
    assert found.ratio == pytest.approx(ratio_of(found.swept_m3, found.clearance_m3))
    assert found.quench_m == pytest.approx(0.0014)


def test_a_piston_that_stands_out_takes_volume_away():
    inside, outside = (Space(**{**FULL, "deck_m": each}) for each in (0.0003, -0.0003))
    assert inside.clearance_m3 - outside.clearance_m3 == pytest.approx(math.pi / 4 * 0.086**2 * 0.0006, rel=1e-9)


def test_every_cylinder_at_once():
    chambers = np.array([42e-6, 42.3e-6, 41.8e-6, 42.1e-6])
    whole = Space(**{**FULL, "chamber_m3": chambers})
    assert [Space(**{**FULL, "chamber_m3": float(each)}).ratio for each in chambers] == pytest.approx(list(whole.ratio))


@given(ratio=st.floats(7.0, 14.0))
def test_each_change_gives_the_ratio(ratio):
    space = Space(**FULL)
    change = change_for_ratio(space, ratio)
    bore, gasket = math.pi / 4 * 0.086**2, math.pi / 4 * 0.0875**2
    assert ratio_of(space.swept_m3, space.clearance_m3 - change.lose_m3) == pytest.approx(ratio, rel=1e-9)
    for other in (
        {"crown_m3": change.crown_m3},
        {"chamber_m3": change.chamber_m3},
        {"deck_m": 0.0003 - change.off_block_m},
    ):
        assert Space(**{**FULL, **other}).ratio == pytest.approx(ratio, rel=1e-9)
    assert change.off_head_m * gasket == pytest.approx(change.lose_m3, rel=1e-9, abs=1e-15)
    assert change.off_block_m * bore == pytest.approx(change.lose_m3, rel=1e-9, abs=1e-15)
    if change.gasket_m >= 0:
        assert Space(**{**FULL, "gasket_m": float(change.gasket_m)}).ratio == pytest.approx(ratio, rel=1e-9)


@given(throw=st.floats(0.03, 0.06), rod=st.floats(2.8, 4.5), offset=st.floats(-0.05, 0.05))
def test_the_throw_of_a_stroke(throw, rod, offset):
    given_stroke = stroke_m(throw, rod * throw, offset * throw)
    assert throw_for_stroke_m(given_stroke, rod * throw, offset * throw) == pytest.approx(throw, rel=1e-9)


@pytest.mark.parametrize("offset", [-0.0008, 0.0, 0.001])
def test_effective_ratio(offset):
    space, rod = Space(**FULL), 0.144
    throw = throw_for_stroke_m(0.0865, rod, offset)
    found = [float(effective_ratio(space, math.radians(each), rod, offset)) for each in (0, 30, 50, 70)]
    assert found == sorted(found, reverse=True)
    assert found[0] == pytest.approx(space.ratio, rel=2e-4)  # with an offset the mark and the true bottom part a little
    top = math.asin(offset / (rod + throw))
    heights = [float(pin_height_m(top + each, throw, rod, offset)) for each in (0.0, math.pi + math.radians(50))]
    volume = space.clearance_m3 + math.pi / 4 * 0.086**2 * (heights[0] - heights[1])
    assert found[2] == pytest.approx(volume / space.clearance_m3, rel=1e-9)


def test_rock_drops_out():
    assert deck_on_pin_m(0.00042, 0.00018) == pytest.approx(0.0003)


@pytest.mark.parametrize(
    "wrong", [{"bore_m": 86.0}, {"gasket_bore_m": 0.07}, {"chamber_m3": -60e-6}, {"land_m": 0.087}]
)
def test_what_cannot_be_is_refused(wrong):
    with pytest.raises(ValueError, match=r"outside|greater"):
        Space(**{**FULL, **wrong})
